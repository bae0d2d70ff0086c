package abc

import (
	"errors"
	"slices"
	"strings"

	"undersong/internal/sheet/song"
)

// passage is bars that are played so often, with different endings where there are
// any.
type passage struct {
	from, to int // without the endings
	variants []variant
	times    int
}

// variant is an ending for some of the times.
type variant struct {
	from, to int
	on       []int
}

func (p passage) end() int {
	if n := len(p.variants); n > 0 {
		return p.variants[n-1].to
	}
	return p.to
}

// passages finds what is repeated (4.8 to 4.10). Where the sign for a beginning is
// missing it begins with the part, or after the last double barline or end of a
// repeat.
func passages(bars []*bar) []passage {
	var all []passage
	for i := 0; i < len(bars); {
		p := passageAt(bars, i)
		all = append(all, p)
		i = p.end()
	}
	return all
}

func passageAt(bars []*bar, from int) passage {
	p := passage{from: from, times: 1}
	for i := from; i < len(bars); i++ {
		b := bars[i]
		if i > from && (b.opens > 0 || b.part != bars[i-1].part && bars[from].opens == 0) {
			p.to = i
			return p
		}
		if len(b.endings) > 0 {
			p.to = i
			p.readVariants(bars)
			return p
		}
		p.to = i + 1
		if b.closes > 0 {
			p.times = max(b.closes, bars[from].opens) + 1
			return p
		}
		if b.stops && bars[from].opens == 0 {
			return p
		}
	}
	return p
}

// readVariants reads the endings behind p.to.
func (p *passage) readVariants(bars []*bar) {
	closed := false
	most := 0
	for i := p.to; i < len(bars) && len(bars[i].endings) > 0; {
		v := variant{from: i, on: bars[i].endings}
		if slices.ContainsFunc(p.variants, func(w variant) bool { return slices.Contains(w.on, v.on[0]) }) {
			break // the endings of another passage
		}
		for ended := false; !ended; i++ {
			closed = bars[i].closes > 0
			ended = closed || bars[i].stops || i+1 == len(bars) || len(bars[i+1].endings) > 0 || bars[i+1].opens > 0 || bars[i+1].part != bars[i].part
		}
		v.to = i
		p.variants = append(p.variants, v)
		most = max(most, slices.Max(v.on))
	}
	if len(p.variants) == 1 && closed {
		most++ // the last time is played as what follows
	}
	p.times = most
}

// mark tells the bars what of it song.Bar can tell.
func (p passage) mark(bars []*bar) {
	if p.times < 2 {
		return
	}
	bars[p.from].first = true
	if len(p.variants) == 0 {
		bars[p.to-1].last, bars[p.to-1].times = true, p.times
		return
	}
	for i, v := range p.variants {
		for _, b := range bars[v.from:v.to] {
			b.ending = v.on[0]
		}
		if b := bars[v.to-1]; i < len(p.variants)-1 || len(p.variants) == 1 {
			b.last, b.times = true, p.times
		}
	}
}

var errEndless = errors.New("with its repeats this tune is longer than any")

// unfold adds the bars of passages in the order of playing; first is the number of
// the first.
func unfold(order []int, all []passage, first int) ([]int, error) {
	add := func(from, to int) {
		for i := from; i < to && len(order) <= song.MostBars; i++ {
			order = append(order, first+i)
		}
	}
	for _, p := range all {
		for pass := 1; pass <= p.times && len(order) <= song.MostBars; pass++ {
			add(p.from, p.to)
			for _, v := range p.variants {
				if slices.Contains(v.on, pass) {
					add(v.from, v.to)
				}
			}
		}
	}
	if len(order) > song.MostBars {
		return nil, errEndless
	}
	return order, nil
}

// stretch is the bars of a part.
type stretch struct {
	name     string
	from, to int
}

func (r *reader) stretches(bars []*bar) []stretch {
	var all []stretch
	for i, b := range bars {
		if n := len(all); n > 0 && bars[i-1].part == b.part {
			all[n-1].to = i + 1
			continue
		}
		all = append(all, stretch{r.parts[b.part].name, i, i + 1})
	}
	return all
}

