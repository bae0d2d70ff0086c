package demo

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
)

func found(t *testing.T, tempo meter.Tempo, seed uint64) map[finding.Kind]int {
	t.Helper()
	l, err := NewLesson(tempo)
	require.NoError(t, err)
	events, err := l.Play(seed)
	require.NoError(t, err)
	e := engine.New(l.Score, engine.Options{Level: rules.Steady, Start: early})
	var last event.Event
	for _, ev := range events {
		ev.At += early
		e.Feed(ev)
		last = ev
	}
	e.Finish(last.At)
	sum := e.Summary()
	kinds := map[finding.Kind]int{}
	for _, k := range finding.Kinds(finding.Strokes) {
		if n := sum.Count(k); n > 0 && k != finding.Right {
			kinds[k] = n
		}
	}
	return kinds
}

func TestEveryMistakeIsHeardAndNoOther(t *testing.T) {
	for seed := uint64(1); seed <= 20; seed++ {
		assert.Equal(t, map[finding.Kind]int{finding.Missing: 1, finding.WrongBass: 1, finding.WrongInversion: 1, finding.Late: 1, finding.Blurred: 1},
			found(t, 0, seed), "seed %d", seed)
	}
}

func TestEveryTempoCanBeShown(t *testing.T) {
	for _, tempo := range []meter.Tempo{meter.SlowestTempo, 60, 140, 200, meter.FastestTempo} {
		l, err := NewLesson(tempo)
		require.NoError(t, err)
		_, err = l.Play(1)
		assert.NoError(t, err, "tempo %g", float64(tempo))
	}
}

func TestLessonIsShort(t *testing.T) {
	l, err := NewLesson(0)
	require.NoError(t, err)
	assert.Less(t, l.Score.Tempo.Duration(l.Score.Length, l.Score.Meter), 30*time.Second)
}
