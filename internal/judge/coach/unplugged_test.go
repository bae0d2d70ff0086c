package coach_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/test/sounding"
)

// A cable that is pulled lets go of keys: nobody did it.
func TestUnplugged(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", four, "block-whole")
	for _, pulled := range []bool{false, true} {
		e := engine.New(s, engine.Options{Level: rules.Steady})
		told := 0
		for _, ev := range sounding.Exact(s).Events() {
			if ev.At > beat {
				break
			}
			e.Feed(ev)
		}
		if pulled {
			e.Unplugged()
		}
		for _, key := range []uint8{48, 60, 64, 67} {
			for _, f := range e.Feed(event.Off(beat, key)) {
				told += int(f.Kind)
			}
		}
		for _, f := range e.Tick(2 * beat) {
			if f.Kind == finding.Short {
				told++
			}
		}
		if pulled {
			assert.Zero(t, told)
		} else {
			assert.Equal(t, 2, told, "both hands' strokes were too short")
		}
	}
}
