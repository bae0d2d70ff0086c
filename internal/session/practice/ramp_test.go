package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/play/mistakes"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
)

func ramp(from, to, step meter.Tempo) func(o *Options) {
	return func(o *Options) {
		o.Heading.Loop, o.Heading.Ramp = true, sitting.Ramp{From: from, To: to, Step: step}
		o.Score.Tempo = from
	}
}

// tempi are the tempi of the count-ins so far.
func (b *bench) tempi() []float64 {
	var all []float64
	for _, l := range b.lines() {
		if l["type"] == "count-in" {
			all = append(all, l["tempo"].(float64))
		}
	}
	return all
}

// pass plays one pass of a ramp at the tempo of its count-in, until the next one
// begins.
func (b *bench) rampPass(tempo meter.Tempo, change func(s mistakes.Plan) mistakes.Plan) {
	b.score.Tempo = tempo
	n := len(b.music)
	b.play(exact(b.t, b.score, change(mistakes.Plan{})), time.Hour)
	for len(b.music) == n && !b.s.Done() {
		b.pass(b.now + 10*time.Millisecond)
	}
}

func TestTheTempoRisesAfterEachCleanPass(t *testing.T) {
	b := newBench(t, tune, ramp(100, 120, 15))
	clean := func(p mistakes.Plan) mistakes.Plan { return p }
	wrong := func(p mistakes.Plan) mistakes.Plan {
		return p.Plant(mistakes.Missing, want(t, b.score, 4, 4, pattern.Right))
	}
	b.rampPass(100, wrong) // the very last stroke
	assert.Equal(t, []float64{100, 100}, b.tempi())
	b.rampPass(100, clean)
	assert.Equal(t, "clean: now 115", b.s.view().Notice)
	assert.Equal(t, meter.Tempo(115), b.s.view().Tempo)
	assert.Equal(t, sitting.CountingIn, b.s.view().Phase)
	b.rampPass(115, clean)
	last := b.music[len(b.music)-1]
	assert.Equal(t, bar, last-b.countIns()[3], "one bar at the new tempo")
	assert.Equal(t, 4, b.s.view().Pass)
	b.rampPass(120, clean)
	assert.Equal(t, []float64{100, 100, 115, 120}, b.tempi(), "no faster than asked for")
	assert.Equal(t, []string{"once more at 100", "bar 4: mended", "clean: now 115", "clean: now 120", "clean at 120, the tempo you were after"}, b.notices())
	assert.True(t, b.s.Done(), "what was asked for has been reached")
	assert.Equal(t, float64(1), b.summary()["wrong"])
	assert.Equal(t, float64(63), b.summary()["right"])
}

// countIns are when the count-ins began.
func (b *bench) countIns() []time.Duration {
	var all []time.Duration
	for _, l := range b.lines() {
		if l["type"] == "count-in" {
			all = append(all, time.Duration(l["at_ms"].(float64)*float64(time.Millisecond)))
		}
	}
	return all
}

func TestOneSmallSlipInTimeIsCleanAndTwoAreNot(t *testing.T) {
	for _, c := range []struct {
		slips int
		by    time.Duration
		want  float64
	}{{1, 100, 110}, {2, 100, 100}, {1, 180, 100}} {
		b := newBench(t, tune, ramp(100, 120, 10))
		events := exact(t, b.score, mistakes.Plan{})
		beat := 600 * time.Millisecond
		for i := range events {
			for s := range c.slips {
				at := time.Duration(4*s+1) * beat // beat 2 of bars 1 and 2
				if events[i].At >= at && events[i].At < at+beat/2 {
					events[i].At += c.by * time.Millisecond
				}
			}
		}
		b.play(events, time.Hour)
		b.pass(b.now + 3*time.Second)
		require.Equal(t, []float64{100, c.want}, b.tempi(), "%+v\n%s", c, b.s.text.String())
	}
}

func TestNothingPlayedIsNotClean(t *testing.T) {
	b := newBench(t, tune, ramp(100, 120, 10))
	b.pass(15 * time.Second)
	assert.Equal(t, []float64{100, 100}, b.tempi())
}
