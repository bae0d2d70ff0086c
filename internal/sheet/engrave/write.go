package engrave

import (
	"fmt"

	"undersong/internal/sheet/mxml"
	"undersong/internal/sheet/score"
)

// write makes the file.
func (d *document) write(parts []*part) []byte {
	version := "3.0"
	if d.o.Names {
		version = "4.0"
	}
	root := mxml.Group("score-partwise", d.head(parts)...).With("version", version)
	for i, p := range parts {
		root.Add(mxml.Group("part", d.measures(p)...).With("id", fmt.Sprintf("P%d", i+1)))
	}
	return mxml.Document(root)
}

// head is title, composer and the list of parts.
func (d *document) head(parts []*part) (all []mxml.Element) {
	by := d.s.Chart.By
	if d.s.Title != "" {
		all = append(all, mxml.Group("work", mxml.Leaf("work-title", d.s.Title)))
	}
	id := mxml.Group("identification")
	if by != "" {
		id.Add(mxml.Leaf("creator", by).With("type", "composer"))
	}
	encoding := mxml.Group("encoding", mxml.Leaf("software", "undersong"))
	for _, name := range []string{"accidental", "beam"} {
		encoding.Add(mxml.Leaf("supports", "").With("element", name).With("type", "yes"))
	}
	id.Add(encoding)
	all = append(all, id)
	all = append(all, credit("title", d.s.Title, "center", "22")...)
	all = append(all, credit("composer", by, "right", "12")...)
	list := mxml.Group("part-list")
	for i, p := range parts {
		list.Add(mxml.Group("score-part", mxml.Leaf("part-name", p.name).With("print-object", "no")).With("id", fmt.Sprintf("P%d", i+1)))
	}
	return append(all, list)
}

// credit is words on the first page.
func credit(kind, text, justify, size string) []mxml.Element {
	if text == "" {
		return nil
	}
	words := mxml.Leaf("credit-words", text).With("justify", justify).With("valign", "top").With("font-size", size)
	return []mxml.Element{mxml.Group("credit", mxml.Leaf("credit-type", kind), words).With("page", "1")}
}

// measures are those of a part.
func (d *document) measures(p *part) (all []mxml.Element) {
	signs := make([]*mxml.Accidentals, len(p.staves))
	for n := range signs {
		signs[n] = mxml.NewAccidentals(d.s.Key)
	}
	number := 0
	for i := range d.s.Bars {
		b := &d.s.Bars[i]
		if b.Number != 0 {
			number++
		}
		m := mxml.Group("measure").With("number", fmt.Sprint(number))
		if b.Len < d.s.Meter.Bar() {
			m = m.With("implicit", "yes")
		}
		if d.o.Names && p.top {
			m = m.With("id", fmt.Sprintf("m%d", i))
		}
		if p.top && lineBegins(d.s, i) {
			m.Add(mxml.Leaf("print", "").With("new-system", "yes"))
		}
		m.Add(d.attributes(p, i)...)
		for n, st := range p.staves {
			signs[n].Bar()
			if n > 0 {
				m.Add(mxml.Group("backup", mxml.Number("duration", b.Len)))
			}
			m.Add(d.voice(p, n, st, i, signs[n])...)
		}
		m.Add(d.barline(i)...)
		all = append(all, m)
	}
	return all
}

// attributes are what changes at the beginning of a measure.
func (d *document) attributes(p *part, bar int) []mxml.Element {
	e := mxml.Group("attributes")
	if bar == 0 {
		e.Add(mxml.Number("divisions", mxml.Divisions), mxml.Key(d.s.Key), mxml.Time(d.s.Meter))
		if len(p.staves) > 1 {
			e.Add(mxml.Number("staves", len(p.staves)))
		}
	}
	for n, st := range p.staves {
		if bar == 0 || st.clefs[bar] != st.clefs[bar-1] {
			at := place{n, len(p.staves)}
			if st.clefs[bar] == treble {
				e.Add(mxml.Clef("G", 2, at.number()))
			} else {
				e.Add(mxml.Clef("F", 4, at.number()))
			}
		}
	}
	if len(e.Kids) == 0 {
		return nil
	}
	return []mxml.Element{e}
}

// barline closes sections and the whole.
func (d *document) barline(bar int) []mxml.Element {
	last := bar == len(d.s.Bars)-1
	switch {
	case last:
		return []mxml.Element{mxml.Barline{Style: "light-heavy"}.On("right")}
	case closes(d.s, bar):
		return []mxml.Element{mxml.Barline{Style: "light-light"}.On("right")}
	}
	return nil
}

// closes reports a bar with which a section ends, or a time through it.
func closes(s *score.Score, bar int) bool {
	a, b := &s.Bars[bar], &s.Bars[bar+1]
	return a.Number != 0 && (a.Section != b.Section || b.Pass > a.Pass)
}

// voice is a staff's notes of a measure; those of the uppermost staff have the
// chord names and directions over them.
func (d *document) voice(p *part, n int, st *staff, bar int, acc *mxml.Accidentals) (all []mxml.Element) {
	b := &d.s.Bars[bar]
	at := place{n, len(p.staves)}
	over := p.top && n == 0
	if over {
		all = append(all, d.directions(bar)...)
	}
	if n == 0 && p.hands && b.Fill != nil {
		all = append(all, words("fill", "font-style", "italic"))
	}
	signs := st.signs(d.s, bar)
	if len(signs) == 0 {
		if over {
			all = append(all, d.harmonies(b, 0, b.Len)...)
		}
		rest := mxml.Note{WholeBar: true, Voice: at.voice(), Staff: at.number()}
		rest.Rest, rest.Dur = true, b.Len
		return append(all, rest.Element())
	}
	for _, g := range signs {
		if over {
			all = append(all, d.harmonies(b, g.start, g.start+g.Dur)...)
		}
		if g.event != nil && !g.from {
			all = append(all, d.octave(st, g.index, true, at)...)
		}
		all = append(all, d.sign(g, at, acc)...)
		if g.event != nil && !g.to {
			all = append(all, d.octave(st, g.index, false, at)...)
		}
	}
	return all
}
