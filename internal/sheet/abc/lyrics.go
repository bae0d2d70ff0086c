package abc

import (
	"strings"
)

// syllable is what is sung to a note in one verse.
type syllable struct {
	text  string
	joins bool // its word goes on
}

// word is a sign of a line of words (5.1).
type word struct {
	syllable
	kind byte // 's' for a syllable, '*' for a note without, '|' for a barline
}

// words takes a line of words in. Lines that stand together are verses; they begin
// where the ones before ended (5.1), or in files older than 2.1 with the line of
// music before (10.6), unless there are too many words for it.
func (r *reader) words(text string) {
	if !r.body {
		r.tell("words (w:) stand above the notes, and are left out")
		return
	}
	v := r.playing()
	if !r.ours {
		text = unnumbered(text)
	}
	all := lyric(text)
	if v.verses == 0 {
		from := v.lineFrom
		if r.book.strict || notesOf(all) > len(v.sung)-from {
			from = v.aligned
		}
		v.lineFrom, v.aligned = from, len(v.sung)
	}
	if v.verses == mostVerses {
		r.tell("further verses are left out")
		return
	}
	r.last = "w"
	if left := v.align(all, v.verses); left > 0 {
		r.tell("words are left over where the notes end")
	}
	v.verses++
}

const mostVerses = 20

func notesOf(all []word) int {
	n := 0
	for _, w := range all {
		if w.kind != '|' {
			n++
		}
	}
	return n
}

// align gives the notes from the last line on their syllables. It tells how many
// were left over.
func (v *voice) align(all []word, verse int) int {
	notes := v.sung[v.lineFrom:]
	if len(all) == 0 {
		return 0 // the line says only that these notes have no words (5.1)
	}
	i, bar, left := 0, 0, 0
	if len(notes) > 0 {
		bar = notes[0].bar
	}
	for _, w := range all {
		switch {
		case w.kind == '|':
			for i < len(notes) && notes[i].bar <= bar {
				i++
			}
			bar++
		case i >= len(notes):
			if w.kind == 's' {
				left++
			}
		default:
			bar = max(bar, notes[i].bar)
			if w.kind == 's' {
				notes[i].sing(verse, w.syllable)
			}
			i++
		}
	}
	for _, n := range notes {
		n.sing(verse, syllable{})
	}
	return left
}

// sing gives a note a syllable of a verse, if it has none.
func (e *event) sing(verse int, s syllable) {
	for len(e.syllables) <= verse {
		e.syllables = append(e.syllables, syllable{})
	}
	if s.text != "" {
		e.syllables[verse] = s
	}
}

// unnumbered takes the number of a verse away, such as 1.~ (5.3).
func unnumbered(text string) string {
	first := strings.TrimLeft(text, "0123456789")
	if first == text {
		return text
	}
	if i := strings.IndexAny(first, "~ "); i >= 0 && strings.Trim(first[:i], `.:)\-`) == "" {
		return first[i+1:]
	}
	return text
}

// lyric reads a line of words.
func lyric(text string) []word {
	var all []word
	var now strings.Builder
	held := false
	end := func(joins bool) {
		if n := lastSyllable(all); n >= 0 && held && strings.Trim(now.String(), ".,;:!?") == "" {
			all[n].text += now.String() // what stands behind the line of a held syllable
			now.Reset()
		}
		held = false
		if now.Len() > 0 {
			all = append(all, word{syllable{plainText(now.String()), joins}, 's'})
			now.Reset()
		}
	}
	for i := 0; i < len(text); i++ {
		switch c := text[i]; c {
		case ' ', '\t':
			end(false)
		case '-':
			if now.Len() > 0 {
				end(true)
				continue
			}
			if n := lastSyllable(all); n >= 0 {
				all[n].joins = true
			}
			all = append(all, word{kind: '*'})
		case '_', '*':
			end(false)
			all = append(all, word{kind: '*'})
			held = c == '_'
		case '|':
			end(false)
			all = append(all, word{kind: '|'})
		case '~':
			now.WriteByte(' ')
		case '\\':
			now.WriteByte(c)
			if i++; i < len(text) {
				now.WriteByte(text[i])
			}
		default:
			now.WriteByte(c)
		}
	}
	end(false)
	return all
}

// lastSyllable is the place of the last syllable, or -1.
func lastSyllable(all []word) int {
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].kind == 's' {
			return i
		}
	}
	return -1
}

// sungTo are the words sung to a bar, one string a verse: the syllables of a word
// joined, and a hyphen where it goes on in the next bar.
func (b *bar) sungTo() []string {
	verses := 0
	for _, e := range b.events {
		verses = max(verses, len(e.syllables))
	}
	if verses == 0 {
		return b.under
	}
	all := make([]string, verses)
	for v := range all {
		var w strings.Builder
		joins := true
		for _, e := range b.events {
			if v >= len(e.syllables) || e.syllables[v].text == "" {
				continue
			}
			if !joins {
				w.WriteByte(' ')
			}
			w.WriteString(e.syllables[v].text)
			joins = e.syllables[v].joins
		}
		if w.Len() > 0 && joins {
			w.WriteByte('-')
		}
		all[v] = strings.Join(strings.Fields(w.String()), " ")
	}
	return all
}
