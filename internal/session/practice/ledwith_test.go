package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/playback"
	"undersong/internal/session/sitting"
)

func ledWithLeft(o *Options) { led(o); withLeft(o) }

func TestUndersongPlaysAfterThePlayer(t *testing.T) {
	b := newBench(t, tune, ledWithLeft)
	b.playFrom(5*time.Second, slower(rightHand(t, b.score)), time.Hour).pass(time.Hour)
	require.True(t, b.s.Done())
	assert.Zero(t, b.summary()["wrong"])
	assert.Equal(t, float64(len(b.score.Wants)-len(lefts(b.score))), b.summary()["right"], "the student's strokes alone")
	ons, down := b.sounded()
	assert.Zero(t, down)
	wanted := lefts(b.score)[1:] // the first comes before the player's first
	require.Len(t, ons, len(wanted))
	for i, w := range wanted {
		assert.Equal(t, uint8(w.Tones[0].Key), ons[i].Data1)
		if i > 0 { // the tempo is known
			assert.InDelta(t, 5+1.5*b.score.Time(w.At).Seconds(), ons[i].At.Seconds(), 0.12, "stroke %d", i)
		}
		assert.LessOrEqual(t, ons[i].Data2, uint8(60), "softly")
	}
	for _, e := range b.sent {
		assert.NotEqual(t, uint8(event.Percussion), e.Channel(), "no click")
	}
}

// upTo plays the right hand until its part sounds in bar 3.
func upTo(t *testing.T, b *bench) *bench {
	b.playFrom(0, rightHand(t, b.score), 2*bar+1010*time.Millisecond).pass(2*bar + 1100*time.Millisecond)
	_, down := b.sounded()
	require.Equal(t, 1, down, "a bass sounds in bar 3")
	return b
}

func TestOurPartAfterThePlayerStops(t *testing.T) {
	for name, stop := range map[string]func(b *bench){
		"in a pause":               func(b *bench) { b.do(sitting.DoPause) },
		"again":                    func(b *bench) { b.do(sitting.DoAgain) },
		"at the end":               func(b *bench) { b.stop() },
		"when the cable is pulled": func(b *bench) { b.s.Lost(b.now, "Digital Piano") },
		"when nobody plays on":     func(b *bench) { b.pass(b.now + 30*time.Second) },
	} {
		b := upTo(t, newBench(t, tune, ledWithLeft))
		before, _ := b.sounded()
		stop(b)
		after, down := b.sounded()
		assert.Zero(t, down, name)
		b.pass(b.now + 10*time.Second)
		assert.Len(t, after, len(before), name)
	}
}

func TestOurPartGoesRoundWithThePlayer(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { ledWithLeft(o); o.Heading.Loop = true })
	one := rightHand(t, b.score)
	b.playFrom(0, rounds(one, one), time.Hour)
	ons, _ := b.sounded()
	assert.Len(t, ons, 2*len(lefts(b.score)), "without the first, but with that of the third round")
	b.stop()
	_, down := b.sounded()
	assert.Zero(t, down)
}

func TestTheTuneAfterThePlayer(t *testing.T) {
	b := newBench(t, "title: T\nkey: C\nmeter: 4/4\ntempo: 120\n\n| C | F |\nm: c4 e4 | f8\n", func(o *Options) {
		led(o)
		o.With = With{Parts: []playback.Part{playback.Tune}, Channel: ours}
	})
	b.playFrom(0, exact(t, b.score, mistakes.Plan{}), time.Hour).pass(time.Hour)
	assert.Zero(t, b.summary()["wrong"])
	ons, down := b.sounded()
	assert.Len(t, ons, 3)
	assert.Zero(t, down)
}
