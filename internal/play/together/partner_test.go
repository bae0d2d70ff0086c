package together

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/listen/follow"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/play/performer"
	"undersong/internal/play/playback"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

const (
	eightBars = "| C | F | G7 | C | Am | Dm7 | E7 | Am |"
	barLength = 2 * time.Second // at 120
	halves    = "name: own\nmeter: 4/4\ngrid: quarters\nright: ch . ch .\nleft: 1 5 1 5\n"
)

// duetOf plays a pattern with the right hand, at 120.
func duetOf(t *testing.T, text string, c performer.Course, breaks ...performer.Break) *duet {
	return perform(sounding.ScoreOf(t, "4/4", eightBars, text), pattern.Right, performer.Habits{}, c, 1, breaks...)
}

func TestThePartComesWithThePlayerAndBetween(t *testing.T) {
	d := duetOf(t, halves, performer.Course{Start: time.Second}).through(t)
	require.Len(t, d.between(0, math.MaxInt64), 32)
	for i, s := range d.between(0, math.MaxInt64) {
		assert.InDelta(t, 1+0.5*float64(i), s.At.Seconds(), 0.002, "stroke %d", i)
		assert.Equal(t, uint8(3), s.Channel())
	}
	h := d.compare()
	assert.Zero(t, h.left+h.wrong)
	assert.Len(t, h.meeting, 16)
	assert.Len(t, h.apart, 16)
}

// The player stops for ten seconds before bar 3: what comes before the next chord
// sounds, and nothing else.
func TestThePartWaitsAtAStop(t *testing.T) {
	d := duetOf(t, halves, performer.Course{}, performer.Break{At: 8 * meter.Quarter, To: 8 * meter.Quarter, Gap: 10 * time.Second}).through(t)
	waits := d.between(3010*time.Millisecond, 13*time.Second)
	require.Len(t, waits, 1, "beat 4, then it waits for bar 3")
	assert.InDelta(t, 3.5, waits[0].At.Seconds(), 0.01)
	h := d.compare()
	assert.Zero(t, h.wrong)
	assert.Len(t, h.meeting, 16)
	for _, off := range h.meeting {
		assert.Less(t, off, 5*time.Millisecond, "with the player when that goes on")
	}
}

// The chord on beat 3 of bar 4 is held for ten seconds by a player who let go of those
// before in time.
func TestThePartWaitsAtAFermata(t *testing.T) {
	at := 14 * meter.Quarter
	d := perform(sounding.ScoreOf(t, "4/4", eightBars, halves), pattern.Right, performer.Habits{Legato: 0.9},
		performer.Course{Fermatas: []performer.Fermata{{At: at, Beats: 20}}}, 1).through(t)
	assert.Empty(t, d.between(7010*time.Millisecond, 17400*time.Millisecond), "neither beat 4 nor what comes after")
	h := d.compare()
	assert.Zero(t, h.wrong+h.left)
	for _, off := range append(h.meeting, h.apart...) {
		assert.Less(t, off, 60*time.Millisecond, "it goes on when the chord is let go")
	}
}

// A player who holds every chord as long as the next is away, or at times, is no reason
// to wait.
func TestHoldingIsAHabit(t *testing.T) {
	for _, legato := range []float64{0.5, 0.9, 1, 1.05, 1.3, 1.9} {
		h := perform(sounding.ScoreOf(t, "4/4", eightBars, halves), pattern.Right, performer.Habits{Legato: legato}, performer.Course{}, 1).through(t).compare()
		assert.Zero(t, h.wrong+h.left, "%g of the length", legato)
		for _, off := range h.apart {
			assert.Less(t, off, 50*time.Millisecond, "%g of the length", legato)
		}
	}
}

