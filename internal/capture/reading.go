package capture

import (
	"math"
	"strings"

	"undersong/internal/meter"
	"undersong/internal/pattern"
)

// reading is a pulse understood as bars of a meter.
type reading struct {
	*pulse
	meter  meter.Meter
	ticks  meter.Ticks // of a cell
	perBar int         // cells
	offset int         // cells of bar 1 before the first note
	bars   int         // played
	closed bool        // the last stroke, alone on a downbeat, only ends the playing
	length int         // bars of the pattern
	slips  int         // strokes that did not come each time
	told   float64     // what it takes to write it down
	cost   float64
}

// at is where a group falls: its bar from 0 and its cell in the bar.
func (r *reading) at(group int) (bar, cell int) {
	p := r.pos[group] + r.offset
	return p / r.perBar, p % r.perBar
}

func (r *reading) tempo() meter.Tempo {
	return meter.Tempo(60 / (r.cell * float64(r.meter.Beat()) / float64(r.ticks)))
}

// tried are the meters that are looked for, with how surprising each is (common
// practice, no source).
var tried = []struct {
	meter meter.Meter
	cost  float64
}{
	{meter.Meter{Num: 4, Den: 4}, 0},
	{meter.Meter{Num: 3, Den: 4}, 0.7},
	{meter.Meter{Num: 6, Den: 8}, 1.5},
	{meter.Meter{Num: 2, Den: 4}, 2.5},
	{meter.Meter{Num: 12, Den: 8}, 3},
	{meter.Meter{Num: 5, Den: 4}, 3},
}

// Knows reports a meter in which patterns are captured.
func Knows(m meter.Meter) bool {
	for _, t := range tried {
		if t.meter == m {
			return true
		}
	}
	return false
}

// MeterNames lists those meters.
func MeterNames() string {
	var all []string
	for _, t := range tried {
		all = append(all, t.meter.String())
	}
	return strings.Join(all, ", ")
}

// read finds the likeliest reading.
func (t *take) read() (*reading, error) {
	if len(t.groups) == 1 {
		return t.readOne()
	}
	var best *reading
	all := pulses(t.groups, t.hints())
	for i := range all {
		p := &all[i]
		if best != nil && p.cost > best.cost {
			break // nothing else makes a reading likelier than its pulse
		}
		if len(t.groups) < 5 || p.cost <= noGrid*float64(len(t.groups)) {
			best = t.understand(p, best)
		}
	}
	return best, t.acceptable(best)
}

// understand is the likeliest reading of a pulse, unless best is likelier.
func (t *take) understand(p *pulse, best *reading) *reading {
	for _, m := range tried {
		if t.o.Meter != (meter.Meter{}) && m.meter != t.o.Meter {
			continue
		}
		for _, ticks := range cellTicks(m.meter, p.swing) {
			r := t.reading(p, m.meter, ticks)
			if r == nil {
				continue
			}
			if r.cost += m.cost; best == nil || r.cost < best.cost {
				best = r
			}
		}
	}
	return best
}

// noGrid is the mean cost of an onset from which a grid explains no more than
// chance does.
const noGrid = -0.05

func (t *take) acceptable(best *reading) error {
	switch {
	case best == nil && t.o.OnBeat > 1:
		return errOnBeat
	case best == nil:
		return errNoGrid
	case best.length > MostBars, best.bars > MostBars && best.slips*3 > len(t.groups):
		return errNoRepeat
	}
	return nil
}

// readOne reads a single stroke: one bar of the meter and tempo that were told.
func (t *take) readOne() (*reading, error) {
	bar := t.o.Tempo.Duration(t.o.Meter.Bar(), t.o.Meter).Seconds()
	p := &pulse{cell: bar, pos: []int{0}, line: []float64{0}}
	r := &reading{pulse: p, meter: t.o.Meter, ticks: t.o.Meter.Bar(), perBar: 1, bars: 1, length: 1}
	if t.o.OnBeat > 1 {
		return nil, errOnBeat
	}
	return r, nil
}

// hints are cell lengths that a known tempo speaks for.
func (t *take) hints() []float64 {
	if t.o.Tempo == 0 {
		return nil
	}
	beat := 60 / float64(t.o.Tempo)
	all := []float64{beat * 2, beat, beat / 2, beat / 3, beat / 4, beat / 6}
	if t.o.Meter != (meter.Meter{}) {
		all = append(all, beat*float64(t.o.Meter.Beats()))
	}
	return all
}

// cellTicks are the note values that a cell of m may be.
func cellTicks(m meter.Meter, s pattern.Swing) []meter.Ticks {
	if !s.Straight() {
		if m.Compound() {
			return nil
		}
		return []meter.Ticks{meter.Eighth, meter.Sixteenth}
	}
	tries := []meter.Ticks{m.Bar(), m.Bar() / 2, meter.Half, m.Beat(), meter.Quarter, meter.Eighth, meter.Sixteenth}
	if !m.Compound() {
		tries = append(tries, meter.Triplet)
	}
	var all []meter.Ticks
next:
	for _, v := range tries {
		if m.Bar()%v != 0 {
			continue
		}
		for _, had := range all {
			if had == v {
				continue next
			}
		}
		all = append(all, v)
	}
	return all
}

// slowest and fastest are the tempi that are found untold: a slow largo and a
// presto (common practice, no source).
const (
	slowest = 40
	fastest = 220
)

// mostPlayed bounds the bars of one capture.
const mostPlayed = 64

