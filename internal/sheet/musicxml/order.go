package musicxml

import (
	"fmt"
	"slices"

	"undersong/internal/sheet/song"
)

// marked settles what only the whole score tells: which measures each ending
// covers, and which of two coda signs is the one that is jumped from.
func (r *reader) marked() {
	var now []int
	highest := 0
	for i := range r.flow {
		f := &r.flow[i]
		if f.starts != nil {
			now = slices.Clone(f.starts)
			for j, n := range now {
				if n == 0 { // without a number: the next
					now[j] = highest + 1
				}
				highest = max(highest, now[j])
			}
		}
		f.endings = now
		if f.stops || f.backward {
			now = nil
		}
		if now == nil && (i+1 == len(r.flow) || r.flow[i+1].starts == nil) {
			highest = 0
		}
	}
	r.totals()
	r.twoCodas()
}

// totals tells how often the repeats around measures are played. Endings that
// follow one another belong to one repeat: it is played up to the highest number
// of several, and once more than that of a single one, after which the last time
// goes on.
func (r *reader) totals() {
	for from := 0; from < len(r.flow); {
		to, most, brackets := from, 0, 0
		for ; to < len(r.flow) && r.flow[to].endings != nil && (to == from || !r.flow[to].forward); to++ {
			most = max(most, slices.Max(r.flow[to].endings))
			if r.flow[to].starts != nil {
				brackets++
			}
		}
		if brackets == 1 {
			most++
		}
		for i := from; i < to; i++ {
			r.flow[i].total = most
		}
		if to == from {
			r.flow[from].total = max(2, r.flow[from].times)
			to++
		}
		from = to
	}
}

// twoCodas takes the first of two coda signs for the place to jump from where
// nothing else says it (common practice, no source).
func (r *reader) twoCodas() {
	var signs []int
	for i, f := range r.flow {
		if f.to {
			return
		}
		if f.coda {
			signs = append(signs, i)
		}
	}
	if len(signs) == 2 {
		r.flow[signs[0]].coda, r.flow[signs[0]].to = false, true
	}
}

// player plays measures in order.
type player struct {
	flow  []flow
	order []int

	at, start, pass int          // the measure; where its repeat began; the time through it, from 1
	jumped          int          // the measure that was jumped from and, until it is passed, repeats are not played; -1 for none
	noCoda, noFine  bool         // of that jump
	open            bool         // a jump was taken, and neither end nor coda reached
	taken           map[int]bool // jumps that were taken
}

// play is the order of playing, as the repeats, endings and jumps have it. Jumps
// count at the end of their measure, and after its repeat; after one, repeats are
// played once, with their last ending, up to where it came from (common practice,
// and <repeat after-jump>).
func (r *reader) play() ([]int, error) {
	r.marked()
	p := &player{flow: r.flow, pass: 1, jumped: -1, taken: map[int]bool{}}
	for p.at < len(r.flow) {
		f := &p.flow[p.at]
		if f.forward && (p.pass == 1 || p.at != p.start) {
			p.start, p.pass = p.at, 1
		}
		if f.endings != nil && !p.sings(f) {
			p.leave()
			p.at++
			continue
		}
		if p.order = append(p.order, p.at); len(p.order) > song.MostBars {
			return nil, fmt.Errorf("with its repeats the score is longer than %d measures", song.MostBars)
		}
		if p.next(f) {
			break
		}
	}
	return p.order, nil
}

// again reports that repeats are not played, as after a jump.
func (p *player) again() bool { return p.at <= p.jumped }

// sings reports that the ending here is played this time.
func (p *player) sings(f *flow) bool {
	if p.again() {
		return slices.Contains(f.endings, f.total)
	}
	return slices.Contains(f.endings, p.pass)
}

// next goes to the measure that follows; it reports the end.
func (p *player) next(f *flow) bool {
	switch {
	case p.open && f.to && !p.noCoda && p.toCoda(f):
		return false
	case p.open && f.fine && !p.noFine:
		return true
	case f.backward && p.repeats(f):
		p.at, p.pass = p.start, p.pass+1
		return false
	case (f.capo || f.dal) && !p.taken[p.at] && (f.only == nil || slices.Contains(f.only, p.pass)):
		if p.jump(f) {
			return false
		}
	}
	p.leave()
	p.at++
	return false
}

func (p *player) repeats(f *flow) bool {
	if p.again() && !f.afterJump {
		return false
	}
	return p.pass < f.total
}

// leave ends a repeat where the measure is its last.
func (p *player) leave() {
	f := &p.flow[p.at]
	if (f.backward || f.endings != nil) && (p.at+1 == len(p.flow) || p.flow[p.at+1].endings == nil) {
		p.start, p.pass = p.at+1, 1
	}
}

// mostJumps is more than any song takes.
const mostJumps = 100

// jump goes back to the sign, or to the beginning.
func (p *player) jump(f *flow) bool {
	to := 0
	if len(p.taken) == mostJumps {
		return false
	}
	if f.dal && !f.capo {
		to = p.find(func(g *flow) (bool, string) { return g.segno, g.segnoName }, f.dalName, false)
		if to < 0 {
			return false
		}
	}
	p.taken[p.at] = true
	p.jumped, p.open, p.noCoda, p.noFine = p.at, true, f.noCoda, f.noFine
	p.at, p.start, p.pass = to, to, 1
	return true
}

// toCoda goes to the coda.
func (p *player) toCoda(f *flow) bool {
	to := p.find(func(g *flow) (bool, string) { return g.coda, g.codaName }, f.toName, true)
	if to <= p.at {
		return false
	}
	p.at, p.start, p.pass, p.jumped, p.open = to, to, 1, -1, false
	return true
}

// find is the measure with a sign: the one of that name, else the last up to here
// or the first behind, whichever is there, and of both the one that is ahead where
// that is wanted; -1 for none.
func (p *player) find(sign func(*flow) (bool, string), name string, ahead bool) int {
	before, behind := -1, -1
	for i := range p.flow {
		is, called := sign(&p.flow[i])
		switch {
		case !is:
		case called == name && name != "":
			return i
		case i <= p.at:
			before = i
		case behind < 0:
			behind = i
		}
	}
	if behind >= 0 && (ahead || before < 0) {
		return behind
	}
	return before
}