// Where both strike together nothing sounds before the player does.
func TestNothingRunsAheadOfAStop(t *testing.T) {
	d := duetOf(t, "name: own\nmeter: 4/4\ngrid: quarters\nright: ch ch ch ch\nleft: 1 1 1 1\n", performer.Course{})
	cut := 0
	for cut < len(d.played) && d.played[cut].At < 2*barLength+250*time.Millisecond {
		cut++
	}
	d.hear(d.played[:cut])
	before := len(d.between(0, math.MaxInt64))
	require.Positive(t, before)
	assert.Positive(t, d.down(), "its note is held as the player's may be")
	last := d.now
	d.pass(last + 9*time.Second)
	assert.Len(t, d.between(0, math.MaxInt64), before)
	assert.Positive(t, d.down(), "for ten seconds, as at a fermata")
	d.pass(last + 10*time.Second)
	assert.Len(t, d.between(0, math.MaxInt64), before, "nobody plays on alone")
	assert.Zero(t, d.down(), "and every note ends")
}

func TestAfterAJumpThePartJoinsAtABar(t *testing.T) {
	// From bar 7 back to bar 5.
	d := duetOf(t, halves, performer.Course{}, performer.Break{At: 24 * meter.Quarter, To: 16 * meter.Quarter, Gap: 500 * time.Millisecond}).through(t)
	const back = 12500 * time.Millisecond
	again := d.between(back, math.MaxInt64)
	require.NotEmpty(t, again)
	place := again[0].place / float64(4*meter.Quarter)
	assert.Equal(t, math.Trunc(place), place, "the first that sounds begins a bar")
	assert.LessOrEqual(t, again[0].At, back+barLength+20*time.Millisecond, "the next")
	assert.Zero(t, d.compare().wrong)
	for _, s := range d.sounded {
		if !s.IsNoteOn() && s.At >= back-500*time.Millisecond {
			assert.LessOrEqual(t, s.At, back+20*time.Millisecond, "what sounded ends at the jump")
			break
		}
	}
}

// elsewhere is music that no chart has, from a time on.
func elsewhere(from time.Duration) (all []event.Event) {
	for i := range 24 {
		at, key := from+time.Duration(i)*310*time.Millisecond+time.Duration(i*i*37%200)*time.Millisecond, uint8(60+i*i*7%21)
		all = append(all, event.On(at, key, 70), event.Off(at+90*time.Millisecond, key))
	}
	return all
}

func TestThePartIsSilentWhereThePlaceIsLost(t *testing.T) {
	d := duetOf(t, halves, performer.Course{})
	cut := 0
	for cut < len(d.played) && d.played[cut].At < 2*barLength {
		cut++
	}
	d.hear(d.played[:cut])
	d.hear(elsewhere(d.now + 500*time.Millisecond))
	require.True(t, d.follower.Estimate().Lost)
	assert.Zero(t, d.down())
	sounded := len(d.between(0, math.MaxInt64))
	d.pass(d.now + 5*time.Second)
	assert.Len(t, d.between(0, math.MaxInt64), sounded)

	start := d.now
	for i := range d.played {
		d.played[i].At += start
	}
	d.through(t)
	again := d.between(start, math.MaxInt64)
	require.NotEmpty(t, again, "it joins again")
	assert.Less(t, again[0].At, start+4*barLength)
	place := again[0].place / float64(4*meter.Quarter)
	assert.Equal(t, math.Trunc(place), place, "at a bar")
}

func TestAPartGoesRound(t *testing.T) {
	d := duetOf(t, halves, performer.Course{})
	d.meet(true)
	one := d.played
	d.hear(one)
	length := d.whole.Time(d.whole.Length)
	var two []event.Event
	for _, e := range one {
		e.At += length
		two = append(two, e)
	}
	d.hear(two)
	ons := d.between(0, math.MaxInt64)
	require.GreaterOrEqual(t, len(ons), 62)
	assert.InDelta(t, d.partner.length, ons[32].place, 1, "the second pass follows the first")
	assert.InDelta(t, length.Seconds(), ons[32].At.Seconds(), 0.005)
	d.partner.Stop(d.take)
	assert.Zero(t, d.down())
	d.pass(d.now + time.Hour)
	assert.Equal(t, Never, d.partner.Next(), "it is over")
}

