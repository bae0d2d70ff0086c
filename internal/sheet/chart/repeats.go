package chart

import "fmt"

// join applies the barlines of a line to its bars: what closes to the bar
// before, what opens to the bar after.
func (p *parser) join(bars []*written, cut []measure) {
	if len(cut) == 0 {
		return
	}
	s := p.section
	bars = bars[len(bars)-len(cut):] // the upbeat has no repeat signs
	for i, b := range bars {
		left, right := cut[i].left, cut[i].right
		if i == 0 {
			p.closeBefore(left, len(s.bars)-len(bars))
			if s.open != nil {
				left.opens = left.opens || s.open.opens
				left.ending = max(left.ending, s.open.ending)
				s.open = nil
			}
		}
		b.Opens, b.start = left.opens, left.ending
		b.Closes, b.Times, b.Barline = right.closes, right.times, right.barline
	}
	if last := cut[len(cut)-1].right; last.opens || last.ending > 0 {
		s.open = &last
	}
}

// closeBefore applies a barline at the beginning of a line of text to the last bar
// of the line above; at is the number of bars in the section up to there.
func (p *parser) closeBefore(left joint, at int) {
	if at == 0 || p.section.bars[at-1].Number == 0 {
		if left.closes {
			p.fail(left.col, "a repeat ends here before it began", "write |: where it begins, in the same section")
		}
		return
	}
	before := p.section.bars[at-1]
	before.Closes = before.Closes || left.closes
	before.Times = max(before.Times, left.times)
	before.Barline = max(before.Barline, left.barline)
	if before.Closes {
		before.Barline = Single
	}
}

// repeats checks the repeats and endings of a section and marks their bars.
func (p *parser) repeats(s *section) {
	if s.open != nil {
		p.failAt(s.bars[len(s.bars)-1].Line, s.open.col, "nothing follows this repeat sign", "a repeat or ending ends in the section where it begins")
		p.missing = true
		return
	}
	r := repeat{p: p, s: s}
	for i := range s.bars {
		if !r.bar(i) {
			return
		}
	}
	r.end()
}

// repeat is the state of the check.
type repeat struct {
	p      *parser
	s      *section
	open   *written   // where the repeat being read began
	ending int        // the ending being read
	last   bool       // it is the last: no :| follows it
	closes []*written // in this repeat
}

func (r *repeat) fail(b *written, reason, hint string) bool {
	r.p.failAt(b.Line, b.Col, reason, hint)
	r.p.missing = true // later sections may only suffer from the same slip
	return false
}

func (r *repeat) bar(i int) bool {
	b := r.s.bars[i]
	if r.last && (b.Opens || b.start > 0 || r.over(i)) {
		r.done()
	}
	if b.Opens && !r.begin(b) {
		return false
	}
	if b.start > 0 && !r.beginEnding(i) {
		return false
	}
	if r.open != nil && r.ending == 0 && len(r.closes) > 0 {
		return r.fail(b, fmt.Sprintf("ending %d is missing: ending %d repeats", len(r.closes)+1, len(r.closes)), fmt.Sprintf("write |%d. after the :|", len(r.closes)+1))
	}
	b.Ending = r.ending
	if b.Closes {
		return r.close(b)
	}
	return true
}

// over reports that the last ending, which no :| ends, is past: at the end of
// its line or after a double barline.
func (r *repeat) over(i int) bool {
	before := r.s.bars[i-1]
	return before.Barline != Single || before.onLine != r.s.bars[i].onLine
}

func (r *repeat) begin(b *written) bool {
	if r.open != nil {
		return r.fail(b, fmt.Sprintf("a repeat begins here within the one from bar %d", r.open.Number), "end the first with :| before this bar")
	}
	r.open = b
	return true
}

func (r *repeat) beginEnding(i int) bool {
	b := r.s.bars[i]
	switch {
	case r.open == nil:
		return r.fail(b, fmt.Sprintf("ending %d stands outside a repeat", b.start), "write |: where the repeat begins")
	case r.ending > 0:
		return r.fail(b, fmt.Sprintf("ending %d begins before ending %d repeats", b.start, r.ending), fmt.Sprintf("write :|%d. here", b.start))
	case b.start != len(r.closes)+1:
		return r.fail(b, fmt.Sprintf("ending %d stands where ending %d should", b.start, len(r.closes)+1), "number the endings 1, 2, 3 in order")
	}
	r.ending = b.start
	r.last = b.start > 1 && !r.closesLater(i)
	return true
}

// closesLater reports whether a :| ends the ending that begins at bar i.
func (r *repeat) closesLater(i int) bool {
	for j, b := range r.s.bars[i:] {
		if j > 0 && (b.Opens || b.start > 0) {
			return false
		}
		if b.Closes {
			return true
		}
	}
	return false
}

func (r *repeat) close(b *written) bool {
	switch {
	case r.open == nil:
		return r.fail(b, "a repeat ends here that never began", "write |: where it begins, in the same section")
	case r.ending == 0:
		b.Times = max(b.Times, 2)
		r.reset()
		return true
	case b.Times > 0:
		return r.fail(b, fmt.Sprintf("x%d stands in a repeat with endings", b.Times), "the endings count the times; leave it out")
	}
	r.closes = append(r.closes, b)
	r.ending = 0
	return true
}

// done ends a repeat with endings: each :| tells how often it is played in all.
func (r *repeat) done() {
	for _, b := range r.closes {
		b.Times = len(r.closes) + 1
	}
	r.reset()
}

func (r *repeat) reset() { r.open, r.ending, r.last, r.closes = nil, 0, false, nil }

// end checks that no repeat is left open.
func (r *repeat) end() {
	switch {
	case r.last:
		r.done()
	case r.open == nil:
	case len(r.closes) > 0:
		b := r.closes[len(r.closes)-1]
		r.fail(b, fmt.Sprintf("ending %d repeats, but no ending %d follows", b.Ending, len(r.closes)+1), fmt.Sprintf("write |%d. and the last ending after the :|", len(r.closes)+1))
	default:
		r.fail(r.open, fmt.Sprintf("the repeat that begins in bar %d never ends", r.open.Number), "write :| where it ends, in the same section")
	}
}
