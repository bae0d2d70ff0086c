package cause

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/test/sounding"
)

// pedal is the damper pedal of a channel, up at 0, at a time.
func pedal(at time.Duration, channel, value uint8) event.Event {
	return event.Event{At: at, Status: event.ControlChange | channel, Data1: event.Damper, Data2: value}
}

// In bars of two seconds, a chord each, eight chords; the pedal goes down in bar 1, and the
// cause begins there. Live the first harmony that blurs is told at once.
func TestHowAPedalIsStuck(t *testing.T) {
	const down = 1100 * time.Millisecond
	bar := func(n float64) time.Duration { return time.Duration((n - 1) * float64(2*time.Second)) }
	type stuck struct{ bar, to int }
	for name, c := range map[string]struct {
		moves  []event.Event
		causes []stuck
		blurs  int // told besides, by one who hears a recording
		live   int // and by one who hears it played
	}{
		"never lifted":                        {[]event.Event{pedal(down, 0, 127)}, []stuck{{1, 8}}, 0, 1},
		"half a pedal":                        {[]event.Event{pedal(down, 0, 63)}, nil, 0, 0},
		"just down":                           {[]event.Event{pedal(down, 0, 64)}, []stuck{{1, 8}}, 0, 1},
		"two harmonies, then lifted":          {[]event.Event{pedal(down, 0, 127), pedal(bar(3.9), 0, 0)}, nil, 2, 2},
		"three":                               {[]event.Event{pedal(down, 0, 127), pedal(bar(4.9), 0, 0)}, []stuck{{1, 4}}, 0, 1},
		"pressed again and again":             {[]event.Event{pedal(down, 0, 127), pedal(bar(2.5), 0, 100), pedal(bar(3.5), 0, 127)}, []stuck{{1, 8}}, 0, 1},
		"lifted, and stuck again":             {[]event.Event{pedal(down, 0, 127), pedal(bar(4.9), 0, 0), pedal(bar(5.1), 0, 127)}, []stuck{{1, 4}, {5, 8}}, 0, 2},
		"lifted after two, and stuck again":   {[]event.Event{pedal(down, 0, 127), pedal(bar(3.9), 0, 0), pedal(bar(4.1), 0, 127)}, []stuck{{4, 8}}, 2, 3},
		"lifted on one of two channels":       {[]event.Event{pedal(down, 0, 127), pedal(down, 1, 127), pedal(bar(2.9), 1, 0)}, []stuck{{1, 8}}, 0, 1},
		"lifted on both":                      {[]event.Event{pedal(down, 0, 127), pedal(down, 1, 127), pedal(bar(2.9), 1, 0), pedal(bar(2.95), 0, 0)}, nil, 1, 1},
		"all notes ended after two harmonies": {[]event.Event{pedal(down, 0, 127), {At: bar(3.9), Status: event.ControlChange, Data1: 123}}, nil, 2, 2},
	} {
		s := sounding.ScoreOf(t, "4/4", eight, "block-whole")
		evs := append(sounding.Exact(s).Events(), c.moves...)
		slices.SortStableFunc(evs, func(a, b event.Event) int { return int(a.At - b.At) })
		for _, patient := range []bool{true, false} {
			h, j := played(s, evs, Options{Patient: patient}, 0)
			var causes []stuck
			var downs []time.Duration
			for _, m := range c.moves {
				if m.Data2 >= 64 {
					downs = append(downs, m.At)
				}
			}
			for i, c := range j.Summary().Causes {
				assert.Equal(t, finding.StuckPedal, c.Kind, name)
				assert.Equal(t, finding.Foot, c.Hand, name)
				causes = append(causes, stuck{c.Bar, c.ToBar})
				first := h.causes[i]
				assert.Contains(t, downs, first.At-first.Offset, "%s: for how long it had been down", name)
				assert.Equal(t, c.ToBar-first.ToBar > 0, c.Offset > first.Offset, "%s: and in the end", name)
			}
			assert.Equal(t, c.causes, causes, name)
			blurs := c.live
			if patient {
				blurs = c.blurs
			}
			told := wrongs(h.found)
			assert.Len(t, told, blurs, "%s, patient: %t", name, patient)
			for _, f := range told {
				assert.Equal(t, finding.Blurred, f.Kind, name)
			}
		}
	}
}
