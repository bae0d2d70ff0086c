package follow

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// Both follow; the coach may take either.
var _, _ interface {
	TimeOf(pass int, at meter.Ticks) time.Duration
	PositionAt(now time.Duration) Position
	Beat() time.Duration
} = (*Click)(nil), (*Follower)(nil)

const beatLength = 500 * time.Millisecond // at 120

// build lays a pattern of the catalogue over bars in C at 120.
func build(t testing.TB, patternName, bars string) *score.Score {
	t.Helper()
	c := material.Chart(t, "title: T\nkey: C\nmeter: 4/4\ntempo: 120\n\n"+bars+"\n")
	return lay(t, c, material.Shipped(t, patternName), "", 0)
}

// player strikes what a score wants.
type player struct {
	f   *Follower
	now time.Duration
	one time.Duration // its beat
}

func newPlayer(s *score.Score, o FollowOptions) *player {
	return &player{f: NewFollower(s, o), one: beatLength}
}

// strike plays an event, a finger every 5 ms, and tells how many of its notes
// found the place.
func (p *player) strike(event int) (right int) {
	at := p.now
	for i := range p.f.score.Wants {
		w := &p.f.score.Wants[i]
		if w.At != p.f.events[event].at {
			continue
		}
		for _, k := range w.Keys() {
			p.f.Strike(k, 64, at)
			at += 5 * time.Millisecond
			if p.f.Estimate().Event == event {
				right++
			}
		}
	}
	return right
}

// play plays events from to before before, and waits until the next is due.
func (p *player) play(from, before int) {
	for m := from; m < before; m++ {
		p.strike(m)
		p.wait(p.f.untilNextOf(m))
	}
}

func (p *player) wait(ticks meter.Ticks) {
	p.now += time.Duration(float64(p.one) * float64(ticks) / float64(p.f.score.Meter.Beat()))
}

// at is the place as bar and beat, bars from 1.
func (p *player) at() (bar int, beat float64) {
	e := p.f.Estimate()
	return e.Bar + 1, p.f.score.Meter.BeatAt(e.At - p.f.score.Bars[e.Bar].At)
}

func (p *player) assertAt(t *testing.T, bar int, beat float64, words string) {
	t.Helper()
	b, c := p.at()
	assert.Equal(t, [2]float64{float64(bar), beat}, [2]float64{float64(b), c}, words)
	assert.False(t, p.f.Estimate().Lost, words)
}

const eightBars = "| C | F | G7 | C | Am | Dm7 | G7 | C |"

func TestBeforeTheFirstStroke(t *testing.T) {
	p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	assert.Equal(t, Estimate{Event: -1, Before: -1, Tempo: 120}, p.f.Estimate())
	assert.Equal(t, -1, p.f.PositionAt(time.Hour).Pass)
	assert.Equal(t, beatLength, p.f.Beat())
	assert.Equal(t, 4*beatLength, p.f.TimeOf(0, 4*meter.Quarter))
}

func TestTheFirstNoteOfAChordTellsThePlace(t *testing.T) {
	p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	notes, right := 0, 0
	for m := range p.f.events {
		right += p.strike(m)
		p.wait(p.f.untilNextOf(m))
	}
	for i := range p.f.score.Wants {
		notes += len(p.f.score.Wants[i].Tones)
	}
	assert.Equal(t, notes, right)
}

func TestTheTempoIsThePlayers(t *testing.T) {
	for _, bpm := range []float64{72, 90, 120, 156, 170} {
		p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
		p.one = time.Duration(60 / bpm * float64(time.Second))
		p.play(0, 16)
		p.assertAt(t, 4, 4, "at another tempo")
		assert.InEpsilon(t, bpm, float64(p.f.Estimate().Tempo), 0.02)
		assert.InDelta(t, p.one.Seconds(), p.f.Beat().Seconds(), 0.02)
	}
}

func TestAPauseOfAnyLength(t *testing.T) {
	for _, pause := range []time.Duration{1300 * time.Millisecond, 7 * time.Second, time.Minute, 3 * time.Hour} {
		p := newPlayer(build(t, "two-beat", "| C | C | C | C | F | G7 | C | C |"), FollowOptions{})
		p.play(0, 6)
		p.now += pause
		waiting := p.f.PositionAt(p.now)
		assert.Equal(t, 1, waiting.Bar)
		assert.Equal(t, 3.0, waiting.Beat, "the follower waits at the next stroke")
		p.strike(6)
		p.assertAt(t, 2, 3, "after "+pause.String())
		p.wait(meter.Quarter)
		p.play(7, 12)
		p.assertAt(t, 3, 4, "after "+pause.String())
	}
}

