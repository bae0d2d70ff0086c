package cause

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/rules"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/test/sounding"
)

// Ordinary playing costs no memory.
func TestRightStrokesTakeNoMemory(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	evs := sounding.Exact(s).Events()
	for _, led := range []bool{false, true} {
		j := New(s, Options{Options: engine.Options{Level: rules.Steady, Led: led, Loop: true}})
		pass := 0
		play := func() {
			for _, ev := range evs {
				ev.At += time.Duration(pass) * s.Time(s.Length)
				j.Feed(ev)
			}
			pass++
		}
		play()
		assert.Zero(t, testing.AllocsPerRun(20, play), "led: %t", led)
	}
}

// BenchmarkRightPlaying is what a note costs where nothing goes wrong, and how many times
// what the engine alone costs.
func BenchmarkRightPlaying(b *testing.B) {
	s := sounding.ScoreOf(b, "4/4", eight+eight, "driving-eighths")
	evs := sounding.Exact(s).Events()
	alone, with := time.Duration(0), time.Duration(0)
	for b.Loop() {
		e := engine.New(s, engine.Options{Level: rules.Steady})
		from := time.Now()
		for _, ev := range evs {
			e.Feed(ev)
		}
		alone += time.Since(from)
		j := New(s, Options{Options: engine.Options{Level: rules.Steady}})
		from = time.Now()
		for _, ev := range evs {
			j.Feed(ev)
		}
		with += time.Since(from)
	}
	b.ReportMetric(float64(with.Microseconds())/float64(b.N*len(evs)), "µs/event")
	b.ReportMetric(float64(with)/float64(alone), "times-the-engine")
}

// BenchmarkBadPlaying is what a note costs where most go wrong and no cause is found.
func BenchmarkBadPlaying(b *testing.B) {
	s := sounding.ScoreOf(b, "4/4", eight+eight, "two-beat")
	kinds := []mistakes.Kind{mistakes.WrongChord, mistakes.WrongBass, mistakes.WrongNote}
	p, err := mistakes.Play(s, performer.Habits{}, mistakes.Plan{Kinds: kinds, Rate: 1}, 1)
	if err != nil {
		b.Fatal(err)
	}
	var worst time.Duration
	evs := p.Events
	for b.Loop() {
		j := New(s, Options{Options: engine.Options{Level: rules.Steady}, Patterns: shipped()})
		for _, ev := range evs {
			from := time.Now()
			j.Feed(ev)
			worst = max(worst, time.Since(from))
		}
	}
	b.ReportMetric(float64(worst.Microseconds()), "µs-worst")
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(evs)), "µs/event")
}

// BenchmarkBadPlayingOfWhoLeads is the same where the player leads.
func BenchmarkBadPlayingOfWhoLeads(b *testing.B) {
	s := sounding.ScoreOf(b, "4/4", sixteen+sixteen+sixteen+sixteen, "two-beat")
	kinds := []mistakes.Kind{mistakes.WrongChord, mistakes.WrongBass, mistakes.WrongNote}
	p, err := mistakes.Play(s, performer.Habits{}, mistakes.Plan{Kinds: kinds, Rate: 1}, 1)
	if err != nil {
		b.Fatal(err)
	}
	var took []time.Duration
	for b.Loop() {
		j := New(s, Options{Options: engine.Options{Level: rules.Steady, Led: true}})
		for _, ev := range p.Events {
			from := time.Now()
			j.Feed(ev)
			took = append(took, time.Since(from))
		}
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)-1].Microseconds()), "µs-worst")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds()), "µs-p99")
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(len(took)), "µs/event")
}
