package engrave

import (
	"fmt"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/mxml"
)

// place says where on a page a sign stands.
type place struct {
	staff, staves int
}

func (p place) voice() int { return 1 + 4*p.staff }

// number is the staff from 1 where there are several, else 0.
func (p place) number() int {
	if p.staves > 1 {
		return p.staff + 1
	}
	return 0
}

// octave begins or ends an octave sign at an event.
func (d *document) octave(st *staff, event int, begins bool, at place) (all []mxml.Element) {
	for _, sh := range st.shifts {
		kind, where := "up", "below"
		if sh.up {
			kind, where = "down", "above"
		}
		switch {
		case begins && sh.first == event:
		case !begins && sh.last == event:
			kind = "stop"
		default:
			continue
		}
		sign := mxml.Leaf("octave-shift", "").With("type", kind).With("size", "8")
		e := mxml.Group("direction", mxml.Group("direction-type", sign)).With("placement", where)
		if n := at.number(); n > 0 {
			e.Add(mxml.Number("staff", n))
		}
		all = append(all, e)
	}
	return all
}

// sign writes a rest, a note or a chord.
func (d *document) sign(g sign, at place, acc *mxml.Accidentals) (all []mxml.Element) {
	if g.event == nil {
		return []mxml.Element{mxml.Note{Piece: g.Piece, Voice: at.voice(), Staff: at.number()}.Element()}
	}
	if !g.from {
		for _, p := range g.event.grace {
			all = append(all, grace(p, at, acc))
		}
	}
	for i, p := range g.event.notes {
		all = append(all, d.note(g, i, p, at, acc))
	}
	return all
}

// grace is a short note before another.
func grace(p pitch.Pitch, at place, acc *mxml.Accidentals) mxml.Element {
	e := mxml.Group("note", mxml.Leaf("grace", "").With("slash", "yes"), mxml.Pitch(p), mxml.Number("voice", at.voice()), mxml.Leaf("type", "eighth"))
	if sign := acc.Sign(p, false); sign != "" {
		e.Add(mxml.Leaf("accidental", sign))
	}
	if n := at.number(); n > 0 {
		e.Add(mxml.Number("staff", n))
	}
	return e
}

// note is one note of a chord.
func (d *document) note(g sign, i int, p pitch.Pitch, at place, acc *mxml.Accidentals) mxml.Element {
	n := mxml.Note{
		Piece: g.Piece, Pitch: p, Chord: i > 0, FromTie: g.from, ToTie: g.to,
		Accidental: acc.Sign(p, g.from), Voice: at.voice(), Staff: at.number(), Attr: d.id(g, i),
	}
	last := i == len(g.event.notes)-1
	if !g.from {
		n.Arpeggio = g.event.roll
		if g.event.accent && last {
			n.Articulations = []mxml.Element{mxml.Leaf("accent", "")}
		}
		if i == 0 {
			n.Lyrics = lyrics(g.event)
		}
	}
	return n.Element()
}

// id names a note, where names are wanted.
func (d *document) id(g sign, i int) []string {
	if !d.o.Names {
		return nil
	}
	name := fmt.Sprintf("%s-%d", g.event.name, i)
	if g.event.name[0] == 't' {
		name = g.event.name
	}
	if g.from {
		d.parts[name]++
		name += fmt.Sprintf("-%d", d.parts[name])
	}
	return []string{"id", name}
}

// lyrics are the syllables under a note.
func lyrics(e *event) (all []mxml.Element) {
	for _, l := range e.words {
		kind := "single"
		switch {
		case l.begun && l.goes:
			kind = "middle"
		case l.begun:
			kind = "end"
		case l.goes:
			kind = "begin"
		}
		under := mxml.Lyric(l.verse, kind, l.text)
		if l.drawn {
			under.Add(mxml.Leaf("extend", ""))
		}
		all = append(all, under)
	}
	return all
}