// The tune over a player of both hands.
func TestTheTuneIsAPart(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |\nm: c4 e4 | f8", "two-beat")
	d := &duet{whole: s, played: performer.Play(s, performer.Habits{}, performer.Course{}, 1).Events}
	d.meet(false)
	d.partner = New(s, s, Options{Parts: []playback.Part{playback.Tune}, Channel: 3})
	d.through(t)
	ons := d.between(0, math.MaxInt64)
	require.Len(t, ons, 3)
	for i, at := range []float64{0, 1, 2} {
		assert.InDelta(t, at, ons[i].At.Seconds(), 0.002)
	}
}

// A note that comes too late, as when the machine was asleep, is left out.
func TestALateNoteIsLeftOut(t *testing.T) {
	d := duetOf(t, halves, performer.Course{})
	d.hear(d.played[:3])
	due := d.partner.Next()
	before := len(d.between(0, math.MaxInt64))
	d.now = due + time.Second
	d.partner.Play(d.now, d.take)
	assert.Len(t, d.between(0, math.MaxInt64), before)
}

// In 6/8 a sixteenth is a sixth of a beat: the last but one ends shortly before the
// player's next stroke, and the last comes all the same.
func TestAQuickPartIsPlayedToItsEnd(t *testing.T) {
	s := sounding.ScoreOf(t, "6/8", "| C | F | G7 | C |", "name: own\nmeter: 6/8\ngrid: sixteenths\nright: ch . . . . . ch . . . . .\nleft: 1 5 1 5 1 5 1 5 1 5 1 5\n")
	h := perform(s, pattern.Right, performer.Habits{}, performer.Course{}, 1).through(t).compare()
	assert.Equal(t, 48, h.strokes)
	assert.Zero(t, h.left+h.wrong)
	for _, off := range h.apart {
		assert.Less(t, off, 10*time.Millisecond)
	}
}

// A ritardando that is written is expected.
func TestThePartSlowsDownWithTheEnd(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eightBars, halves)
	s.Slowing = score.Slowing{From: 6 * meter.Whole, To: 8*meter.Whole - meter.Quarter, Beat: 1.8}
	h := perform(s, pattern.Right, performer.Habits{}, performer.Course{}, 1).through(t).compare()
	assert.Zero(t, h.left+h.wrong)
	for _, off := range append(h.apart, h.meeting...) {
		assert.Less(t, off, 25*time.Millisecond)
	}
}

// Wherever a player of any pattern stops, every note that sounds ends.
func TestEveryNoteEndsAtAStop(t *testing.T) {
	sounded := 0
	everyPart(t, func(s *score.Score, hand pattern.Hand, seed uint64) {
		for _, cut := range []int{7, 23, 40} {
			d := perform(s, hand, performer.Habits{}, performer.Course{}, seed)
			d.hear(d.played[:min(cut, len(d.played))])
			sounded += d.down()
			d.pass(d.now + 2*longestHeld)
			require.Zero(t, d.down(), "%s, after %d messages", s.Pattern.Name, cut)
			require.Equal(t, Never, d.partner.Next())
		}
	})
	assert.Positive(t, sounded)
}

// So does a long note, of two parts, behind a note of the other that waits.
func TestALongNoteEndsAtAStop(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |\nm: c8 | f8", "name: own\nmeter: 4/4\ngrid: quarters\nright: ch ch ch ch\nleft: 1 1 1 1\n")
	d := perform(s, pattern.Right, performer.Habits{}, performer.Course{}, 1)
	led := *s
	led.Only = score.RightAlone
	alone, _, _ := led.Alone()
	d.partner = New(alone, &led, Options{Parts: []playback.Part{playback.Tune, playback.LeftHand}, Channel: 3})
	d.hear(d.played[:3]) // the first chord
	require.Equal(t, 2, d.down(), "tune and bass")
	d.pass(d.now + longestHeld/2)
	require.Positive(t, d.down())
	d.pass(d.now + longestHeld)
	assert.Zero(t, d.down())
	assert.Equal(t, Never, d.partner.Next())
}