// played is the order in which the bars are played: as written, or as P: in the
// header says (3.1.9).
func (r *reader) played(bars []*bar) ([]int, error) {
	parts := r.stretches(bars)
	names, err := partOrder(r.order)
	if err != nil {
		return nil, err
	}
	var listed []stretch
	missing := map[string]bool{}
	for _, name := range names {
		i := slices.IndexFunc(parts, func(s stretch) bool { return s.name == name })
		if i < 0 {
			missing[name] = true
			continue
		}
		listed = append(listed, parts[i])
	}
	if len(listed) == 0 || r.asWritten(parts, names) {
		all := passages(bars)
		for _, p := range all {
			p.mark(bars)
		}
		order, err := unfold(nil, all, 0)
		if err != nil {
			return nil, err
		}
		return withJumps(order, all, bars)
	}
	for name := range missing {
		r.tell("the order of the parts names " + name + ", which is not there")
	}
	return r.inParts(bars, parts, listed)
}

// asWritten reports parts that are written just as they are to be played.
func (r *reader) asWritten(parts []stretch, names []string) bool {
	var written []string
	for _, s := range parts {
		if s.name != "" {
			written = append(written, s.name)
		}
	}
	return slices.Equal(written, names)
}

// inParts plays the parts as listed, after what stands before the first of them.
func (r *reader) inParts(bars []*bar, parts, listed []stretch) (order []int, err error) {
	if first := parts[0]; first.name == "" {
		listed = append([]stretch{first}, listed...)
	}
	if where(bars, 0, func(s signs) bool { return s.capo || s.dalSegno }) >= 0 {
		r.tell("D.C. and D.S. are not followed where P: says the order")
	}
	heard := map[int]bool{}
	within := map[int][]passage{}
	for _, s := range parts {
		within[s.from] = passages(bars[s.from:s.to])
		for _, p := range within[s.from] {
			p.mark(bars[s.from:s.to])
		}
	}
	for i := 0; i < len(listed); i++ {
		s := listed[i]
		heard[s.from] = true
		if order, err = unfold(order, within[s.from], s.from); err != nil {
			return nil, err
		}
		for n := inAll(within[s.from]); n > 1 && i+1 < len(listed) && listed[i+1] == s; n-- {
			i++ // its own endings count these times (4.10)
		}
	}
	for _, s := range parts {
		if !heard[s.from] && s.name != "" {
			r.tell("the part " + s.name + " is not in the order of the parts, and not played")
		}
	}
	return order, nil
}

// inAll is how often a part that is one passage with endings is played.
func inAll(all []passage) int {
	if len(all) == 1 && len(all[0].variants) > 2 {
		return all[0].times
	}
	return 0
}

// mostParts is how many parts an order may list.
const mostParts = 1000

// partOrder lists the parts that P: names, such as (AB)3.A2 (3.1.9).
func partOrder(text string) ([]string, error) {
	stack := [][]string{nil}
	var last []string // what a number would repeat
	for i := 0; i < len(text); i++ {
		c := text[i]
		top := len(stack) - 1
		switch {
		case c == '(':
			stack = append(stack, nil)
			last = nil
		case c == ')' && top > 0:
			last = stack[top]
			stack = stack[:top]
			stack[top-1] = append(stack[top-1], last...)
		case c >= '0' && c <= '9':
			n := strings.IndexFunc(text[i:]+" ", func(r rune) bool { return r < '0' || r > '9' })
			times := number(text[i:i+n], 0, mostParts)
			i += n - 1
			if len(last) == 0 {
				continue
			}
			base := len(stack[top]) - len(last)
			stack[top] = stack[top][:base]
			for range times {
				if stack[top] = append(stack[top], last...); len(stack[top]) > mostParts {
					return nil, errEndless
				}
			}
			last = nil
		case c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z':
			last = []string{string(rune(c))}
			stack[top] = append(stack[top], last...)
		}
		if len(stack) > mostParts || len(stack[len(stack)-1]) > mostParts {
			return nil, errEndless
		}
	}
	var all []string
	for _, s := range stack {
		all = append(all, s...)
	}
	return all, nil
}
