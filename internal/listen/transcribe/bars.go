package transcribe

import (
	"time"

	"undersong/internal/music/meter"
)

// metricalPosition is where a cell stands in its bar.
type metricalPosition struct {
	pos, length int // cell pos, counted from 0, of length
	beat        int // cells in a beat
}

func (p metricalPosition) onBeat() bool { return p.pos%p.beat == 0 }

func (p metricalPosition) strength() meter.Strength { return meter.StrengthOf(p.pos, p.beat, p.length) }

// change is what a change of chord costs here.
func (p metricalPosition) change() float64 {
	switch p.strength() {
	case meter.Downbeat:
		return changeBar
	case meter.MidBar:
		return changeHalf
	case meter.OnBeat:
		return changeBeat
	}
	return changeOff
}

func (p metricalPosition) accent() float64 {
	switch p.strength() {
	case meter.Downbeat:
		return accentBar
	case meter.MidBar:
		return accentHalf
	case meter.OnBeat:
		return accentBeat
	}
	return accentOff
}

// weight is how much a change of chord here speaks for this count of bars.
func (p metricalPosition) weight() float64 {
	switch p.strength() {
	case meter.Downbeat:
		return 1
	case meter.MidBar:
		return barOnHalf
	case meter.OnBeat:
		return barOnBeat
	}
	return barOff
}

// barPlaces finds the bars: cells where chords change first of all, low bass
// notes, and the file's own bar lines.
func barPlaces(c *cells, chain []chordSpan, from origin) []metricalPosition {
	on := make([]float64, c.count())
	for _, f := range chain {
		if f.from > 0 {
			on[f.from]++
		}
	}
	for k := range on {
		if c.isLow(k) {
			on[k] += lowNote
		}
		if from == fromFile && c.inBeat[k] == 0 {
			on[k] += beatLine
			if c.beats[c.beatOf[k]].bar {
				on[k] += barLine
			}
		}
	}
	var best []metricalPosition
	bestScore := 0.0
	for _, p := range c.barLengths(from) {
		places, score := barChain(on, p)
		if best == nil || score > bestScore*barThree {
			best, bestScore = places, score
		}
	}
	return best
}

// barLengths are the bars to try, the likelier first: the file's, or of four
// and of three beats.
func (c *cells) barLengths(from origin) []metricalPosition {
	last := -1
	for b, p := range c.beats {
		if !p.bar || from == fromPlaying {
			continue
		}
		if n := b - last; last >= 0 && n >= 2 && n <= 12 {
			return []metricalPosition{{length: n * p.cells, beat: p.cells}}
		}
		last = b
	}
	cells := c.beats[0].cells
	return []metricalPosition{{length: 4 * cells, beat: cells}, {length: 3 * cells, beat: cells}}
}

// isLow reports a bass note struck in cell k below those about it.
func (c *cells) isLow(k int) bool {
	b := c.bass[k]
	if !b.struck || b.key > bassTop {
		return false
	}
	for i := max(k-lowReach, 0); i <= min(k+lowReach, c.count()-1); i++ {
		if o := c.bass[i]; i != k && o.struck && o.key >= 0 && (o.key < b.key || o.key == b.key && i < k) {
			return false
		}
	}
	return true
}

// barChain is the likeliest count of cells in bars of one length, and how much
// better than chance its bar lines are chosen.
func barChain(on []float64, p metricalPosition) ([]metricalPosition, float64) {
	mean := 0.0
	for _, v := range on {
		mean += v / float64(len(on))
	}
	weights := make([]float64, p.length)
	for i := range weights {
		weights[i] = metricalPosition{i, p.length, p.beat}.weight()
	}
	score := make([]float64, p.length)
	next := make([]float64, p.length)
	back := make([]int8, len(on)*p.length)
	for k := range on {
		best := argmax(score)
		for i := range next {
			from := (i + p.length - 1) % p.length
			if k > 0 && score[best]-barSlip > score[from] {
				next[i] = score[best] - barSlip
				from = best
			} else {
				next[i] = score[from]
			}
			back[k*p.length+i] = int8(from)
			next[i] += (on[k] - mean) * weights[i]
		}
		score, next = next, score
	}
	at := argmax(score)
	total := score[at]
	places := make([]metricalPosition, len(on))
	for k := len(on) - 1; k >= 0; k-- {
		places[k] = metricalPosition{at, p.length, p.beat}
		at = int(back[k*p.length+at])
	}
	return places, total
}

func argmax(v []float64) int {
	best := 0
	for i := range v {
		if v[i] > v[best] {
			best = i
		}
	}
	return best
}

// grid is the beats and bars for those who write the chords down as a chart.
func (c *cells) grid(places []metricalPosition, from origin) Grid {
	g := Grid{FromFile: from != fromPlaying}
	for k, p := range places {
		if !p.onBeat() || c.at[k] < 0 {
			continue
		}
		if p.pos == 0 {
			g.BarStarts = append(g.BarStarts, len(g.Beats))
		}
		g.Beats = append(g.Beats, time.Duration(c.at[k]*float64(time.Second)))
	}
	return g
}
