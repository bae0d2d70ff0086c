package follow

import (
	"fmt"
	"runtime"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
)

// longScore has 200 bars.
func longScore(t testing.TB) *score.Score { return scoreOf(t, 200) }

// scoreOf has so many bars, a multiple of eight.
func scoreOf(t testing.TB, count int) *score.Score {
	bars := "[A]\n"
	for i := range count / 8 {
		bars += []string{eightBars, "| F | C | G7 | C | F | C | D7 | G7 |", "| Am | E7 | Am | Dm | G7 | C | F | G7 |"}[i%3] + "\n"
	}
	return build(t, "driving-eighths", bars)
}

// around plays a score without end; it returns after a number of onsets.
func around(f *Follower, from time.Duration, onsets int) time.Duration {
	s, n := f.score, 0
	for {
		for i := range s.Wants {
			w := &s.Wants[i]
			if i == 0 || s.Wants[i-1].At != w.At {
				if n++; n > onsets {
					return from
				}
			}
			at := from + s.Tempo.Duration(w.At, s.Meter)
			for j := range w.Tones {
				f.Strike(w.Tones[j].Key, 64, at)
			}
		}
		from += s.Tempo.Duration(s.Length, s.Meter)
	}
}

func TestNoMemoryIsTaken(t *testing.T) {
	f := NewFollower(longScore(t), FollowOptions{Loop: true})
	now := around(f, 0, 3000)
	assert.Zero(t, testing.AllocsPerRun(3, func() { now = around(f, now+time.Hour, 300) }))
}

func TestEightHours(t *testing.T) {
	s := build(t, "two-beat", eightBars+"\n"+eightBars)
	f := NewFollower(s, FollowOptions{Loop: true})
	passes := int(8 * time.Hour / s.Tempo.Duration(s.Length, s.Meter))
	now := around(f, 0, len(f.events)*10)
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	around(f, now, len(f.events)*passes)
	runtime.ReadMemStats(&after)
	assert.Less(t, after.Mallocs-before.Mallocs, uint64(1000))
	e := f.Estimate()
	assert.Equal(t, passes+9, e.Pass)
	assert.Equal(t, len(f.events)-1, e.Event)
	assert.Greater(t, e.Confidence, 0.9)
	assert.InEpsilon(t, 120, float64(e.Tempo), 0.01)
}

func BenchmarkStrike(b *testing.B) {
	s := longScore(b)
	f := NewFollower(s, FollowOptions{Loop: true})
	now := around(f, 0, 2000)
	b.ReportAllocs()
	b.ResetTimer()
	around(f, now+time.Second, b.N)
}

func BenchmarkNewFollower(b *testing.B) {
	s := longScore(b)
	for b.Loop() {
		NewFollower(s, FollowOptions{})
	}
}

// What a note takes at most but one in a hundred, where a person plays with mistakes,
// in scores of 100, 200 and 400 bars.
func BenchmarkSlowNotes(b *testing.B) {
	for _, bars := range []int{100, 200, 400} {
		b.Run(fmt.Sprintf("%d bars", bars), func(b *testing.B) {
			s := scoreOf(b, bars/8*8)
			perf, err := mistakes.Play(s, performer.Expressive(), mistakes.Random(append(mistakes.FollowKinds(), mistakes.NoteKinds()...), 0.1), 1)
			require.NoError(b, err)
			var took []time.Duration
			for b.Loop() {
				f := NewFollower(s, FollowOptions{})
				for _, e := range perf.Events {
					began := time.Now()
					if e.IsNoteOn() {
						f.Strike(pitch.Num(e.Data1), e.Data2, e.At)
						took = append(took, time.Since(began))
					}
				}
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)/2]), "median-ns/note")
			b.ReportMetric(float64(took[len(took)*99/100]), "p99-ns/note")
			b.ReportMetric(0, "ns/op")
		})
	}
}