func TestAWrongChordKeepsThePlace(t *testing.T) {
	p := newPlayer(build(t, "block-half", eightBars), FollowOptions{})
	p.play(0, 4)
	for _, k := range []pitch.Num{50, 62, 65, 69} { // D minor for G7
		p.f.Strike(k, 64, p.now)
	}
	p.assertAt(t, 3, 1, "a wrong chord")
	p.wait(meter.Half)
	p.play(5, 8)
	p.assertAt(t, 4, 3, "after a wrong chord")
}

func TestBackToTheStart(t *testing.T) {
	p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	p.play(0, 18)
	p.now += 3 * time.Second
	for m := range 8 {
		p.strike(m)
		p.wait(meter.Quarter)
	}
	p.assertAt(t, 2, 4, "two bars after starting again")
}

func TestAJumpIsTold(t *testing.T) {
	p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	jumped := 0
	for _, m := range []int{0, 1, 2, 3, 4, 5, 6, 7, 20, 21, 22, 23, 24, 25} {
		p.strike(m)
		if p.f.Estimate().Jumped {
			jumped++
		}
		p.wait(meter.Quarter)
	}
	p.assertAt(t, 7, 2, "after a jump")
	assert.Equal(t, 1, jumped)
}

func TestAnotherVoicing(t *testing.T) {
	p := newPlayer(build(t, "block-whole", "| C | F | G7 | C |"), FollowOptions{})
	for bar, keys := range [][]pitch.Num{{36, 55, 60, 64}, {41, 65, 69, 72}, {43, 59, 62, 65}, {48, 64, 67, 72, 76}} {
		for _, k := range keys {
			p.f.Strike(k, 64, p.now)
		}
		p.assertAt(t, bar+1, 1, "another voicing")
		p.wait(meter.Whole)
	}
}

func TestOrnaments(t *testing.T) {
	p := newPlayer(build(t, "broken-up", eightBars), FollowOptions{})
	for m := range 16 {
		key := p.f.score.Wants[m].Tones[0].Key
		if m%4 == 2 { // a turn around the note, before it
			p.f.Strike(key+2, 50, p.now-220*time.Millisecond)
			p.f.Strike(key-1, 50, p.now-110*time.Millisecond)
		}
		p.f.Strike(key, 64, p.now)
		b, beat := p.at()
		assert.Equal(t, [2]float64{float64(1 + m/4), float64(1 + m%4)}, [2]float64{float64(b), beat})
		p.wait(meter.Quarter)
	}
}

func TestATuneOverABrokenChord(t *testing.T) {
	p := newPlayer(build(t, "broken-up", eightBars), FollowOptions{})
	tune := []pitch.Num{76, 77, 79, 81, 83, 84, 79}
	for m := range 32 {
		p.f.Strike(tune[m%7], 80, p.now)
		p.strike(m)
		b, beat := p.at()
		assert.Equal(t, [2]float64{float64(1 + m/4), float64(1 + m%4)}, [2]float64{float64(b), beat})
		p.f.Strike(tune[(m+3)%7], 80, p.now+beatLength/2)
		b, beat = p.at()
		assert.Equal(t, [2]float64{float64(1 + m/4), float64(1 + m%4)}, [2]float64{float64(b), beat}, "between the beats")
		p.wait(meter.Quarter)
	}
}

func TestLostAndFound(t *testing.T) {
	p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	p.play(0, 8)
	r := rand.New(rand.NewPCG(1, 2))
	lost := 0
	for range 24 {
		for range 3 {
			p.f.Strike(pitch.Num(40+r.IntN(40)), 64, p.now)
		}
		if p.f.Estimate().Lost {
			lost++
		}
		p.now += time.Duration(100+r.IntN(700)) * time.Millisecond
	}
	assert.Greater(t, lost, 14, "something else altogether is played")
	p.play(16, 24)
	p.assertAt(t, 6, 4, "two bars of the tune found the place again")
}

func TestTimesOfPlaces(t *testing.T) {
	p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	p.now, p.one = 10*time.Second, 600*time.Millisecond
	p.play(0, 9) // to bar 3, beat 1
	near := func(want, got time.Duration) {
		t.Helper()
		assert.InDelta(t, want.Seconds(), got.Seconds(), 0.025)
	}
	near(10*time.Second, p.f.TimeOf(0, 0))
	near(11800*time.Millisecond, p.f.TimeOf(0, 3*meter.Quarter))
	near(12100*time.Millisecond, p.f.TimeOf(0, 3*meter.Quarter+meter.Eighth))
	near(16*time.Second, p.f.TimeOf(0, 10*meter.Quarter))
	near(29200*time.Millisecond, p.f.TimeOf(1, 0))
	halfway := p.f.PositionAt(p.f.TimeOf(0, 8*meter.Quarter+meter.Eighth) + time.Millisecond)
	assert.Equal(t, 2, halfway.Bar)
	assert.InDelta(t, 1.5, halfway.Beat, 0.01)
}