// reading lays bars over a pulse; nil where that cannot be.
func (t *take) reading(p *pulse, m meter.Meter, ticks meter.Ticks) *reading {
	r := &reading{pulse: p, meter: m, ticks: ticks, perBar: int(m.Bar() / ticks)}
	tempo := r.tempo()
	if t.o.Tempo == 0 && (tempo < slowest || tempo > fastest) || tempo < meter.SlowestTempo || tempo > meter.FastestTempo {
		return nil
	}
	if t.o.OnBeat > 1 {
		into := (t.o.OnBeat - 1) * float64(m.Beat()) / float64(ticks)
		r.offset = int(math.Round(into))
		if math.Abs(into-float64(r.offset)) > 0.01 || r.offset >= r.perBar {
			return nil
		}
	}
	r.countBars(t)
	if r.bars > mostPlayed {
		return nil
	}
	r.fold(t)
	r.cost = p.cost + r.told + r.tempoCost(t.o.Tempo) + r.meterCost(t) + r.endCost(t)
	return r
}

// countBars finds how many bars were played, and whether the last stroke only
// ends them.
func (r *reading) countBars(t *take) {
	lastBar, lastCell := r.at(len(t.groups) - 1)
	r.bars = lastBar + 1
	if lastCell == 0 && lastBar > 0 && len(t.groups) > 2 {
		before, _ := r.at(len(t.groups) - 2)
		if before < lastBar && len(t.groups)-1 >= 2*lastBar {
			r.closed, r.bars = true, lastBar
		}
	}
}

// groups are those that belong to the pattern.
func (r *reading) counted(t *take) []group {
	if r.closed {
		return t.groups[:len(t.groups)-1]
	}
	return t.groups
}

// How far a tempo lies from the one that was told, or from the usual, in octaves
// (common practice, no source: most accompaniments are counted at 60 to 140).
const (
	usualTempo    = 92
	usualCompound = 80
	usualSpread   = 0.33
	toldSpread    = 0.035
)

func (r *reading) tempoCost(told meter.Tempo) float64 {
	about, spread := float64(usualTempo), usualSpread
	switch {
	case told > 0:
		about, spread = float64(told), toldSpread
	case r.meter.Compound():
		about = usualCompound
	}
	d := math.Log2(float64(r.tempo())/about) / spread
	return min(d*d/2, 60)
}

// What speaks against a meter: low notes on weak beats, strokes off the beat, bars
// without a downbeat, notes foreign to the bar's chord.
const (
	weakLow    = 5.0
	weakStroke = 0.6
	noDownbeat = 4.0
	foreign    = 0.8
)

func (r *reading) meterCost(t *take) float64 {
	low := t.lowLimit()
	var lows, lowWeak, weak float64
	down := make([]bool, r.bars)
	cost := 0.0
	groups := r.counted(t)
	for i := range groups {
		bar, cell := r.at(i)
		w := r.weakness(cell)
		weak += w
		if int(groups[i].notes[0].key) <= low {
			lows++
			lowWeak += w
		}
		down[bar] = down[bar] || cell == 0
		if len(t.o.Chords) > 1 {
			cost += foreign * float64(foreignIn(t, bar, groups[i]))
		}
	}
	missing := 0.0
	for _, d := range down {
		if !d {
			missing++
		}
	}
	if lows > 0 {
		cost += weakLow * lowWeak / lows
	}
	return cost + weakStroke*weak/float64(len(groups)) + noDownbeat*missing/float64(len(down))
}

func foreignIn(t *take, bar int, g group) int {
	n := 0
	set := t.chordIn(bar).Set()
	for _, note := range g.notes {
		if !set.Has(note.key.Class()) {
			n++
		}
	}
	return n
}

// lowLimit is the key up to which a group's lowest note counts as low; -1 where
// all lie alike.
func (t *take) lowLimit() int {
	lo, hi := 127, 0
	for _, g := range t.groups {
		lo, hi = min(lo, int(g.notes[0].key)), max(hi, int(g.notes[0].key))
	}
	if hi-lo < 7 {
		return -1
	}
	return (lo + hi) / 2
}

// weakness of a cell in its bar: 0 for the downbeat, up to 1 off the beat.
func (r *reading) weakness(cell int) float64 {
	at := meter.Ticks(cell) * r.ticks
	switch {
	case at == 0:
		return 0
	case r.meter.Beats()%2 == 0 && at == r.meter.Bar()/2:
		return 0.25
	case at%r.meter.Beat() == 0:
		return 0.4
	}
	return 1
}

// What speaks against an end: beats of the last bar in which nothing sounds, a
// closing stroke, a row of chords not played to its end.
const (
	emptyBeat  = 0.6
	closing    = 1.0
	brokenRow  = 2.0
	halfRepeat = 1.0
)

func (r *reading) endCost(t *take) float64 {
	groups := r.counted(t)
	end := 0.0
	for i, g := range groups {
		at := place(r.swing, r.pos[i])
		for _, n := range g.notes {
			end = max(end, at+(n.off-n.on).Seconds()/r.cell)
		}
	}
	left := float64(r.bars*r.perBar-r.offset) - math.Ceil(end-0.05)
	cost := emptyBeat * max(0, left) * float64(r.ticks) / float64(r.meter.Beat())
	if r.closed {
		cost += closing
	}
	if len(t.o.Chords) > 1 && r.bars%len(t.o.Chords) != 0 {
		cost += brokenRow
	}
	if r.bars%r.length != 0 {
		cost += halfRepeat
	}
	return cost
}
