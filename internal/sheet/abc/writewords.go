package abc

import (
	"strings"
	"unicode"

	"undersong/internal/sheet/chart"
)

// slot is a note of a line of music, as words are laid under it.
type slot struct {
	bar    int  // its place in the line
	goesOn bool // with the note before, so that nothing new is sung to it
}

// wordsLine is the w: line of a verse (5.1): a sign for each note, and a barline where
// every bar has notes.
func wordsLine(l *chart.Line, verse int, sung []slot) string {
	var bars []string
	for i := range l.Bars {
		var notes []slot
		for _, s := range sung {
			if s.bar == i {
				notes = append(notes, s)
			}
		}
		bars = append(bars, underNotes(l.Bars[i].Lyrics[verse], notes))
	}
	text := strings.Join(bars, " | ")
	for i := range l.Bars {
		if len(l.Bars[i].Melody) == 0 {
			text = strings.Join(bars, " ") // what a barline means here, readers do not agree on
		}
	}
	if strings.Trim(text, "*| ") == "" {
		return ""
	}
	return numberless(strings.Join(strings.Fields(text), " "))
}

// underNotes lays the words of a bar under its notes.
func underNotes(text string, notes []slot) string {
	if len(notes) == 0 {
		return ""
	}
	var free []int // notes to which something new is sung
	for i, n := range notes {
		if !n.goesOn {
			free = append(free, i)
		}
	}
	if len(free) == 0 {
		for i := range notes {
			free = append(free, i)
		}
	}
	signs := make([]string, len(notes))
	for i := range signs {
		signs[i] = "*"
	}
	syllables := shareOut(strings.Fields(text), len(free))
	for i, s := range syllables {
		signs[free[i]] = s
	}
	return joinSigns(signs, len(syllables) > 0)
}

// joinSigns puts a space between signs but behind a hyphen, and holds the syllable
// before where nothing new is sung.
func joinSigns(signs []string, sings bool) string {
	var w strings.Builder
	begun := false
	for _, s := range signs {
		switch {
		case s == "*" && begun && sings:
			w.WriteByte('_')
			continue
		case w.Len() > 0 && (!strings.HasSuffix(w.String(), "-") || strings.HasSuffix(w.String(), `\-`)):
			w.WriteByte(' ')
		}
		begun = begun || s != "*"
		w.WriteString(s)
	}
	return w.String()
}

// shareOut gives each of so many notes a word. Words of several syllables are
// divided where there are more notes, and words are put together under the last note
// where there are fewer.
func shareOut(words []string, notes int) []string {
	if len(words) == 0 {
		return nil
	}
	last := words[len(words)-1]
	hyphen := ""
	if strings.HasSuffix(last, "-") && len(last) > 1 { // its word goes on in the next bar
		hyphen = "-"
		words = append(words[:len(words)-1:len(words)-1], last[:len(last)-1])
	}
	if len(words) > notes {
		var rest []string
		for _, word := range words[notes-1:] {
			rest = append(rest, sign(word))
		}
		all := make([]string, 0, notes)
		for _, word := range words[:notes-1] {
			all = append(all, sign(word))
		}
		return append(all, strings.Join(rest, "~")+hyphen)
	}
	var all []string
	extra := notes - len(words)
	for _, word := range words {
		parts := syllables(word, 1+extra)
		extra -= len(parts) - 1
		for i, p := range parts {
			if i < len(parts)-1 {
				all = append(all, sign(p)+"-")
			} else {
				all = append(all, sign(p))
			}
		}
	}
	all[len(all)-1] += hyphen
	return all
}

// sign writes a word so that it stands under one note.
func sign(word string) string {
	return strings.NewReplacer("-", `\-`, "_", `\u005f`, "*", `\u002a`, "|", `\u007c`, "~", `\u007e`).Replace(escape(word))
}

// numberless writes a digit at the beginning of the line as a code: it would be the
// number of the verse (5.3).
func numberless(text string) string {
	if text != "" && text[0] >= '0' && text[0] <= '9' {
		return `\u003` + text
	}
	return text
}

// syllables divides a word into most parts at most, each with a vowel: before the
// last consonant between two groups of vowels. It is a rule of thumb; whatever it
// divides is read as one word again.
func syllables(word string, most int) []string {
	letters := []rune(word)
	var cuts []int
	vowel := -1 // the last one before the consonants being passed
	for i, r := range letters {
		if !isVowel(r) || r|0x20 == 'e' && silent(letters, i) {
			continue
		}
		if vowel >= 0 && i-vowel > 1 {
			cuts = append(cuts, divide(letters, vowel, i))
		}
		vowel = i
	}
	var parts []string
	from := 0
	for _, c := range cuts {
		if len(parts) == most-1 {
			break
		}
		parts = append(parts, string(letters[from:c]))
		from = c
	}
	return append(parts, string(letters[from:]))
}

// divide is where the consonants between two vowels part: behind a hyphen, or before
// the last of them, or of two that make one sound.
func divide(letters []rune, vowel, next int) int {
	for i := vowel + 1; i < next; i++ {
		if letters[i] == '-' {
			return i + 1
		}
	}
	at := next - 1
	if at-1 > vowel {
		switch pair := strings.ToLower(string(letters[at-1 : at+1])); pair {
		case "th", "sh", "ch", "ph", "wh", "qu", "tr", "dr", "br", "gr", "pr", "cl", "bl":
			at--
		}
	}
	return at
}

func isVowel(r rune) bool {
	return strings.ContainsRune("aeiouyAEIOUYàáâãäåæèéêëìíîïòóôõöøœùúûüýÿÀÁÂÃÄÅÆÈÉÊËÌÍÎÏÒÓÔÕÖØŒÙÚÛÜÝ", r)
}

// silent reports an e at the end of a word, as in tide, where no l stands before it.
func silent(letters []rune, i int) bool {
	for _, r := range letters[i+1:] {
		if unicode.IsLetter(r) {
			return false
		}
	}
	return i == 0 || letters[i-1]|0x20 != 'l'
}
