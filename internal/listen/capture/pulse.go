package capture

import (
	"math"
	"sort"

	"undersong/internal/sheet/pattern"
)

// pulse is a train of cells, even or swung in pairs, on which all onsets are laid.
type pulse struct {
	swing pattern.Swing // of each pair of cells; straight where even
	cell  float64       // mean length, seconds
	pos   []int         // of each group, the first at 0
	cost  float64       // of the fit: smaller is better
	line  []float64     // the smoothed time of each group's place, seconds
}

// place is where a cell begins, in cells of mean length.
func place(s pattern.Swing, pos int) float64 {
	if s.Straight() || pos&1 == 0 {
		return float64(pos)
	}
	return float64(pos-1) + 2*float64(s.Long)/float64(s.Long+s.Short)
}

// nearest is the cell that begins nearest to a place.
func nearest(s pattern.Swing, at float64) int {
	low := int(math.Floor(at))
	best, dist := low-1, math.Inf(1)
	for p := low - 1; p <= low+2; p++ {
		if d := math.Abs(place(s, p) - at); d < dist {
			best, dist = p, d
		}
	}
	return best
}

// The ratios that a swung pair may have.
var swings = []pattern.Swing{{Long: 3, Short: 2}, {Long: 2, Short: 1}}

// pulses are the likeliest, best first.
func pulses(groups []group, hints []float64) []pulse {
	times := make([]float64, len(groups))
	for i, g := range groups {
		times[i] = g.at
	}
	var all []pulse
	for _, cell := range cells(times, hints) {
		all = append(all, trackPulse(times, cell, pattern.Swing{}))
		for _, s := range swings {
			if p := trackPulse(times, cell, s); p.offbeats() > 0 {
				p.cost += swingCost
				all = append(all, p)
			}
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].cost < all[j].cost })
	return distinct(all)
}

// distinct keeps the best of those that say the same.
func distinct(all []pulse) []pulse {
	var kept []pulse
next:
	for _, p := range all {
		for _, k := range kept {
			if k.swing == p.swing && math.Abs(k.cell/p.cell-1) < sameCell {
				continue next
			}
		}
		kept = append(kept, p)
	}
	return kept
}

// offbeats counts the groups on the second cell of a pair.
func (p *pulse) offbeats() int {
	n := 0
	for _, at := range p.pos {
		n += at & 1
	}
	return n
}

// cells are lengths to try: intervals between neighbours and those next to them,
// and their parts.
func cells(times, hints []float64) []float64 {
	tries := append([]float64(nil), hints...)
	for i := range times {
		for j := i + 1; j < len(times) && j <= i+2; j++ {
			for part := 1; part <= 8; part++ {
				tries = append(tries, (times[j]-times[i])/float64(part))
			}
		}
	}
	sort.Float64s(tries)
	var all []float64
	for _, c := range tries {
		if c >= shortestCell && c <= longestCell && (len(all) == 0 || c > all[len(all)-1]*(1+sameCell)) {
			all = append(all, c)
		}
	}
	return all
}

// trackPulse lays the onsets on cells of about a length: one that strayed by more than
// half an octave would be nearer to half or twice as long.
func trackPulse(times []float64, cell float64, s pattern.Swing) pulse {
	p := pulse{swing: s, cell: cell, pos: make([]int, len(times))}
	period, anchor, at := cell, times[0], 0.0
	last := 0
	for i := 1; i < len(times); i++ {
		heard := at + (times[i]-anchor)/period
		pos := max(nearest(s, heard), last)
		off := (heard - place(s, pos)) * period
		steps := place(s, pos) - at
		anchor = times[i] - (1-phaseGain)*off
		at = place(s, pos)
		if steps > 0 {
			period += tempoGain * off / steps
			period = min(max(period, cell/math.Sqrt2), cell*math.Sqrt2)
		}
		p.pos[i], last = pos, pos
	}
	p.smooth(times)
	p.weigh(times)
	return p
}

// smooth fits a line to the onsets around each: where the beat was, without the
// unevenness of single fingers.
func (p *pulse) smooth(times []float64) {
	p.line = make([]float64, len(times))
	for i := range times {
		lo, hi := max(0, i-near), min(len(times)-1, i+near)
		var w, u, t, uu, ut float64
		for j := lo; j <= hi; j++ {
			d := float64(j - i)
			k := 1 - math.Abs(d)/(near+1)
			x := place(p.swing, p.pos[j]) - place(p.swing, p.pos[i])
			w, u, t, uu, ut = w+k, u+k*x, t+k*times[j], uu+k*x*x, ut+k*x*times[j]
		}
		det := w*uu - u*u
		if det < 1e-9 {
			p.line[i] = t / w
			continue
		}
		p.line[i] = (t*uu - u*ut) / det
	}
	if last := place(p.swing, p.pos[len(p.pos)-1]); last > 0 {
		p.cell = (p.line[len(p.line)-1] - p.line[0]) / last
	}
}

// weigh is how unlikely the onsets are on this grid against chance: a fine grid
// catches anything, so a hit on a coarse one tells more.
func (p *pulse) weigh(times []float64) {
	for i := 1; i < len(times); i++ {
		off := min(math.Abs(times[i]-p.line[i])/uneven, mostOff)
		p.cost += off*off/2 - math.Log(max(p.cell, 1e-3)/(uneven*math.Sqrt(2*math.Pi)))
		if p.pos[i] == p.pos[i-1] {
			p.cost += crowded
		}
	}
}
