package practice

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/playback"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

const ours = 3 // channel 4

// withLeft gives the student the right hand, and undersong the left.
func withLeft(o *Options) {
	o.Score.Only = score.RightAlone
	o.With = With{Parts: []playback.Part{playback.LeftHand}, Channel: ours}
}

// rightHand is what the student plays.
func rightHand(t *testing.T, s *score.Score) []event.Event {
	c := *s
	c.Only = score.RightAlone
	alone, _, _ := c.Alone()
	return exact(t, alone, mistakes.Plan{})
}

// sounded are the strikes on our channel, and the keys left down there.
func (b *bench) sounded() (ons []event.Event, down int) {
	held := map[uint8]bool{}
	for _, e := range b.sent {
		if e.Channel() != ours {
			continue
		}
		switch {
		case e.IsNoteOn():
			ons = append(ons, e)
			held[e.Data1] = true
		case e.IsNoteOff():
			delete(held, e.Data1)
		}
	}
	return ons, len(held)
}

// lefts are the wanted strokes of the left hand.
func lefts(s *score.Score) (all []score.Want) {
	for _, w := range s.Wants {
		if w.Hand == pattern.Left {
			all = append(all, w)
		}
	}
	return all
}

func TestUndersongPlaysTheOtherHand(t *testing.T) {
	b := newBench(t, tune, withLeft)
	var returned int
	b.s.o.Sound = func(e event.Event) {
		e.At = b.now
		b.sent = append(b.sent, e)
		if e.Channel() == ours { // the instrument sends back what it is sent
			returned++
			b.s.Event(e)
		}
	}
	b.play(rightHand(t, b.score), time.Hour).pass(time.Hour)
	assert.Zero(t, b.summary()["wrong"])
	assert.Equal(t, float64(len(b.score.Wants)-len(lefts(b.score))), b.summary()["right"], "the student's strokes alone")
	ons, down := b.sounded()
	assert.Zero(t, down)
	require.Len(t, ons, len(lefts(b.score)))
	assert.Equal(t, 2*len(ons), returned)
	for i, w := range lefts(b.score) {
		assert.Equal(t, uint8(w.Tones[0].Key), ons[i].Data1)
		assert.InDelta(t, (b.music[0] + b.score.Time(w.At)).Seconds(), ons[i].At.Seconds(), 0.011, "stroke %d", i)
		assert.LessOrEqual(t, ons[i].Data2, uint8(60), "softly")
	}
}

func TestOurPartGoesRoundWithTheLoop(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { withLeft(o); o.Heading.Loop = true })
	b.pass(bar + 2*4*bar + 100*time.Millisecond)
	ons, _ := b.sounded()
	require.Len(t, ons, 2*len(lefts(b.score))+1)
	assert.InDelta(t, (b.music[0] + 4*bar).Seconds(), ons[len(lefts(b.score))].At.Seconds(), 0.011, "the second pass follows without a gap")
	_, down := b.sounded()
	assert.Equal(t, 1, down)
	b.stop()
	_, down = b.sounded()
	assert.Zero(t, down, "stopped in the middle of a note")
}

func TestOurPartGoesFasterWithTheRamp(t *testing.T) {
	b := newBench(t, tune, func(o *Options) {
		withLeft(o)
		o.Heading.Loop, o.Heading.Ramp = true, sitting.Ramp{From: 120, To: 240, Step: 120}
	})
	b.play(rightHand(t, b.score), bar+4*bar).pass(bar + 4*bar + 700*time.Millisecond)
	require.Len(t, b.music, 2)
	assert.Equal(t, meter.Tempo(240), b.s.tempo)
	n := len(lefts(b.score))
	b.pass(b.music[1] + 4*time.Second)
	ons, _ := b.sounded()
	require.GreaterOrEqual(t, len(ons), 2*n)
	assert.InDelta(t, 1, (ons[n+2].At - ons[n].At).Seconds(), 0.011, "two strokes on: a bar at 240")
}

func TestOurPartStopsWhenTheCableIsPulled(t *testing.T) {
	b := newBench(t, tune, withLeft)
	b.pass(bar + 2*bar + 200*time.Millisecond)
	_, down := b.sounded()
	require.Equal(t, 1, down, "a bass sounds in bar 3")
	b.s.Lost(b.now, "Digital Piano")
	_, down = b.sounded()
	assert.Zero(t, down)
	before, _ := b.sounded()
	b.pass(b.now + 5*time.Second)
	after, _ := b.sounded()
	assert.Len(t, after, len(before), "nothing sounds while it is away")
	b.s.Found(b.now, "Digital Piano")
	last := b.sent[len(b.sent)-1]
	assert.True(t, last.EndsAllNotes() && last.Channel() == ours, "what an unplugged instrument may have kept")
	b.pass(b.now + time.Hour)
	again, down := b.sounded()
	require.Len(t, again[len(before):], 4, "bars 3 and 4")
	assert.InDelta(t, b.music[1].Seconds(), again[len(before)].At.Seconds(), 0.011)
	assert.Zero(t, down)
}

func TestOurPartWithoutAClick(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { withLeft(o); o.NoClick = true })
	b.pass(time.Hour)
	ons, _ := b.sounded()
	assert.Len(t, ons, len(lefts(b.score)))
	for _, e := range b.sent {
		assert.NotEqual(t, uint8(event.Percussion), e.Channel())
	}
}

func TestTheTuneOverTheStudent(t *testing.T) {
	b := newBench(t, "title: T\nkey: C\nmeter: 4/4\ntempo: 120\n\n| C | F |\nm: c4 e4 | f8\n", func(o *Options) {
		o.With = With{Parts: []playback.Part{playback.Tune}, Channel: ours}
	})
	b.play(exact(t, b.score, mistakes.Plan{}), time.Hour).pass(time.Hour)
	assert.Zero(t, b.summary()["wrong"])
	assert.Equal(t, float64(len(b.score.Wants)), b.summary()["right"], "both hands are judged")
	ons, down := b.sounded()
	assert.Len(t, ons, 3)
	assert.Zero(t, down)
}

// On channel 1 nothing can be told apart from the student's own notes.
func TestTheStudentsChannelIsAlwaysHeard(t *testing.T) {
	b := newBench(t, tune, func(o *Options) { withLeft(o); o.With.Channel = 0 })
	b.play(rightHand(t, b.score), time.Hour).pass(time.Hour)
	assert.Equal(t, float64(len(b.score.Wants)-len(lefts(b.score))), b.summary()["right"])
}

func TestOurPartSlowsDownWithTheEnd(t *testing.T) {
	b := newBench(t, tune, func(o *Options) {
		withLeft(o)
		o.Score.Slowing = score.Slowing{From: 3 * meter.Whole, To: 4*meter.Whole - meter.Quarter, Beat: 1.5}
	})
	b.pass(time.Hour)
	ons, down := b.sounded()
	assert.Zero(t, down)
	wanted := lefts(b.score)
	require.Len(t, ons, len(wanted))
	last := wanted[len(wanted)-1]
	assert.Greater(t, b.score.Time(last.At), b.score.Tempo.Duration(last.At, b.score.Meter)+50*time.Millisecond, "which is slower")
	for i, w := range wanted {
		assert.InDelta(t, (b.music[0] + b.score.Time(w.At)).Seconds(), ons[i].At.Seconds(), 0.011, "stroke %d", i)
	}
}
