package transcribe

import (
	"math"
)

// chordSpan is a stretch of cells with its chord.
type chordSpan struct {
	from, to int
	candidate
}

// price sets what a change costs at each cell, by its place in the bar where
// that is known.
func (c *cells) price(places []metricalPosition, from origin) {
	c.borders = make([]float64, c.count())
	c.accents = make([]float64, c.count())
	for k := range c.borders {
		c.accents[k] = 1
		if places != nil {
			c.accents[k] = places[k].accent()
		}
		switch {
		case places != nil:
			c.borders[k] = places[k].change()
		case c.inBeat[k] == 0 || from != fromFile:
			c.borders[k] = changeBeatAny
		default:
			c.borders[k] = changeOffAny
		}
		if c.struck[k] == 0 {
			c.borders[k] += changeSilent
		}
	}
}

// search finds the chain of spans with the best score.
func (c *cells) search() []chordSpan {
	n := c.count()
	m := newModel()
	score := make([]float64, n+1)
	back := make([]chordSpan, n+1)
	for j := range score {
		score[j] = math.Inf(-1)
	}
	score[0] = 0
	var w spanBuilder
	for i := range n {
		if math.IsInf(score[i], -1) {
			continue
		}
		cost := c.borders[i]
		if i == 0 {
			cost = 0
		}
		w.begin(c, i)
		for j := i + 1; j <= n && j-i <= longestSpan; j++ {
			w.extend(c, j-1)
			if j < n && c.borders[j] >= changeOff+changeSilent {
				continue
			}
			r := w.read(c, m, i, j, back[i].candidate, cost)
			if s := score[i] + r.score; s > score[j] {
				score[j] = s
				back[j] = chordSpan{i, j, r}
			}
		}
	}
	var chain []chordSpan
	for j := n; j > 0; j = back[j].from {
		chain = append(chain, back[j])
	}
	for a, b := 0, len(chain)-1; a < b; a, b = a+1, b-1 {
		chain[a], chain[b] = chain[b], chain[a]
	}
	return joined(chain)
}

func joined(chain []chordSpan) []chordSpan {
	out := chain[:0]
	for _, f := range chain {
		if n := len(out); n > 0 && out[n-1].root == f.root && out[n-1].typ == f.typ && out[n-1].bass == f.bass {
			out[n-1].to = f.to
			continue
		}
		out = append(out, f)
	}
	return out
}
