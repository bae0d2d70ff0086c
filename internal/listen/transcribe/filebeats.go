package transcribe

import (
	"time"

	"undersong/internal/midi/smf"
)

// maxBeats bounds the beats taken from a file: a day at 200 a minute.
const maxBeats = 300_000

// fileBeats lays out the beats that a file's tempos and meters give. A file of
// film frames has none.
func fileBeats(p *smf.Performance) []Beat {
	if p.TicksPerQuarter == 0 {
		return nil
	}
	var beats []Beat
	clock := tickClock{p: p}
	num, den := 4, 4
	meters := p.Meters
	tick := int64(0)
	for inBar := 0; ; inBar++ {
		for len(meters) > 0 && meters[0].Tick <= tick {
			num, den = meters[0].Num, meters[0].Den
			meters = meters[1:]
			inBar = 0
		}
		step, perBar, cells := beatOf(num, den, int64(p.TicksPerQuarter))
		if inBar >= perBar {
			inBar = 0
		}
		at := clock.at(tick)
		if len(beats) >= maxBeats {
			return nil
		}
		beats = append(beats, Beat{At: at, Bar: inBar == 0, Cells: cells})
		if at >= p.End {
			return beats
		}
		next := tick + step
		if len(meters) > 0 && meters[0].Tick < next {
			next = meters[0].Tick
		}
		tick = next
	}
}

// beatOf is the length of a felt beat in ticks, how many there are in a bar,
// and how many eighths each holds.
func beatOf(num, den int, quarter int64) (step int64, perBar, cells int) {
	unit := max(4*quarter/int64(den), 1)
	switch {
	case den >= 8 && num%3 == 0 && num > 3:
		return 3 * unit, num / 3, 3
	case den >= 8 && num%2 == 0:
		return 2 * unit, num / 2, 2
	case den >= 8:
		return unit, num, 1
	case den == 4:
		return unit, num, 2
	}
	return unit, num, 4
}

// tickClock turns rising ticks into time.
type tickClock struct {
	p    *smf.Performance
	next int
}

func (c *tickClock) at(tick int64) time.Duration {
	for c.next < len(c.p.Tempos) && c.p.Tempos[c.next].Tick <= tick {
		c.next++
	}
	from, at, micros := int64(0), time.Duration(0), smf.DefaultTempo
	if c.next > 0 {
		t := c.p.Tempos[c.next-1]
		from, at, micros = t.Tick, t.At, t.MicrosPerQuarter
	}
	seconds := float64(tick-from) * float64(micros) / 1e6 / float64(c.p.TicksPerQuarter)
	return at + time.Duration(seconds*float64(time.Second))
}
