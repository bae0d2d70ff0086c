package transcribe

import (
	"math"
)

// found is a stretch of cells with its reading.
type found struct {
	from, to int
	reading
}

// What a change of chord costs, in nats, by where it falls. Chords change at
// bar lines, often in the middle of a bar, sometimes on a beat, and offbeat
// next to never: what is struck there is early (common practice, no source).
const (
	changeBar  = 0.9 // at 3, no cheaper than a beat, early chords are written early
	changeHalf = 2.0 // at 0.5, an arpeggio of Dm7 falls into Dm7 and F
	changeBeat = 4.0 // at 1.5, a walking bass makes chords of its approach notes
	changeOff  = 7.0 // at 3, a chord an eighth early is written an eighth early
	// changeBeatAny and changeOffAny are for the first search, which finds the
	// bars: near each other, since the file's beats may lie half a beat out.
	changeBeatAny = 2.6
	changeOffAny  = 3.6
	// changeSilent comes on top where nothing is struck. At 8, chords that all
	// come an eighth early take the beat along with them.
	changeSilent = 3.0
)

// price sets what a change costs at each cell, by its place in the bar where
// that is known.
func (c *cells) price(places []place, from origin) {
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

// longestSpan is how many cells a chord is weighed over at once: a bar of
// eighths. A chord that stays longer is found in pieces and joined, for goesOn
// apiece. At 4, a root and its fifth in the bass fall apart; at 32 a seventh
// that comes in the second half of a long chord is lost in it.
const longestSpan = 8

// search finds the chain of spans with the best score.
func (c *cells) search() []found {
	n := c.count()
	m := newModel()
	score := make([]float64, n+1)
	back := make([]found, n+1)
	for j := range score {
		score[j] = math.Inf(-1)
	}
	score[0] = 0
	var w walker
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
			r := w.read(c, m, i, j, back[i].reading, cost)
			if s := score[i] + r.score; s > score[j] {
				score[j] = s
				back[j] = found{i, j, r}
			}
		}
	}
	var chain []found
	for j := n; j > 0; j = back[j].from {
		chain = append(chain, back[j])
	}
	for a, b := 0, len(chain)-1; a < b; a, b = a+1, b-1 {
		chain[a], chain[b] = chain[b], chain[a]
	}
	return joined(chain)
}

func joined(chain []found) []found {
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
