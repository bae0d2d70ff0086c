package engine

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// ended is a tune of eight bars with an ending, or none where it has no name.
func ended(t *testing.T, ending string) *score.Score {
	t.Helper()
	c := material.Chart(t, "key: C\ntempo: 100\nending: x\n| C | F | G7 | C | Am | F | G7 | C |")
	o := score.Options{}
	if ending != "" {
		o.Parts.Ending = material.Shipped(t, ending)
	}
	s, err := score.Build(c, material.Shipped(t, "two-beat"), o)
	require.NoError(t, err)
	return s
}

func human(t *testing.T, s *score.Score, seed uint64) []event.Event {
	t.Helper()
	h, err := performer.Human("fluent")
	require.NoError(t, err)
	h.LeaveOut, h.Revoice = 0, 0
	return performer.Play(s, h, performer.Course{}, seed).Events
}

func corrections(found []finding.Finding, e *Engine) []string {
	var told []string
	for i := range found {
		if found[i].Kind != finding.Right {
			told = append(told, voiceOf(e).Line(&found[i]))
		}
	}
	return told
}

// heard runs an engine with a click over a performance.
func heard(s *score.Score, evs []event.Event, tick time.Duration) []string {
	e := New(s, Options{Level: rules.Steady})
	var found []finding.Finding
	last := time.Duration(0)
	for _, ev := range evs {
		for ; tick > 0 && last < ev.At; last += tick {
			found = append(found, e.Tick(last)...)
		}
		found = append(found, e.Feed(ev)...)
		last = ev.At
	}
	return corrections(append(found, e.Finish(last)...), e)
}

func TestARitardandoIsWantedByTheClick(t *testing.T) {
	for _, ending := range []string{"ending-cadence", "ending-amen", "ending-minor-amen"} {
		s := ended(t, ending)
		require.True(t, s.Slows())
		for seed := range uint64(5) {
			assert.Empty(t, heard(s, human(t, s, seed), 10*time.Millisecond), "%s, %d", ending, seed)
		}
		even := *s
		even.Slowing = score.Slowing{}
		assert.NotEmpty(t, heard(s, human(t, &even, 1), 0), "%s played in an even tempo is too early", ending)
		assert.NotEmpty(t, heard(&even, human(t, s, 1), 0), "%s played slower where nothing says so is late", ending)
	}
}

// The player leads through an ending that slows down, at another tempo than the
// score's: the place is never lost, and nothing is to be mended.
func TestARitardandoIsFollowed(t *testing.T) {
	for _, ending := range []string{"ending-cadence", "ending-amen", "ending-minor-amen"} {
		for _, share := range []float64{0.8, 1, 1.25} {
			s := ended(t, ending)
			evs := human(t, s, 3)
			for i := range evs {
				evs[i].At = time.Second + time.Duration(float64(evs[i].At)/share)
			}
			e := New(s, Options{Level: rules.Steady, Led: true})
			var found []finding.Finding
			for _, ev := range evs {
				found = append(found, e.Feed(ev)...)
				if !ev.IsNoteOn() {
					continue
				}
				at := meter.Ticks(s.At(time.Duration(float64(ev.At-time.Second) * share)))
				p := e.Position(ev.At)
				assert.LessOrEqual(t, max(p.At-at, at-p.At), s.Meter.Beat()/2, "%s at %v, share %g", ending, ev.At, share)
			}
			found = append(found, e.Finish(evs[len(evs)-1].At)...)
			assert.Empty(t, corrections(found, e), "%s, share %g", ending, share)
		}
	}
}

// Between two strokes of an ending the place goes on as slowly as the music does:
// a click that is heard and one that is seen agree.
func TestThePlaceGoesOnSlowly(t *testing.T) {
	s := ended(t, "ending-amen")
	click := New(s, Options{Level: rules.Steady})
	last := meter.Ticks(-1)
	for at := time.Duration(0); at < s.Time(s.Length); at += 7 * time.Millisecond {
		p := click.Position(at)
		require.GreaterOrEqual(t, p.At, last)
		require.InDelta(t, float64(at), float64(s.Time(p.At)), float64(3*time.Millisecond))
		last = p.At
	}
	assert.Equal(t, s.Time(s.Length), click.Click.Pass())
}