func TestAroundAndAround(t *testing.T) {
	p := newPlayer(build(t, "two-beat", "| C | F | G7 | Am |"), FollowOptions{Loop: true})
	for pass := range 3 {
		p.play(0, 16)
		assert.Equal(t, pass, p.f.Estimate().Pass)
		assert.Equal(t, pass+1, p.f.PositionAt(p.now+10*time.Millisecond).Pass)
	}
	once := newPlayer(build(t, "two-beat", "| C | F | G7 | Am |"), FollowOptions{})
	once.play(0, 16)
	assert.True(t, once.f.PositionAt(once.now+time.Second).Ended)
}

func TestAHandThatComesLate(t *testing.T) {
	p := newPlayer(build(t, "block-half", eightBars), FollowOptions{})
	for m := range 12 {
		w := p.f.score.Wants[2*m : 2*m+2]
		p.f.Strike(w[0].Tones[0].Key, 64, p.now)
		for _, k := range w[1].Keys() {
			p.f.Strike(k, 64, p.now+90*time.Millisecond)
		}
		b, beat := p.at()
		assert.Equal(t, [2]float64{float64(1 + m/2), float64(1 + m%2*2)}, [2]float64{float64(b), beat})
		p.wait(meter.Half)
	}
}

func TestARolledChordIsOneOnset(t *testing.T) {
	p := material.Pattern(t, "name: rolled\nsounds: Rolled chords.\nused: endings\nsource: own\nlevel: 2\nmeter: 4/4\ngrid: halves\n\nright: ~ch ~ch\nleft: 1 1\n")
	c := material.Chart(t, "title: T\nkey: C\nmeter: 4/4\ntempo: 120\n\n| C | C | C | Am |\n")
	q := newPlayer(lay(t, c, p, "", 0), FollowOptions{})
	for m := range 8 {
		at := q.now
		for i := 2 * m; i < 2*m+2; i++ {
			for _, k := range q.f.score.Wants[i].Keys() {
				q.f.Strike(k, 64, at)
				at += 45 * time.Millisecond
				assert.Equal(t, m, q.f.Estimate().Event)
			}
		}
		q.wait(meter.Half)
	}
	assert.InEpsilon(t, 120, float64(q.f.Estimate().Tempo), 0.01)
}

func TestNothingToFollow(t *testing.T) {
	p := newPlayer(build(t, "two-beat", "| N.C. | N.C. |"), FollowOptions{})
	p.f.Strike(60, 64, time.Second)
	assert.Equal(t, -1, p.f.Estimate().Event)
	q := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	q.f.Strike(-1, 64, 0)
	q.f.Strike(128, 64, 0)
	q.f.Strike(60, 0, 0)
	assert.Equal(t, -1, q.f.Estimate().Event)
}

// FuzzFollow strikes anything at any time: answers stay within the score.
func FuzzFollow(f *testing.F) {
	f.Add([]byte{48, 10, 60, 0, 64, 0, 67, 90}, true)
	f.Add([]byte{200, 255, 0, 0, 127, 3}, false)
	s := build(f, "walking-quarters", eightBars)
	f.Fuzz(func(t *testing.T, strokes []byte, loop bool) {
		w := NewFollower(s, FollowOptions{Loop: loop})
		now := time.Duration(0)
		for len(strokes) >= 2 {
			gap := int8(strokes[1])
			now += time.Duration(gap) * time.Duration(gap) * time.Duration(gap) * 50 * time.Microsecond
			w.Strike(pitch.Num(int8(strokes[0])), strokes[1], now)
			strokes = strokes[2:]
			check(t, w, now)
		}
	})
}

func check(t *testing.T, f *Follower, now time.Duration) {
	e := f.Estimate()
	require.True(t, e.Event >= -1 && e.Event < len(f.events))
	require.True(t, e.Confidence >= 0 && e.Confidence <= 1.000001, "%v", e.Confidence)
	require.True(t, e.Tempo >= meter.SlowestTempo-1e-6 && e.Tempo <= meter.FastestTempo+1e-6, "%v", e.Tempo)
	p := f.PositionAt(now)
	require.True(t, p.At >= 0 && p.At <= f.score.Length && p.Bar < len(f.score.Bars))
	before := f.TimeOf(e.Pass, 0)
	for at := meter.Ticks(0); at <= f.score.Length; at += meter.Eighth {
		time := f.TimeOf(e.Pass, at)
		require.GreaterOrEqual(t, time, before, "tick %d", at)
		before = time
	}
}
