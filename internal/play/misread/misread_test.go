package misread

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/sounding"
)

const beat = 500 * time.Millisecond // at 120

// struck lists keys and times of what is struck from a time on.
func struck(t *testing.T, plan Plan, from time.Duration) (keys []int, at []time.Duration) {
	t.Helper()
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "two-beat")
	p, err := Play(s, performer.Habits{}, plan, mistakes.Plan{}, 1)
	require.NoError(t, err)
	last := time.Duration(0)
	for _, ev := range p.Events {
		assert.GreaterOrEqual(t, ev.At, last, "in order")
		last = ev.At
		if ev.IsNoteOn() && ev.At >= from {
			keys, at = append(keys, int(ev.Data1)), append(at, ev.At)
		}
	}
	return keys, at
}

func TestPlans(t *testing.T) {
	keys, at := struck(t, Plan{}, 0)
	second, secondAt := struck(t, Plan{}, 4*beat)
	bar := len(keys) - len(second)

	up, _ := struck(t, Plan{Bar: 1, Semitones: 5}, 0)
	assert.Equal(t, keys[:bar], up[:bar])
	for i, k := range second {
		assert.Equal(t, k+5, up[bar+i])
	}
	slow, slowAt := struck(t, Plan{Pace: 0.5}, 0)
	assert.Equal(t, keys, slow)
	for i := range at {
		assert.InDelta(t, 2*at[i].Seconds(), slowAt[i].Seconds(), 0.01)
	}
	_, late := struck(t, Plan{Bar: 1, Shift: beat}, 0)
	assert.Equal(t, at[:bar], late[:bar])
	for i := range secondAt {
		assert.Equal(t, secondAt[i]+beat, late[bar+i])
	}
	_, early := struck(t, Plan{Bar: 1, Shift: -beat}, 3*beat)
	for i := range secondAt {
		assert.Equal(t, secondAt[i]-beat, early[i])
	}
	quiet, _ := struck(t, Plan{Silent: [2]bool{pattern.Left: true}}, 0)
	assert.Len(t, quiet, len(keys)-4, "without its four basses")
	first, _ := struck(t, Plan{Leap: mistakes.Item{Kind: mistakes.Restart, Want: 2, Beats: 2}}, 0)
	assert.Equal(t, append(append([]int{}, keys[:bar/2]...), keys...), first, "half of bar 1, and all from its beginning")
	instead, _ := struck(t, Plan{Bar: 1, Instead: sounding.ScoreOf(t, "4/4", "| F | C |", "two-beat")}, 0)
	assert.Equal(t, append(append([]int{}, keys[:bar]...), keys[:bar]...), instead, "C in place of F")
	low, _ := struck(t, Plan{Octaves: [2]int{pattern.Left: -4}}, 0)
	assert.Len(t, low, len(keys), "on the piano")
	for _, k := range low {
		assert.GreaterOrEqual(t, k, 21)
	}
}

func TestAPedalThatIsStuck(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F | C |", "two-beat")
	human, err := performer.Human("fluent") // who pedals
	require.NoError(t, err)
	p, err := Play(s, human, Plan{Bar: 1, Pedal: true}, mistakes.Plan{}, 1)
	require.NoError(t, err)
	var downs []time.Duration
	for _, ev := range p.Events {
		if ev.Kind() == event.ControlChange && ev.Data1 == event.Damper && ev.At > 3*beat {
			assert.Equal(t, uint8(127), ev.Data2)
			downs = append(downs, ev.At)
		}
	}
	assert.Equal(t, []time.Duration{4*beat - beat/2}, downs)
}
