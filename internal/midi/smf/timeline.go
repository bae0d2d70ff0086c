package smf

import (
	"cmp"
	"slices"
	"time"
)

// timeline turns ticks into time and back. Time is kept as a whole number of
// units, 1/den of a nanosecond each, so that nothing is lost at a tempo change
// and each answer is rounded once.
type timeline struct {
	den    int64 // units in a nanosecond
	spans  []span
	cursor int
}

// span is a stretch of one tempo.
type span struct {
	tick  int64 // where it starts
	units int64 // time at its start
	step  int64 // units in a tick
}

// valid reports a division that a file may have.
func (d Division) valid() bool {
	if d.TicksPerQuarter != 0 {
		return d.TicksPerQuarter > 0 && d.TicksPerQuarter < 1<<15 && d.FramesPerSecond == 0
	}
	switch d.FramesPerSecond {
	case 24, 25, 29, 30:
		return d.TicksPerFrame > 0 && d.TicksPerFrame < 1<<8
	}
	return false
}

// newTimeline makes a timeline of tempos in order of tick. Under a division
// into film frames a tick has a fixed length, and tempos do not count.
func newTimeline(d Division, tempos []TempoChange) *timeline {
	if d.TicksPerQuarter == 0 {
		// In thirds of a nanosecond all four frames are whole numbers.
		frame := map[int]int64{24: 125_000_000, 25: 120_000_000, 29: 100_100_000, 30: 100_000_000}
		return &timeline{den: 3 * int64(d.TicksPerFrame), spans: []span{{step: frame[d.FramesPerSecond]}}}
	}
	t := &timeline{den: int64(d.TicksPerQuarter), spans: []span{{step: DefaultTempo * 1000}}}
	for _, c := range tempos {
		last := &t.spans[len(t.spans)-1]
		step := int64(c.MicrosPerQuarter) * 1000
		if c.Tick == last.tick {
			last.step = step
			continue
		}
		units, ok := t.units(*last, c.Tick)
		if !ok {
			break // beyond MaxLength, where nothing is asked
		}
		t.spans = append(t.spans, span{tick: c.Tick, units: units, step: step})
	}
	return t
}

// units is the time at tick, which lies in s. It is not ok beyond MaxLength.
// MaxLength in units fits int64 for every division: 24 h is under 2^47 ns and
// den under 2^15.
func (t *timeline) units(s span, tick int64) (int64, bool) {
	limit := int64(MaxLength) * t.den
	n := tick - s.tick
	if n > (limit-s.units)/s.step {
		return 0, false
	}
	return s.units + n*s.step, true
}

// at is the time of a tick (0 or more), rounded to the nanosecond. It is not
// ok beyond MaxLength. It is quick when asked in rising order.
func (t *timeline) at(tick int64) (time.Duration, bool) {
	if tick < t.spans[t.cursor].tick {
		t.cursor = 0
	}
	for t.cursor+1 < len(t.spans) && t.spans[t.cursor+1].tick <= tick {
		t.cursor++
	}
	units, ok := t.units(t.spans[t.cursor], tick)
	return time.Duration((units + t.den/2) / t.den), ok
}

func (t *timeline) rewind() { t.cursor = 0 }

// tick is the tick nearest to a time from 0 to MaxLength.
func (t *timeline) tick(at time.Duration) int64 {
	units := int64(at) * t.den
	i, found := slices.BinarySearchFunc(t.spans, units, func(s span, u int64) int { return cmp.Compare(s.units, u) })
	if !found {
		i--
	}
	s := t.spans[i]
	return s.tick + (units-s.units+s.step/2)/s.step
}

// stamp fills in the times of p's tempos, meters and keys.
func (t *timeline) stamp(p *Performance) {
	for i := range p.Tempos {
		p.Tempos[i].At, _ = t.at(p.Tempos[i].Tick)
	}
	for i := range p.Meters {
		p.Meters[i].At, _ = t.at(p.Meters[i].Tick)
	}
	for i := range p.Keys {
		p.Keys[i].At, _ = t.at(p.Keys[i].Tick)
	}
}

// sortPlaced merges tracks that were read one after the other.
func sortPlaced(m []placed) {
	order := func(a, b placed) int {
		return cmp.Or(cmp.Compare(a.tick, b.tick), cmp.Compare(a.seq, b.seq))
	}
	if !slices.IsSortedFunc(m, order) {
		slices.SortFunc(m, order)
	}
}

// sortMap puts tempos, meters and keys, read track by track, in order of tick.
func sortMap(p *Performance) {
	slices.SortStableFunc(p.Tempos, func(a, b TempoChange) int { return cmp.Compare(a.Tick, b.Tick) })
	slices.SortStableFunc(p.Meters, func(a, b MeterChange) int { return cmp.Compare(a.Tick, b.Tick) })
	slices.SortStableFunc(p.Keys, func(a, b KeyChange) int { return cmp.Compare(a.Tick, b.Tick) })
}