// Two bars of four beats: the player strikes on 1 and 3, each for a beat, and the part
// on every beat.
func TestPlacesThroughAllRounds(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", halves)
	d := &duet{whole: s, hand: pattern.Right}
	d.meet(true)
	p := d.partner
	beat := float64(meter.Quarter)
	for _, c := range []struct{ place, after, end, bar, from float64 }{
		{0, 2, 1, 0, 0}, {2, 4, 3, 4, 2}, {4, 6, 5, 4, 4}, {6, 8, 7, 8, 6}, {8, 10, 9, 8, 8}, {14, 16, 15, 16, 14}, {16, 18, 17, 16, 16},
	} {
		assert.Equal(t, c.after*beat, p.after(c.place*beat), "after beat %g", c.place)
		assert.Equal(t, c.end*beat, p.end(c.place*beat), "end of beat %g", c.place)
		pass := int(c.place) / 8
		assert.Equal(t, c.bar*beat, p.bar(pass, meter.Ticks(c.place)%8*meter.Quarter), "bar from beat %g", c.place)
		n := p.from(c.place * beat)
		first, ok := p.step(n)
		require.True(t, ok)
		assert.InDelta(t, c.from*beat, first.at, same, "first of beat %g", c.place)
		if n > 0 {
			before, _ := p.step(n - 1)
			assert.Less(t, before.at, c.from*beat-same, "and none before beat %g", c.place)
		}
	}
	for _, place := range []float64{2, 8, 10} { // as sums of places may be a hair off
		assert.Equal(t, p.from(place*beat), p.from(place*beat-same/2))
		assert.Equal(t, p.end(place*beat), p.end(place*beat-same/2))
		assert.Equal(t, p.end(place*beat), p.end(place*beat+same/2))
		assert.Equal(t, p.after(place*beat), p.after(place*beat+same/2))
	}
	assert.Equal(t, 15*beat, p.end(15*beat), "of the last stroke, after it")
	d.meet(false)
	assert.Equal(t, math.Inf(1), d.partner.after(6*beat), "nothing after the last")
	_, ok := d.partner.step(len(d.partner.part))
	assert.False(t, ok)
}

// A stroke of both hands lasts as long as the longer of the two.
func TestAStrokeOfBothHandsLastsAsTheLonger(t *testing.T) {
	for _, text := range []string{"right: ch ch ch ch\nleft: 1 - - -\n", "right: ch - - -\nleft: 1 5 1 5\n"} {
		s := sounding.ScoreOf(t, "4/4", "| C | F |\nm: c8 | f8", "name: own\nmeter: 4/4\ngrid: quarters\n"+text)
		p := New(s, s, Options{Parts: []playback.Part{playback.Tune}})
		assert.Len(t, p.onsets, 8)
		for beat, end := range []float64{4, 2, 3, 4, 8, 6, 7, 8} {
			assert.Equal(t, end*float64(meter.Quarter), p.end(float64(beat)*float64(meter.Quarter)), "%q, beat %d", text, beat+1)
		}
	}
}

// leader is a player whose place is given.
type leader struct {
	place follow.Estimate
	at    time.Duration
}

func (l leader) Estimate() follow.Estimate                 { return l.place }
func (l leader) TimeOf(_ int, _ meter.Ticks) time.Duration { return l.at }

func TestNothingSoundsWhereThePlaceIsInDoubt(t *testing.T) {
	for confidence, sounds := range map[float64]int{1: 1, likely: 1, likely - 0.01: 0} {
		d := &duet{whole: sounding.ScoreOf(t, "4/4", eightBars, halves), hand: pattern.Right}
		d.meet(false)
		d.partner.Hear(leader{follow.Estimate{Confidence: confidence}, time.Second}, time.Second, d.take)
		d.partner.Play(time.Second, d.take)
		assert.Equal(t, sounds, d.down(), "likely by %g", confidence)
		d.pass(1400 * time.Millisecond)
		assert.Len(t, d.sounded, sounds, "and nothing later")
		d.now = 2 * time.Second
		d.partner.Hear(leader{follow.Estimate{Event: 1, At: meter.Half, Confidence: 1}, d.now}, d.now, d.take)
		d.partner.Play(d.now, d.take)
		assert.Len(t, d.between(2*time.Second, math.MaxInt64), 1, "once it is known, what is struck together")
	}
}
