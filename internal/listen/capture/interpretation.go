package capture

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
)

// interpretation is a pulse understood as bars of a meter.
type interpretation struct {
	*pulse
	meter   meter.Meter
	ticks   meter.Ticks // of a cell
	perBar  int         // cells
	offset  int         // cells of bar 1 before the first note
	bars    int         // played
	closed  bool        // the last stroke, alone on a downbeat, only ends the playing
	length  int         // bars of the pattern
	slips   int         // strokes that did not come each time
	halves  bool        // of each of its bars are alike
	aspects [aspects]float64
	cost    float64
	rivals  []meter.Meter // others that fit about as well, the likeliest first
}

// at is where a group falls: its bar from 0 and its cell in the bar.
func (r *interpretation) at(group int) (bar, cell int) {
	p := r.pos[group] + r.offset
	return p / r.perBar, p % r.perBar
}

func (r *interpretation) tempo() meter.Tempo {
	return meter.Tempo(60 / (r.cell * float64(r.meter.Beat()) / float64(r.ticks)))
}

// tried are the meters that are looked for, in the order of their aspects.
var tried = []meter.Meter{{Num: 4, Den: 4}, {Num: 3, Den: 4}, {Num: 6, Den: 8}, {Num: 2, Den: 4}, {Num: 12, Den: 8}, {Num: 5, Den: 4}}

// Knows reports a meter in which patterns are captured.
func Knows(m meter.Meter) bool { return slices.Contains(tried, m) }

// MeterNames lists those meters.
func MeterNames() string { return strings.Join(meterNames(tried), ", ") }

func meterNames(all []meter.Meter) []string {
	var names []string
	for _, m := range all {
		names = append(names, m.String())
	}
	return names
}

// read finds the likeliest interpretation.
func (t *take) read() (*interpretation, error) {
	if len(t.groups) == 1 {
		return t.readOne()
	}
	var all []*interpretation // the likeliest of each meter
	least := math.Inf(1)
	for _, p := range pulses(t.groups, t.hints()) {
		if weights[offPulse]*p.cost > least+rivalBy {
			break // nothing else makes an interpretation likelier than its pulse
		}
		if len(t.groups) >= 5 && p.cost > 0 { // chance explains them better
			continue
		}
		for _, r := range t.understand(&p) {
			all = keepLikelier(all, r)
			least = min(least, r.cost)
		}
	}
	slices.SortStableFunc(all, func(a, b *interpretation) int { return cmp.Compare(a.cost, b.cost) })
	return t.chosen(all)
}

func keepLikelier(all []*interpretation, r *interpretation) []*interpretation {
	at := slices.IndexFunc(all, func(o *interpretation) bool { return o.meter == r.meter })
	if at < 0 {
		return append(all, r)
	}
	if r.cost < all[at].cost {
		all[at] = r
	}
	return all
}

// understand lists the interpretations of a pulse.
func (t *take) understand(p *pulse) []*interpretation {
	var all []*interpretation
	for _, m := range tried {
		if t.o.Meter != (meter.Meter{}) && m != t.o.Meter {
			continue
		}
		for _, ticks := range cellTicks(m, p.swing) {
			if r := t.interpret(p, m, ticks); r != nil {
				all = append(all, r)
			}
		}
	}
	return all
}

// chosen is the first of the likeliest, with its rivals.
func (t *take) chosen(all []*interpretation) (*interpretation, error) {
	if len(all) == 0 && t.o.OnBeat > 1 {
		return nil, errOnBeat
	}
	if len(all) == 0 {
		return nil, errNoGrid
	}
	best := all[0]
	if best.length > MostBars || best.bars > MostBars && best.slips*3 > len(t.groups) {
		return nil, errNoRepeat
	}
	for _, r := range all[1:] {
		if r.cost <= best.cost+rivalBy {
			best.rivals = append(best.rivals, r.meter)
		}
	}
	return best, nil
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
	tries := []meter.Ticks{m.Bar(), meter.Half, m.Beat(), meter.Quarter, meter.Eighth, meter.Sixteenth}
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

// mostPlayed bounds the bars of one capture.
const mostPlayed = 64

// rounded is by how much of a beat a told one may be off: thirds are told as 1.33, to the
// hundredth.
const rounded = 0.5 * 1e-2

// interpret lays bars over a pulse; nil where that cannot be.
func (t *take) interpret(p *pulse, m meter.Meter, ticks meter.Ticks) *interpretation {
	r := &interpretation{pulse: p, meter: m, ticks: ticks, perBar: int(m.Bar() / ticks)}
	tempo := r.tempo()
	if t.o.Tempo == 0 && (tempo < slowest || tempo > fastest) || tempo < meter.SlowestTempo || tempo > meter.FastestTempo {
		return nil
	}
	if t.o.OnBeat > 1 {
		perBeat := float64(m.Beat()) / float64(ticks)
		into := (t.o.OnBeat - 1) * perBeat
		r.offset = int(math.Round(into))
		if math.Abs(into-float64(r.offset)) > rounded*perBeat || r.offset >= r.perBar {
			return nil
		}
	}
	r.countBars(t)
	if r.bars > mostPlayed {
		return nil
	}
	r.fold(t)
	r.weigh(t)
	return r
}

// countBars finds how many bars were played, and whether the last stroke only
// ends them.
func (r *interpretation) countBars(t *take) {
	lastBar, lastCell := r.at(len(t.groups) - 1)
	r.bars = lastBar + 1
	if lastCell == 0 && lastBar > 0 && len(t.groups) > 2 && t.endsLikeFirst() {
		before, _ := r.at(len(t.groups) - 2)
		if before < lastBar && len(t.groups)-1 >= 2*lastBar {
			r.closed, r.bars = true, lastBar
		}
	}
}

// endsLikeFirst reports a last stroke on the bass of the first.
func (t *take) endsLikeFirst() bool {
	first, last := t.groups[0].notes[0].key, t.groups[len(t.groups)-1].notes[0].key
	return last.Class() == first.Class() && last <= first
}

// counted are the groups that belong to the pattern.
func (r *interpretation) counted(t *take) []group {
	if r.closed {
		return t.groups[:len(t.groups)-1]
	}
	return t.groups
}
