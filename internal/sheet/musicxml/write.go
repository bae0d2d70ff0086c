package musicxml

import (
	"fmt"
	"strconv"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/mxml"
)

// Write writes a chart as a lead sheet in MusicXML 3.0: one staff with the tune, or
// rests where there is none, chord symbols and words. What MusicXML has no signs
// for stands in its miscellaneous fields, so that Read and song.ToChart make the
// same chart of it.
func Write(c *chart.Chart) []byte {
	w := &writer{c: c, accidentals: mxml.NewAccidentals(c.Key), open: map[int]bool{}}
	part := w.part()
	root := mxml.Group("score-partwise").With("version", "3.0")
	if c.Title != "" {
		root.Add(mxml.Group("work", mxml.Leaf("work-title", c.Title)))
	}
	root.Add(w.identification())
	if c.By != "" {
		root.Add(mxml.Group("credit", mxml.Leaf("credit-type", "composer"), mxml.Leaf("credit-words", c.By).With("justify", "right")).With("page", "1"))
	}
	name := "Voice"
	if !c.HasMelody() {
		name = "Chords"
	}
	root.Add(mxml.Group("part-list", mxml.Group("score-part", mxml.Leaf("part-name", name)).With("id", "P1")))
	root.Add(part)
	return mxml.Document(root)
}

// writer writes the bars of a chart in order.
type writer struct {
	c           *chart.Chart
	accidentals *mxml.Accidentals
	before      *chart.Bar   // the bar before, or nil
	tied        bool         // the note before is tied to the next
	open        map[int]bool // the last word of a verse goes on
	at          int          // the bar, from 0
	pieces      []string     // see fieldPieces
}

// identification has the maker and the fields.
func (w *writer) identification() mxml.Element {
	e := mxml.Group("identification")
	if w.c.By != "" {
		e.Add(mxml.Leaf("creator", w.c.By).With("type", "composer"))
	}
	e.Add(mxml.Group("encoding", mxml.Leaf("software", "undersong")), mxml.Group("miscellaneous", w.fields()...))
	return e
}

func (w *writer) fields() (all []mxml.Element) {
	put := func(name, value string) {
		if value != "" {
			all = append(all, mxml.Leaf("miscellaneous-field", value).With("name", name))
		}
	}
	c := w.c
	put(fieldFormat, "1")
	if c.Unit > 0 {
		put(fieldUnit, strconv.Itoa(int(c.Unit)))
	}
	put(fieldPattern, c.Pattern)
	put(fieldIntro, c.Intro.Name)
	put(fieldTurnaround, c.Turnaround.Name)
	put(fieldEnding, c.Ending.Name)
	for i, f := range c.Fills {
		numbers := make([]string, len(f.Bars))
		for j, n := range f.Bars {
			numbers[j] = strconv.Itoa(n)
		}
		put(fmt.Sprintf(fieldFill, i+1), strings.Join(numbers, ",")+" "+f.Name)
	}
	for i, s := range c.Sections {
		put(fmt.Sprintf(fieldSection, i+1), s.Pattern.Name)
	}
	put(fieldSimile, similes(c))
	put(fieldPieces, strings.Join(w.pieces, " "))
	for v := range mostVerses {
		put(fmt.Sprintf(fieldWords, v+1), versed(c, v))
	}
	return all
}

// similes are the places of the bars that are written %.
func similes(c *chart.Chart) string {
	var all []string
	for i, b := range c.Bars() {
		if b.Simile {
			all = append(all, strconv.Itoa(i))
		}
	}
	return strings.Join(all, " ")
}

// versed is a verse's words by bar; nothing where it has none.
func versed(c *chart.Chart, v int) string {
	var all []string
	some := false
	for _, b := range c.Bars() {
		text := ""
		if v < len(b.Lyrics) {
			text = b.Lyrics[v]
		}
		some = some || text != ""
		all = append(all, text)
	}
	if !some {
		return ""
	}
	return strings.Join(all, "|")
}

// part is the measures.
func (w *writer) part() mxml.Element {
	part := mxml.Group("part").With("id", "P1")
	bars := w.c.Bars()
	for s := range w.c.Sections {
		name := w.c.Sections[s].Name
		for _, l := range w.c.Sections[s].Lines {
			for j := range l.Bars {
				var next *chart.Bar
				if w.at+1 < len(bars) {
					next = bars[w.at+1]
				}
				part.Add(w.measure(&l.Bars[j], next, name, w.at > 0 && j == 0))
				name = ""
				w.at++
			}
		}
	}
	return part
}

