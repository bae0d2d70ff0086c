package track

import "time"

// barPlace is where a beat stands in its bar.
type barPlace struct {
	pos, length int // beat pos, counted from 0, of length
}

func (b barPlace) cost() float64 {
	switch {
	case b.pos == 0:
		return changeBar
	case b.length%2 == 0 && b.pos == b.length/2:
		return changeHalf
	}
	return changeBeat
}

const (
	// barLine is what a bar line of the file counts for, in changes of chord.
	barLine = 0.5
	// barSlip is what a bar of another length costs: tracked beats slip, and
	// tunes have a bar of two now and then.
	barSlip = 4.0
	// barThree is how much better bars of three must explain the changes.
	barThree = 1.15
)

// barPositions finds the bars: beats where chords change first of all, and the
// file's own bar lines.
func barPositions(c *cells, chain []found) []barPlace {
	on := make([]float64, len(c.beats))
	for _, f := range chain {
		if c.inBeat[f.from] == 0 && f.from > 0 {
			on[c.beatOf[f.from]]++
		}
	}
	for k, b := range c.bass {
		if b.struck && c.inBeat[k] == 0 && b.key < bassTop {
			on[c.beatOf[k]] += 0.15
		}
	}
	fileLength := 0
	last := -1
	for b, p := range c.beats {
		if p.bar {
			on[b] += barLine
			if last >= 0 && fileLength == 0 {
				fileLength = b - last
			}
			last = b
		}
	}
	lengths := []int{4, 3}
	if fileLength >= 2 && fileLength <= 12 {
		lengths = []int{fileLength}
	}
	var best []barPlace
	bestScore := 0.0
	for _, length := range lengths {
		places, score := barChain(on, length)
		if best == nil || score > bestScore*barThree {
			best, bestScore = places, score
		}
	}
	return best
}

// barChain is the likeliest count of beats in bars of one length, and how much
// better than chance its bar lines are chosen.
func barChain(on []float64, length int) ([]barPlace, float64) {
	mean := 0.0
	for _, v := range on {
		mean += v / float64(len(on))
	}
	gain := func(b, pos int) float64 {
		switch {
		case pos == 0:
			return on[b] - mean
		case length%2 == 0 && pos == length/2:
			return 0.3 * (on[b] - mean)
		}
		return 0
	}
	score := make([]float64, length)
	back := make([][]int8, len(on))
	for b := range on {
		best := 0
		for p := range score {
			if score[p] > score[best] {
				best = p
			}
		}
		next := make([]float64, length)
		back[b] = make([]int8, length)
		for p := range next {
			from := (p + length - 1) % length
			if b > 0 && score[best]-barSlip > score[from] {
				next[p], back[b][p] = score[best]-barSlip, int8(best)
			} else {
				next[p], back[b][p] = score[from], int8(from)
			}
			next[p] += gain(b, p)
		}
		score = next
	}
	at := 0
	for p := range score {
		if score[p] > score[at] {
			at = p
		}
	}
	total := score[at]
	places := make([]barPlace, len(on))
	for b := len(on) - 1; b >= 0; b-- {
		places[b] = barPlace{at, length}
		at = int(back[b][at])
	}
	return places, total
}

// grid is the beats and bars for those who write the chords down as a chart.
func (c *cells) grid(bars []barPlace, fromFile bool, end time.Duration) Grid {
	g := Grid{FromFile: fromFile}
	for b, p := range c.beats {
		at := time.Duration(p.at * float64(time.Second))
		if at < 0 || at > end {
			continue
		}
		if bars[b].pos == 0 {
			g.BarStarts = append(g.BarStarts, len(g.Beats))
		}
		g.Beats = append(g.Beats, at)
	}
	return g
}
