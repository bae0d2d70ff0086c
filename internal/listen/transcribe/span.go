package transcribe

import "undersong/internal/music/pitch"

// spanBuilder grows a span cell by cell from where it begins.
type spanBuilder struct {
	begun   int
	over    []int32 // notes held over from before
	held    [12]float64
	lowest  pitch.Num
	low     []bassCell // the bass of each cell so far
	lengths []float64
	basses  []pitch.Class
}

func (w *spanBuilder) begin(c *cells, i int) {
	w.begun = i
	w.over = w.over[:0]
	for _, n := range c.active[i] {
		if c.notes[n].first < i {
			w.over = append(w.over, n)
		}
	}
	w.held = [12]float64{}
	w.lowest = -1
	w.low = w.low[:0]
	w.lengths = w.lengths[:0]
}

func (w *spanBuilder) extend(c *cells, k int) {
	for _, n := range w.over {
		s := &c.notes[n]
		if at := k - s.first; at < len(s.fill) {
			w.held[s.class] += heldOver * present(s.fill[at])
		}
	}
	b := c.bass[k]
	w.low = append(w.low, b)
	w.lengths = append(w.lengths, c.beatPart(k)*c.accents[k])
	if b.key >= 0 && (w.lowest < 0 || b.key < w.lowest) {
		w.lowest = b.key
	}
}

// beatPart is how much of a beat a cell is.
func (c *cells) beatPart(k int) float64 { return 1 / float64(c.beats[c.beatOf[k]].cells) }

// read is the best candidate for the cells i to j, after the span that the best
// chain so far ends with. change is what a new chord costs here.
func (w *spanBuilder) read(c *cells, m *model, i, j int, before candidate, change float64) candidate {
	s := span{key: c.keys[(i+j)/2], sure: c.sure[(i+j)/2]}
	total := 0.0
	for pc := range s.share {
		v := c.sum[j][pc] - c.sum[i][pc] - w.held[pc] - c.ahead(i, j, pc)
		if v > 0 {
			s.share[pc] = v
			total += v
		}
	}
	if total == 0 {
		return candidate{score: -change}
	}
	for pc := range s.share {
		s.share[pc] /= total
		s.upper[pc] = max(0, c.upper[j][pc]-c.upper[i][pc]-c.ahead(i, j, pc)) / total
	}
	s.before, s.change = before, change
	s.beats = c.full[j] - c.full[i]
	w.weighBass(&s)
	return m.best(&s)
}

// ahead is the sound of class pc in the last cell of a span that only
// anticipates the next one.
func (c *cells) ahead(i, j, pc int) float64 {
	if j-i < 2 || j >= c.count() || c.borders[j] >= changeOff {
		return 0
	}
	return ahead * c.late[j-1][pc]
}

func (w *spanBuilder) weighBass(s *span) {
	first := bassFirst
	for k, b := range w.low {
		if b.key < 0 || b.key > w.lowest+bassReach {
			continue
		}
		weight := w.lengths[k]
		if !b.struck {
			weight *= bassHeld
		}
		s.bass[b.key.Class()] += weight * first
		first = 1
	}
	s.basses = w.basses[:0]
	for c, v := range s.bass {
		if v > 0 {
			s.basses = append(s.basses, pitch.Class(c))
		}
	}
	w.basses = s.basses
}
