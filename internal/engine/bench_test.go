package engine

import (
	"sort"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/coach"
	"undersong/internal/event"
	"undersong/internal/score"
	"undersong/internal/simulate"
)

// loopOf is a performance of s with the given habits as one pass of a loop.
func loopOf(b testing.TB, s *score.Score) []event.Event {
	b.Helper()
	human, err := simulate.Human("steady")
	if err != nil {
		b.Fatal(err)
	}
	return simulate.Faultless(s, human, 1).Events
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
	s := scoreOf(t, "4/4", busyTune, "driving-eighths")
	e := New(s, Options{Level: coach.Steady, Loop: true})
	evs := inPass(e, loopOf(t, s))
	feedLoop(e, evs, 0, 4*len(evs))
	i := 4 * len(evs)
	assert.Zero(t, testing.AllocsPerRun(len(evs), func() {
		feedLoop(e, evs, i, 1)
		i++
	}))
}

func BenchmarkFeed(b *testing.B) {
	s := scoreOf(b, "4/4", busyTune, "driving-eighths")
	e := New(s, Options{Level: coach.Steady, Loop: true})
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
	s := scoreOf(b, "4/4", busyTune, "driving-eighths")
	evs := inPass(New(s, Options{Level: coach.Steady}), loopOf(b, s))
	b.ReportAllocs()
	for b.Loop() {
		e := New(s, Options{Level: coach.Steady, Loop: true})
		passes := int(time.Hour / e.Click.Pass())
		feedLoop(e, evs, 0, passes*len(evs))
	}
}

// FuzzLiveStream feeds any messages at any rising times.
func FuzzLiveStream(f *testing.F) {
	f.Add([]byte{10, 0x90, 60, 64, 0, 0x90, 64, 64, 3, 0x90, 67, 64, 200, 0x80, 60, 0, 9, 0xB0, 64, 127}, uint8(0))
	f.Add([]byte{255, 0x90, 48, 1, 255, 0xB0, 123, 0}, uint8(3))
	names := []string{"two-beat", "block-near", "low-high-middle-high", "walking-quarters", "arpeggio-two-octaves", "backbeat"}
	var scores []*score.Score
	for _, n := range names {
		scores = append(scores, scoreOf(f, "4/4", "| C | F/A | G7 | N.C. | Am Bdim |", n))
	}
	f.Fuzz(func(t *testing.T, raw []byte, which uint8) {
		s := scores[int(which)%len(scores)]
		e := New(s, Options{Level: coach.Strict, Loop: which > 127})
		v := e.Voice()
		at := time.Duration(0)
		for i := 0; i+3 < len(raw); i += 4 {
			at += time.Duration(raw[i]) * 3 * time.Millisecond
			for _, fd := range e.Feed(event.Event{At: at, Status: raw[i+1] | 0x80, Data1: raw[i+2] & 0x7F, Data2: raw[i+3] & 0x7F}) {
				if v.Line(&fd) == "" || fd.At > at {
					t.Fatalf("a finding of the future or without words: %+v", fd)
				}
			}
		}
		for _, fd := range e.Finish(at) {
			_ = v.Line(&fd)
		}
		e.Summary()
	})
}
