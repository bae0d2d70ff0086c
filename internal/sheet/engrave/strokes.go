package engrave

import (
	"fmt"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// event is a note or a chord where it is written.
type event struct {
	at, end meter.Ticks
	notes   []pitch.Pitch // low to high
	grace   []pitch.Pitch // struck just before
	accent  bool
	roll    bool
	words   []lyric
	name    string // what its ids begin with
}

// tuneStaff is the tune by itself.
func (d *document) tuneStaff() *staff {
	st := &staff{home: treble}
	up := 0
	if d.s.Pattern != nil && d.s.Pattern.Rows[pattern.Right] == nil && d.s.Only == score.BothHands {
		up = d.s.Lift()
	}
	words := sung(d.s)
	for i, n := range d.s.Melody {
		p := n.Pitch
		p.Octave += up
		st.events = append(st.events, event{at: n.At, end: n.At + n.Dur, notes: []pitch.Pitch{p}, words: words[i], name: fmt.Sprintf("t%d", i)})
	}
	return st
}

// handStaff is what a hand strikes.
func (d *document) handStaff(h pattern.Hand) *staff {
	s := d.s
	st := &staff{home: treble}
	if h == pattern.Left {
		st.home = bass
	}
	places := writtenPlaces(s)
	inHand := h == pattern.Right && !tuneApart(s)
	var words [][]lyric
	if inHand {
		words = sung(s)
	}
	sp := speller{s: s}
	last := meter.Ticks(-1)
	for i := range s.Wants {
		w := &s.Wants[i]
		if w.Hand != h {
			continue
		}
		e := event{at: places.of(w, w.At, last), accent: w.Accent, name: fmt.Sprintf("w%d", i)}
		e.end = max(e.at+1, places.of(w, w.At+w.Dur, e.at))
		last = e.at
		sp.next = following(s, i)
		e.notes, e.grace = sp.stroke(w)
		e.roll = w.Roll && len(e.notes) > 1
		if n, ok := places.notes[w.At]; ok && inHand && w.Role == score.Melody {
			e.words = words[n]
		}
		if n := len(st.events); n > 0 {
			st.events[n-1].end = min(st.events[n-1].end, e.at)
		}
		st.events = append(st.events, e)
	}
	return st
}

// following is the next stroke of the same hand, or nil.
func following(s *score.Score, i int) *score.Want {
	for j := i + 1; j < len(s.Wants); j++ {
		if s.Wants[j].Hand == s.Wants[i].Hand {
			return &s.Wants[j]
		}
	}
	return nil
}

// places tells where what sounds at a place is written.
type places struct {
	s     *score.Score
	tune  map[meter.Ticks]meter.Ticks // of notes and ends of the tune
	notes map[meter.Ticks]int         // index of the note of the tune that sounds there
}

func writtenPlaces(s *score.Score) *places {
	p := &places{s, map[meter.Ticks]meter.Ticks{}, map[meter.Ticks]int{}}
	for i, n := range s.Melody {
		p.tune[s.Swung(n.At)], p.tune[s.Swung(n.At+n.Dur)] = n.At, n.At+n.Dur
		if b := &s.Bars[n.Bar]; b.Pattern != nil && n.At >= b.Pattern.Grid.Ticks(s.Meter) {
			early := n.At - b.Pattern.Grid.Ticks(s.Meter)
			if at := s.Swung(early); !has(p.tune, at) {
				p.tune[at], p.notes[at] = early, i // which comes a cell sooner
			}
		}
	}
	for i, n := range s.Melody {
		p.notes[s.Swung(n.At)] = i
	}
	return p
}

func has(m map[meter.Ticks]meter.Ticks, at meter.Ticks) bool {
	_, ok := m[at]
	return ok
}

// of is where a place of a stroke is written: after another place, or else where
// it sounds.
func (p *places) of(w *score.Want, sounds, after meter.Ticks) meter.Ticks {
	at := sounds
	if written, ok := p.tune[sounds]; ok && w.Role == score.Melody {
		at = written
	} else {
		at = p.even(w.Hand, sounds)
	}
	if at <= after {
		return sounds
	}
	return at
}

// even takes the swing off a place: the late second of a pair of cells is written
// halfway.
func (p *places) even(h pattern.Hand, at meter.Ticks) meter.Ticks {
	s := p.s
	b := &s.Bars[s.BarAt(min(at, s.Length-1))]
	of := b.Pattern
	in := at - begins(s, b)
	if b.Fill != nil && in >= b.Fill.FillsFrom(h, s.Meter) {
		of = b.Fill
	}
	if of == nil || of.Swing.Straight() {
		return at
	}
	cell := of.Grid.Ticks(s.Meter)
	pair := 2 * cell
	if within := in % pair; within == pair*meter.Ticks(of.Swing.Long)/meter.Ticks(of.Swing.Long+of.Swing.Short) {
		return at - within + cell
	}
	return at
}
