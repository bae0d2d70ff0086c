package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/play/mistakes"
)

// Who plays a third too high is told so for two bars, and for six seconds at least, and
// then wanted to go on so.
func TestWhatIsWantedInTheKeyThatIsPlayed(t *testing.T) {
	const long = "title: Clementine\nkey: C\nmeter: 4/4\ntempo: 120\n\n| C | F | G7 | C | C | F | G7 | C |\n"
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
