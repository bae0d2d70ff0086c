package engrave

import (
	"fmt"
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// LilyPond is what MusicXML writes, as a file of LilyPond 2.22 and later. Its MIDI
// has the notes alone.
func LilyPond(s *score.Score, o Options) string {
	d := &document{s: s, o: o}
	l := &lilypond{d: d}
	l.header()
	fmt.Fprintf(&l.b, "chordNames = \\chordmode {\n  \\set noChordSymbol = \"N.C.\"\n%s}\n\n", l.chords())
	for i, p := range d.laid() {
		l.part(p, i)
	}
	staves := strings.Join(l.staves, "\n")
	fmt.Fprintf(&l.b, "\\score {\n  <<\n    \\new ChordNames \\chordNames\n%s\n  >>\n  \\layout { }\n}\n\n", staves)
	fmt.Fprintf(&l.b, "\\score {\n  <<\n%s\n  >>\n  \\midi { }\n}\n", staves)
	return l.b.String()
}

// lilypond is a file being written.
type lilypond struct {
	d      *document
	b      strings.Builder
	staves []string
}

func (l *lilypond) header() {
	s := l.d.s
	fmt.Fprintf(&l.b, "\\version \"2.22.0\"\n\n\\header {\n  title = %s\n  composer = %s\n  tagline = ##f\n}\n\n", quoted(s.Title), quoted(s.Chart.By))
}

// quoted is a text as LilyPond reads it.
func quoted(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
}

// lengthOf is a length of any kind.
func lengthOf(t meter.Ticks) string { return fmt.Sprintf("1*%d/%d", t, meter.Whole) }

// nameOf is a note's name, in LilyPond's own language.
func nameOf(n pitch.Note) string {
	sign := strings.Repeat("is", max(0, n.Alter)) + strings.Repeat("es", max(0, -n.Alter))
	return strings.ToLower(pitch.Note{Letter: n.Letter}.String()) + sign
}

func pitchOf(p pitch.Pitch) string {
	const middle = 3 // the octave without marks
	return nameOf(p.Note) + strings.Repeat("'", max(0, p.Octave-middle)) + strings.Repeat(",", max(0, middle-p.Octave))
}

// modifiers are how chord types are written behind their root.
var modifiers = map[chord.Type]string{
	chord.Major: "", chord.Minor: ":m", chord.Diminished: ":dim", chord.Augmented: ":aug", chord.Power: ":1.5", chord.Sus4: ":sus4", chord.Sus2: ":sus2",
	chord.Sixth: ":6", chord.MinorSixth: ":m6", chord.Dominant: ":7", chord.MajorSeventh: ":maj7", chord.MinorSeventh: ":m7",
	chord.DiminishedSeventh: ":dim7", chord.HalfDiminished: ":m7.5-", chord.MinorMajor: ":m7+", chord.AugmentedSeventh: ":aug7",
	chord.AugmentedMajorSeventh: ":maj7.5+", chord.DominantFlatFive: ":7.5-", chord.DominantSus4: ":7sus4", chord.Add9: ":5.9", chord.MinorAdd9: ":m5.9",
	chord.Add4: ":5.11", chord.SixNine: ":6.9", chord.MinorSixNine: ":m6.9", chord.Ninth: ":9", chord.MajorNinth: ":maj9", chord.MinorNinth: ":m9",
	chord.NinthSus4: ":9sus4", chord.DominantFlatNine: ":7.9-", chord.DominantSharpNine: ":7.9+", chord.DominantSharpEleven: ":7.11+",
	chord.MajorSharpEleven: ":maj7.11+", chord.DominantFlatThirteen: ":7.13-", chord.Eleventh: ":11", chord.MajorEleventh: ":maj11",
	chord.MinorEleventh: ":m11", chord.Thirteenth: ":13", chord.MajorThirteenth: ":maj13", chord.MinorThirteenth: ":m13",
}

func (l *lilypond) chords() string {
	text := ""
	for _, h := range l.d.s.Harmonies {
		c := h.Chord
		switch {
		case c.IsNone():
			text += "  r" + lengthOf(h.End-h.At)
		default:
			text += "  " + nameOf(c.Root) + lengthOf(h.End-h.At) + modifiers[c.Type]
			if c.Bass != c.Root {
				text += "/+" + nameOf(c.Bass)
			}
		}
		text += "\n"
	}
	return text
}

// part writes the staves of a part and how they stand together.
func (l *lilypond) part(p *part, n int) {
	var inside []string
	for k, st := range p.staves {
		name := fmt.Sprintf("staff%c", 'A'+n*2+k)
		fmt.Fprintf(&l.b, "%s = {\n%s}\n\n", name, l.music(p, st, k))
		text := fmt.Sprintf("    \\new Staff \\new Voice = \"%s\" \\%s", name, name)
		for v := 1; v <= verses(st); v++ {
			words := fmt.Sprintf("%sWords%c", name, 'A'+v-1)
			fmt.Fprintf(&l.b, "%s = \\lyricmode {\n%s}\n\n", words, underlaid(st, v))
			text += fmt.Sprintf("\n    \\new Lyrics \\lyricsto \"%s\" \\%s", name, words)
		}
		inside = append(inside, text)
	}
	text := strings.Join(inside, "\n")
	if len(p.staves) > 1 {
		text = "    \\new PianoStaff <<\n" + text + "\n    >>"
	}
	l.staves = append(l.staves, text)
}

// verses is how many lines of words stand under a staff.
func verses(st *staff) int {
	n := 0
	for _, e := range st.events {
		for _, w := range e.words {
			n = max(n, w.verse)
		}
	}
	return n
}

// underlaid is a line of words, a syllable or a gap for each note.
func underlaid(st *staff, verse int) string {
	var all []string
	for _, e := range st.events {
		text := "_"
		for _, w := range e.words {
			if w.verse != verse {
				continue
			}
			text = quoted(w.text)
			if w.goes {
				text += " --"
			}
			if w.drawn {
				text += " __"
			}
		}
		all = append(all, text)
	}
	return "  " + strings.Join(all, " ") + "\n"
}

// music is what stands on a staff.
func (l *lilypond) music(p *part, st *staff, k int) string {
	s := l.d.s
	var b strings.Builder
	mode := "\\major"
	if s.Key.Minor {
		mode = "\\minor"
	}
	fmt.Fprintf(&b, "  \\key %s %s\n  \\time %s\n", nameOf(s.Key.Tonic), mode, s.Meter)
	for i := range s.Bars {
		bar := &s.Bars[i]
		if i == 0 || st.clefs[i] != st.clefs[i-1] {
			fmt.Fprintf(&b, "  \\clef %s\n", [...]string{treble: "treble", bass: "bass"}[st.clefs[i]])
		}
		if i == 0 && bar.Len < s.Meter.Bar() {
			fmt.Fprintf(&b, "  \\partial %s\n", lengthOf(bar.Len))
		}
		over := ""
		if p.top && k == 0 {
			over = l.over(&b, i)
		}
		if k == 0 && p.hands && bar.Fill != nil {
			over += "^\\markup \\italic fill"
		}
		b.WriteString("  " + l.bar(st, i, over) + " |\n")
		switch {
		case i == len(s.Bars)-1:
			b.WriteString("  \\bar \"|.\"\n")
		case closes(s, i):
			b.WriteString("  \\bar \"||\"\n")
		}
	}
	return b.String()
}

// over writes the tempo, and tells what stands over the first note of a bar.
func (l *lilypond) over(b *strings.Builder, bar int) string {
	s := l.d.s
	if bar == 0 && !s.Untimed {
		unit := lilyLength(s.Meter.Beat(), 0)
		if s.Meter.Compound() {
			unit = lilyLength(s.Meter.Beat()*2/3, 1)
		}
		fmt.Fprintf(b, "  \\tempo %s = %d\n", unit, int(float64(s.Tempo)+0.5))
	}
	text := ""
	if name := sectionName(s, bar); name != "" {
		text += "^\\markup \\bold " + quoted(name)
	}
	if feel := feelAt(s, bar); feel != "" {
		text += "^\\markup \\italic " + quoted(feel)
	}
	if slowsIn(s, bar) {
		text += "^\\markup \\italic \"rit.\""
	}
	return text
}

// lilyLength is a note value by its length without dots.
func lilyLength(base meter.Ticks, dots int) string {
	return fmt.Sprint(int(meter.Whole/base)) + strings.Repeat(".", dots)
}

// bar writes the notes of a bar; over stands over the first.
func (l *lilypond) bar(st *staff, bar int, over string) string {
	signs := st.signs(l.d.s, bar)
	if len(signs) == 0 {
		return "R" + lengthOf(l.d.s.Bars[bar].Len) + over
	}
	var all []string
	for i, g := range signs {
		text := ""
		if g.event != nil && !g.from {
			text += st.ottava(g.index, true)
		}
		if g.Opens {
			text += fmt.Sprintf("\\tuplet %d/%d { ", g.Actual, g.Normal)
		}
		text += struck(g)
		if i == 0 {
			text += over
		}
		if g.Closes {
			text += " }"
		}
		if g.event != nil && !g.to {
			text += st.ottava(g.index, false)
		}
		all = append(all, text)
	}
	return strings.Join(all, " ")
}

// ottava begins or ends an octave sign at an event.
func (st *staff) ottava(event int, begins bool) string {
	for _, sh := range st.shifts {
		switch {
		case begins && sh.first == event && sh.up:
			return "\\ottava #1 "
		case begins && sh.first == event:
			return "\\ottava #-1 "
		case !begins && sh.last == event:
			return " \\ottava #0"
		}
	}
	return ""
}

// struck is a rest, a note or a chord.
func struck(g sign) string {
	length := map[string]string{"whole": "1", "half": "2", "quarter": "4", "eighth": "8", "16th": "16", "32nd": "32", "64th": "64", "128th": "128"}[g.Type] + strings.Repeat(".", g.Dots)
	if g.event == nil {
		return "r" + length
	}
	var notes, before []string
	for _, p := range g.event.notes {
		notes = append(notes, pitchOf(p))
	}
	for _, p := range g.event.grace {
		before = append(before, pitchOf(p)+"8")
	}
	text := notes[0] + length
	if len(notes) > 1 {
		text = "<" + strings.Join(notes, " ") + ">" + length
	}
	if !g.from {
		if len(before) > 0 {
			text = "\\grace { " + strings.Join(before, " ") + " } " + text
		}
		if g.event.accent {
			text += "->"
		}
		if g.event.roll {
			text += "\\arpeggio"
		}
	}
	if g.to {
		text += "~"
	}
	return text
}
