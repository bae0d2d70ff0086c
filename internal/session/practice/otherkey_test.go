package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/play/mistakes"
)

const long = "title: Clementine\nkey: C\nmeter: 4/4\ntempo: 120\n\n| C | F | G7 | C | F | Dm | G7 | C |\n"

// Who plays a third too high is told so for two bars, and for six seconds at least, and
// then wanted to go on so.
func TestWhatIsWantedInTheKeyThatIsPlayed(t *testing.T) {
	b := newBench(t, long, nil)
	events := exact(t, b.score, mistakes.Plan{})
	for i := range events {
		if events[i].IsNoteOn() || events[i].IsNoteOff() {
			events[i].Data1 += 4
		}
	}
	b.pass(b.music[0])
	assert.Zero(t, b.s.State().Wanted.Up)
	b.play(events, b.music[0]+7*bar/2)
	st := b.s.State()
	assert.Equal(t, 4, st.Wanted.Up)
	told := st.Told.Cause.At + b.s.Began

	for after, kind := range map[time.Duration]finding.CauseKind{5500 * time.Millisecond: finding.OtherKey, 7000 * time.Millisecond: finding.NoCause} {
		b := newBench(t, long, nil)
		b.pass(b.music[0]).play(events, told+after)
		assert.Equal(t, kind, b.s.State().Told.Cause.Cause.Kind)
	}
}

// Who plays at half the tempo of the click sees the bars that are played, and may play to
// the end.
func TestThePlaceIsTheirsWhoPlayAtAnotherTempo(t *testing.T) {
	b := newBench(t, long, nil)
	events := exact(t, b.score, mistakes.Plan{})
	for i := range events {
		events[i].At *= 2
	}
	b.pass(b.music[0])
	b.play(events, b.music[0]+11*bar) // in bar 6
	assert.Equal(t, 6, b.bar())
	b.play(events, b.music[0]+16*bar+bar)
	assert.False(t, b.s.Done())
	b.pass(b.music[0] + 19*bar)
	assert.True(t, b.s.Done())
	sum := b.s.result().Summary
	assert.Equal(t, finding.HalfTempo, sum.Causes[0].Kind)
	assert.Greater(t, sum.Count(finding.Right), len(b.score.Wants)-4)
}
