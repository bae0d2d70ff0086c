package abc

import (
	"slices"
	"strings"
)

// symbols gives the notes of the last line of music the chord symbols of a line s:,
// which stands under it as words do (4.15). Its other signs change nothing.
func (r *reader) symbols(text string) {
	v := r.playing()
	notes := v.sung[v.lineFrom:]
	i, bar := 0, 0
	if len(notes) > 0 {
		bar = notes[0].bar
	}
	for _, sign := range signsOf(text) {
		if sign == "|" {
			for i < len(notes) && notes[i].bar <= bar {
				i++
			}
			bar++
			continue
		}
		if i == len(notes) {
			r.tell("signs (s:) are left over where the notes end")
			return
		}
		bar = max(bar, notes[i].bar)
		if name := strings.Trim(sign, `"`); sign[0] == '"' && chordLike(name) {
			v.barOf(notes[i]).chordAt(notes[i], name)
		}
		i++
	}
}

// signsOf cuts a line s: into its signs: "text", !name!, * and |.
func signsOf(text string) []string {
	var all []string
	for i := 0; i < len(text); i++ {
		switch c := text[i]; c {
		case '"', '!':
			end := strings.IndexByte(text[i+1:], c)
			if end < 0 {
				return all
			}
			all = append(all, text[i:i+end+2])
			i += end + 1
		case '*', '|':
			all = append(all, text[i:i+1])
		}
	}
	return all
}

func (v *voice) barOf(e *event) *bar {
	if e.bar < len(v.bars) {
		return v.bars[e.bar]
	}
	return v.current
}

// chordAt sets a chord before a note, in place of one that stands there.
func (b *bar) chordAt(e *event, name string) {
	at := slices.Index(b.events, e)
	i := 0
	for i < len(b.chords) && b.chords[i].event < at {
		i++
	}
	if i < len(b.chords) && b.chords[i].event == at {
		b.chords[i].text = name
		return
	}
	b.chords = slices.Insert(b.chords, i, symbol{at, name})
}
