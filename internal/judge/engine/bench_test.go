package engine

import (
	"sort"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// loopOf is a performance of s with the given habits as one pass of a loop.
func loopOf(b testing.TB, s *score.Score) []event.Event {
	b.Helper()
	human, err := performer.Human("steady")
	if err != nil {
		b.Fatal(err)
	}
	return performer.Play(s, human, performer.Course{}, 1).Events
}

const busyTune = "| C | F | G7 | C | Am | Dm7 | G7 | C |"

// feedLoop feeds n events of endless repetitions.
func feedLoop(e *Engine, evs []event.Event, from, n int) {
	pass := e.Click.Pass()
	for i := from; i < from+n; i++ {
		ev := evs[i%len(evs)]
		ev.At += time.Duration(i/len(evs)) * pass
		e.Feed(ev)
	}
}

// inPass drops what sounds on after the end of the pass, so that passes can
// follow one another in the order of time.
func inPass(e *Engine, evs []event.Event) []event.Event {
	end := e.Click.Pass()
	n := sort.Search(len(evs), func(i int) bool { return evs[i].At >= end })
	return evs[:n]
}

func TestSteadyPlayingAllocatesNothing(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", busyTune, "driving-eighths")
	e := New(s, Options{Level: rules.Steady, Loop: true})
	evs := inPass(e, loopOf(t, s))
	feedLoop(e, evs, 0, 4*len(evs))
	i := 4 * len(evs)
	assert.Zero(t, testing.AllocsPerRun(len(evs), func() {
		feedLoop(e, evs, i, 1)
		i++
	}))
}

func BenchmarkFeed(b *testing.B) {
	s := sounding.ScoreOf(b, "4/4", busyTune, "driving-eighths")
	e := New(s, Options{Level: rules.Steady, Loop: true})
	evs := inPass(e, loopOf(b, s))
	b.ReportAllocs()
	took := make([]time.Duration, 0, 1<<16)
	i := 0
	for b.Loop() {
		start := time.Now()
		feedLoop(e, evs, i, 1)
		if d := time.Since(start); len(took) < cap(took) {
			took = append(took, d)
		}
		i++
	}
	sort.Slice(took, func(i, j int) bool { return took[i] < took[j] })
	b.ReportMetric(float64(took[len(took)*99/100].Nanoseconds()), "p99-ns")
}

// BenchmarkOneHour judges an hour of eighths with both hands.
func BenchmarkOneHour(b *testing.B) {
	s := sounding.ScoreOf(b, "4/4", busyTune, "driving-eighths")
	evs := inPass(New(s, Options{Level: rules.Steady}), loopOf(b, s))
	b.ReportAllocs()
	for b.Loop() {
		e := New(s, Options{Level: rules.Steady, Loop: true})
		passes := int(time.Hour / e.Click.Pass())
		feedLoop(e, evs, 0, passes*len(evs))
	}
}