// measure is a bar: a section of that name begins with it, or a line.
func (w *writer) measure(b, next *chart.Bar, section string, begins bool) mxml.Element {
	m := mxml.Group("measure").With("number", strconv.Itoa(b.Number))
	if b.Number == 0 {
		m = m.With("implicit", "yes")
	}
	if begins {
		m.Add(mxml.Leaf("print", "").With("new-system", "yes"))
	}
	if left := w.left(b); left != (mxml.Barline{}) {
		m.Add(left.On("left"))
	}
	if w.before == nil {
		m.Add(w.attributes())
		if !w.c.Untimed {
			m.Add(mxml.Tempo(w.c.Tempo, w.c.Meter))
		}
	}
	if section != "" {
		m.Add(mxml.Rehearsal(section))
	}
	m.Add(w.music(b)...)
	if right := right(b, next); right != (mxml.Barline{}) {
		m.Add(right.On("right"))
	}
	w.before = b
	return m
}

func (w *writer) attributes() mxml.Element {
	return mxml.Group("attributes", mxml.Number("divisions", mxml.Divisions), mxml.Key(w.c.Key), mxml.Time(w.c.Meter), w.clef())
}

// clef is the bass clef for a tune that lies low.
func (w *writer) clef() mxml.Element {
	var sum, notes int
	for _, b := range w.c.Bars() {
		for _, n := range b.Melody {
			sum += int(n.Pitch.Num())
			notes++
		}
	}
	if notes > 0 && sum < notes*lowTune {
		return mxml.Clef("F", 4, 0)
	}
	return mxml.Clef("G", 2, 0)
}

// lowTune is the key, on average, below which a tune needs the bass clef: a fifth
// below middle C.
const lowTune = int(pitch.MiddleC) - 7

// left is what begins with a bar.
func (w *writer) left(b *chart.Bar) mxml.Barline {
	var l mxml.Barline
	if b.Opens {
		l.Style, l.Repeat = "heavy-light", true
	}
	if b.Ending > 0 && (w.before == nil || w.before.Ending != b.Ending || w.before.Closes || b.Opens) {
		l.Ending = b.Ending
	}
	return l
}

// right is what ends with a bar.
func right(b, next *chart.Bar) mxml.Barline {
	var r mxml.Barline
	switch {
	case b.Closes:
		r.Style, r.Repeat = "light-heavy", true
		if b.Ending == 0 {
			r.Times = b.Times
		}
	case b.Barline == chart.Double:
		r.Style = "light-light"
	case b.Barline == chart.Final:
		r.Style = "light-heavy"
	}
	if b.Ending > 0 && (next == nil || next.Ending != b.Ending || b.Closes || next.Opens) {
		r.Ending, r.Open = b.Ending, !b.Closes
	}
	return r
}

// music is a bar's notes and rests with its chords and words.
func (w *writer) music(b *chart.Bar) (all []mxml.Element) {
	w.accidentals.Bar()
	notes := w.notes(b)
	if w.unsung(b, notes) {
		for _, text := range b.Lyrics {
			if text != "" {
				all = append(all, mxml.Words(text, "below"))
			}
		}
	}
	for _, n := range notes {
		for i, p := range b.Chords {
			silent := w.before == nil && i == 0 && len(b.Chords) == 1 && p.Chord.IsNone()
			if p.At >= n.At && p.At < n.At+n.Dur && !silent {
				all = append(all, mxml.Harmony(p.Chord, p.At-n.At))
			}
		}
		all = append(all, n.Element())
	}
	return all
}

// notes are a bar's notes and rests.
func (w *writer) notes(b *chart.Bar) []mxml.Note {
	if len(b.Melody) == 0 {
		w.tied = false
		p := mxml.Piece{Value: mxml.Value{Dur: b.Len}, Rest: true}
		return []mxml.Note{{Piece: p, WholeBar: true, Voice: 1}}
	}
	spans, of := spansOf(b)
	var all []mxml.Note
	for _, p := range mxml.Pieces(spans, w.c.Meter) {
		n := mxml.Note{Piece: p, Voice: 1}
		if !p.Rest {
			sung := b.Melody[of[p.Of]]
			n.Pitch = sung.Pitch
			if !p.First {
				w.pieces = append(w.pieces, fmt.Sprintf("%d:%d", w.at, p.At))
			}
			n.FromTie, n.ToTie = !p.First || w.tied, !p.Last || sung.Tied
			n.Accidental = w.accidentals.Sign(n.Pitch, n.FromTie)
			if sung.Ends && p.Last {
				n.Articulations = []mxml.Element{mxml.Leaf("breath-mark", "")}
			}
		}
		w.tied = n.ToTie
		all = append(all, n)
	}
	w.sing(b, all)
	return all
}

// spansOf are a bar's notes, and the rests between and around them; of is the index
// of each span's note.
func spansOf(b *chart.Bar) (spans []mxml.Span, of []int) {
	var at meter.Ticks
	to := func(end meter.Ticks) {
		if end > at {
			spans, of = append(spans, mxml.Span{At: at, Dur: end - at, Rest: true}), append(of, 0)
		}
	}
	for i, n := range b.Melody {
		to(n.At)
		spans, of = append(spans, mxml.Span{At: n.At, Dur: n.Dur}), append(of, i)
		at = n.At + n.Dur
	}
	to(b.Len)
	return spans, of
}
