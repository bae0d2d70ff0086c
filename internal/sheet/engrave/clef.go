package engrave

import (
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// clef is one of two.
type clef uint8

const (
	treble clef = iota
	bass
)

// lines are the bottom and top line of each clef's staff, counted in white keys
// from C0.
var lines = [2][2]int{treble: {4*7 + 2, 5*7 + 3}, bass: {2*7 + 4, 3*7 + 5}}

// step is the place of a pitch on the staff, counted in white keys from C0.
func step(p pitch.Pitch) int { return 7*p.Octave + int(p.Letter) }

// ledgers is how many ledger lines a pitch needs.
func (c clef) ledgers(p pitch.Pitch) int {
	s := step(p)
	return max(0, (lines[c][0]-s)/2, (s-lines[c][1])/2)
}

// What a page is read by: a bar in a clef that is not the staff's own, and a change
// of clef, weigh as much as so many notes on a third ledger line (tried on the
// shipped patterns in all keys).
const (
	awayWeight   = 1
	changeWeight = 8
)

// weight is how hard a bar reads in a clef.
func (st *staff) weight(c clef, from, to meter.Ticks) int {
	sum := 0
	if c != st.home {
		sum = awayWeight
	}
	for _, e := range st.events {
		if e.end <= from || e.at >= to {
			continue
		}
		for _, p := range e.notes {
			if l := c.ledgers(p) - 2; l > 0 {
				sum += l * l
			}
		}
	}
	return sum
}

// lay chooses clefs and octave signs.
func (st *staff) lay(s *score.Score) {
	st.layClefs(s)
	st.layShifts(s)
}

// layClefs chooses the clef of each bar so that all of it reads well.
func (st *staff) layClefs(s *score.Score) {
	n := len(s.Bars)
	cost := [2]int{}
	cost[1-st.home] = changeWeight
	came := make([][2]clef, n)
	for i := range s.Bars {
		from, to := s.Bars[i].At, s.Bars[i].At+s.Bars[i].Len
		var next [2]int
		for c := range clef(2) {
			came[i][c] = c
			next[c] = cost[c]
			if other := cost[1-c] + changeWeight; other < next[c] {
				next[c], came[i][c] = other, 1-c
			}
			next[c] += st.weight(c, from, to)
		}
		cost = next
	}
	c := st.home
	if cost[1-c] < cost[c] {
		c = 1 - c
	}
	st.clefs = make([]clef, n)
	for i := n - 1; i >= 0; i-- {
		st.clefs[i] = c
		c = came[i][c]
	}
}

// shift is a run of events under an octave sign.
type shift struct {
	first, last int // indices of events
	up          bool
}

// Beyond so many ledger lines an octave sign begins; it goes on as long as notes
// lie out there at all (common practice, no source).
const mostLedgers = 4

// layShifts puts octave signs over what is too high, under what is too low.
func (st *staff) layShifts(s *score.Score) {
	for i := 0; i < len(st.events); i++ {
		for _, up := range []bool{true, false} {
			if !st.far(s, i, up, mostLedgers) {
				continue
			}
			first, last := i, i
			for first > 0 && !st.shifted(first-1) && st.far(s, first-1, up, 1) {
				first--
			}
			for last+1 < len(st.events) && st.far(s, last+1, up, 1) {
				last++
			}
			st.shifts = append(st.shifts, shift{first, last, up})
			i = last
			break
		}
	}
}

func (st *staff) shifted(i int) bool {
	n := len(st.shifts)
	return n > 0 && st.shifts[n-1].last >= i
}

// far reports an event whose outer note needs so many ledger lines or more and
// that as a whole lies where an octave sign would help it: high in the treble, low
// in the bass.
func (st *staff) far(s *score.Score, i int, up bool, ledgers int) bool {
	e := &st.events[i]
	c := st.clefs[s.BarAt(e.at)]
	low, high := e.notes[0], e.notes[len(e.notes)-1]
	switch {
	case up != (c == treble):
		return false
	case up:
		return step(high) > lines[c][1] && c.ledgers(high) >= ledgers && step(low)-7 >= lines[c][0]-4
	}
	return step(low) < lines[c][0] && c.ledgers(low) >= ledgers && step(high)+7 <= lines[c][1]+4
}
