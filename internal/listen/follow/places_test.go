package follow

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

const second = time.Second

// seconds3 is a time in seconds, to the millisecond.
func seconds3(d time.Duration) float64 { return d.Round(time.Millisecond).Seconds() }

func TestPlacesByTheClick(t *testing.T) {
	s := build(t, "two-beat", "| C | F | G7 | C |") // 8 seconds at 120
	for _, c := range []struct {
		name string
		loop bool
		at   time.Duration
		want Position
	}{
		{"two beats of the count-in are left", false, 9 * second, Position{Pass: -1, At: -2 * meter.Quarter, Beat: 1}},
		{"the downbeat", false, 10 * second, Position{Beat: 1}},
		{"the third beat", false, 11 * second, Position{At: 2 * meter.Quarter, Beat: 3}},
		{"the second bar, halfway through its first beat", false, 12250 * time.Millisecond, Position{At: 9 * meter.Eighth, Bar: 1, Beat: 1.5}},
		{"over", false, 18 * second, Position{At: s.Length, Bar: 3, Beat: 1, Ended: true}},
		{"long over", false, time.Hour, Position{At: s.Length, Bar: 3, Beat: 1, Ended: true}},
		{"again from the top", true, 18 * second, Position{Pass: 1, Beat: 1}},
		{"the last beat of the second pass", true, 25500 * time.Millisecond, Position{Pass: 1, At: 15 * meter.Quarter, Bar: 3, Beat: 4}},
	} {
		k := NewClick(s, 10*second, c.loop)
		assert.Equal(t, c.want, k.PositionAt(c.at), c.name)
	}
	k := NewClick(s, 10*second, true)
	assert.Equal(t, 8*second, k.Pass())
	assert.Equal(t, 500*time.Millisecond, k.Beat())
	assert.Equal(t, 10*second, k.PassStart(0))
	assert.Equal(t, 26*second, k.PassStart(2))
	assert.Equal(t, 27*second, k.TimeOf(2, 2*meter.Quarter))
}

// Every tick of a fast tempo is told as itself, though times are whole nanoseconds.
func TestPlacesAreExactAtAnyTempo(t *testing.T) {
	for _, tempo := range []meter.Tempo{meter.SlowestTempo, 97, 133, meter.FastestTempo} {
		c := material.Chart(t, "title: T\nkey: C\nmeter: 4/4\n\n| C | F |\n")
		s := lay(t, c, material.Shipped(t, "two-beat"), "", tempo)
		k := NewClick(s, 0, false)
		for at := meter.Ticks(0); at < s.Length; at++ {
			require.Equal(t, at, k.PositionAt(k.TimeOf(0, at)).At, "%v", tempo)
		}
	}
}

// heard follows a player of four bars at 120 who begins at 10 s, waits 1 s longer
// before bar 2, and is at the third beat of bar 2.
func heard(t *testing.T, loop bool) *player {
	p := newPlayer(build(t, "two-beat", "| C | F | G7 | Am |"), FollowOptions{Loop: loop})
	p.now = 10 * second
	p.play(0, 4)
	p.now += second
	p.play(4, 6)
	p.strike(6)
	return p
}

func TestPlacesAsTheyWerePlayed(t *testing.T) {
	p := heard(t, false)
	for _, c := range []struct {
		name string
		at   meter.Ticks
		want float64
	}{
		{"the beginning", 0, 10},
		{"the second beat", meter.Quarter, 10.5},
		{"halfway to the third", 3 * meter.Eighth, 10.75},
		{"before the pause", 3 * meter.Quarter, 11.5},
		{"in the middle of the pause", 7 * meter.Eighth, 12.25},
		{"after the pause", 4 * meter.Quarter, 13},
		{"the beat before", 5 * meter.Quarter, 13.5},
		{"halfway from the beat before", 11 * meter.Eighth, 13.75},
		{"here", 6 * meter.Quarter, 14},
		{"the next beat", 7 * meter.Quarter, 14.5},
		{"the third bar", 8 * meter.Quarter, 15},
	} {
		assert.InDelta(t, c.want, seconds3(p.f.TimeOf(0, c.at)), 0.02, c.name)
	}
	assert.InDelta(t, 19, seconds3(p.f.TimeOf(1, 0)), 0.05, "the next pass begins after the last bar")
	assert.InDelta(t, 3, seconds3(p.f.TimeOf(-1, 0)), 0.05, "a pass before is counted back")
}

// What was played before a jump is counted back from where playing began anew.
func TestPlacesBeforeAJump(t *testing.T) {
	p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	p.now = 10 * second
	p.play(0, 8)
	p.play(20, 28) // from bar 6 on, in time: at 14 s
	p.strike(28)
	p.assertAt(t, 8, 1, "two bars after the jump")
	assert.InDelta(t, 14, seconds3(p.f.TimeOf(0, 20*meter.Quarter)), 0.05, "where playing began anew")
	assert.InDelta(t, 15.5, seconds3(p.f.TimeOf(0, 23*meter.Quarter)), 0.05, "since then")
	assert.InDelta(t, 12, seconds3(p.f.TimeOf(0, 16*meter.Quarter)), 0.05, "a bar before, as if it had been played")
}

func TestPlacesLeftOutAreBetweenTheirNeighbours(t *testing.T) {
	p := newPlayer(build(t, "two-beat", "| C | F | G7 | Am |"), FollowOptions{})
	for _, m := range []int{0, 1, 2, 4, 5, 6, 7, 8} { // without the fourth beat
		p.now = time.Duration(m) * beatLength
		p.strike(m)
	}
	p.assertAt(t, 3, 1, "a chord was left out")
	assert.InDelta(t, 1.5, seconds3(p.f.TimeOf(0, 3*meter.Quarter)), 0.02)
}

func TestWhereThePlayerIsBetweenStrokes(t *testing.T) {
	for _, c := range []struct {
		name  string
		loop  bool
		upTo  int // the last event struck, a beat each
		after time.Duration
		want  Position
	}{
		{"just struck", false, 6, 0, Position{At: 6 * meter.Quarter, Bar: 1, Beat: 3}},
		{"halfway to the next", false, 6, 250 * time.Millisecond, Position{At: 13 * meter.Eighth, Bar: 1, Beat: 3.5}},
		{"waiting at the next", false, 6, time.Minute, Position{At: 7 * meter.Quarter, Bar: 1, Beat: 4}},
		{"waiting at the next bar", false, 7, time.Minute, Position{At: 8 * meter.Quarter, Bar: 2, Beat: 1}},
		{"the last stroke", false, 15, 0, Position{At: 15 * meter.Quarter, Bar: 3, Beat: 4}},
		{"the last stroke sounds on", false, 15, 250 * time.Millisecond, Position{At: 31 * meter.Eighth, Bar: 3, Beat: 4.5}},
		{"over", false, 15, time.Second, Position{At: 16 * meter.Quarter, Bar: 3, Beat: 1, Ended: true}},
		{"waiting at the top again", true, 15, time.Second, Position{Pass: 1, Beat: 1}},
	} {
		p := newPlayer(build(t, "two-beat", "| C | F | G7 | Am |"), FollowOptions{Loop: c.loop})
		p.play(0, c.upTo)
		p.strike(c.upTo)
		got := p.f.PositionAt(p.now + c.after)
		assert.InDelta(t, float64(c.want.At), float64(got.At), 12, c.name)
		assert.InDelta(t, c.want.Beat, got.Beat, 0.05, c.name)
		got.At, got.Beat = c.want.At, c.want.Beat
		assert.Equal(t, c.want, got, c.name)
	}
}

// The place before tells a coach what lies between two onsets.
func TestThePlaceBefore(t *testing.T) {
	p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	p.strike(0)
	assert.Equal(t, meter.Ticks(-1), p.f.Estimate().Before, "nothing before the first")
	for m := 1; m < 8; m++ {
		p.wait(meter.Quarter)
		p.strike(m)
		assert.Equal(t, p.f.events[m-1].at, p.f.Estimate().Before)
		assert.False(t, p.f.Estimate().Jumped)
	}
	p.wait(meter.Eighth)
	p.f.Strike(61, 64, p.now) // a slip between the beats
	assert.True(t, p.f.Estimate().Extra)
	p.wait(meter.Eighth)
	p.strike(8)
	assert.Equal(t, meter.Ticks(-1), p.f.Estimate().Before, "the slip stood for nothing")
}

// A player may begin elsewhere than at the beginning (common practice, no source:
// students practise from a section, or from where it went wrong).
func TestBeginningElsewhere(t *testing.T) {
	s := build(t, "two-beat", "| C | F | C | G7 |\n\n[B]\n| Am | Em | F | C |\n| Dm | A7 | G7 | C |")
	for _, c := range []struct {
		name  string
		event int
	}{
		{"with the second chord, the first left out", 1},
		{"at the second section", 16},
		{"at a bar in the middle", 36},
	} {
		p := newPlayer(s, FollowOptions{})
		p.play(c.event, c.event+9)
		p.strike(c.event + 9)
		assert.Equal(t, c.event+9, p.f.Estimate().Event, c.name)
		assert.False(t, p.f.Estimate().Lost, c.name)
	}
}

// Of bars that sound alike playing begins at the first, until the music says otherwise.
func TestBeginningAtOneOfTwoBarsAlike(t *testing.T) {
	const third, seventh = 8, 24 // events, both G7 before C
	for _, c := range []struct {
		name                string
		event, heard, place int
	}{
		{"at the third bar, within it", third, 3, third + 3},
		{"and in the bar after", third, 7, third + 7},
		{"at the seventh bar, taken for the third", seventh, 3, third + 3},
		{"and known when the piece ends there", seventh, 8, 0},
	} {
		p := newPlayer(build(t, "two-beat", "| C | F | G7 | C | Am | F | G7 | C |"), FollowOptions{Loop: true})
		p.play(c.event, c.event+c.heard)
		p.strike((c.event + c.heard) % 32)
		est := p.f.Estimate()
		assert.Equal(t, c.place, est.Event, c.name)
		assert.Greater(t, est.Confidence, 0.6, c.name)
		assert.False(t, est.Lost, c.name)
	}
}

// After a silence playing may go on in the middle of a bar.
func TestGoingOnInTheMiddleOfABar(t *testing.T) {
	p := newPlayer(build(t, "broken-up", "| C | F | Dm7 | G7 |\n| Am | E7 | F#dim | Bb |"), FollowOptions{})
	p.play(0, 12)
	p.now += 6 * second
	p.play(22, 30) // the third beat of bar 6
	p.strike(30)
	p.assertAt(t, 8, 3, "two bars on")
}

// Jumps are likelier to where players do go back: the bar, a section, the top.
func TestWherePlayersGo(t *testing.T) {
	s := build(t, "two-beat", "| C | F | C | G7 | C | F | G7 | C |\n\n[B]\n| Am | Em | F | C | Am | Em | G7 | C |")
	f := NewFollower(s, FollowOptions{})
	const here = 5
	costs := func(bar int) float64 { return f.toBar(here, bar, true) }
	order := []int{here, here - 1, 0, here - 2, here - 3}
	for i := 1; i < len(order); i++ {
		assert.Less(t, costs(order[i-1]), costs(order[i]), "bar %d before bar %d", order[i-1]+1, order[i]+1)
	}
	assert.Equal(t, costs(here-1), costs(here+2), "back to the bar before as over the next")
	assert.Equal(t, toSection, costs(8), "to the second section")
	assert.InDeltaSlice(t, []float64{toBar + toFar*0.5, toBar + toFar*0.9}, []float64{costs(here + 1), costs(here + 9)}, 1e-9, "one on, nine on")
	assert.Equal(t, []float64{toTopInTime, costs(8)}, []float64{f.toBar(here, 0, false), f.toBar(here, 8, false)}, "to the top after a stop rather")
}

func TestRepeatsAndUpbeatsAreEntries(t *testing.T) {
	s := build(t, "two-beat", "|: C | F | G7 | C :|")
	f := NewFollower(s, FollowOptions{})
	require.Len(t, f.entry, 8)
	assert.Equal(t, []float64{toTop, toAny, toAny, toAny, toSection, toAny, toAny, toAny}, f.entry)

	c := material.Chart(t, "title: T\nkey: C\nmeter: 4/4\ntempo: 120\nupbeat: 1\n\n(C) | C | F | C |\n")
	f = NewFollower(lay(t, c, material.Shipped(t, "two-beat"), "", 0), FollowOptions{})
	assert.Equal(t, []float64{toTop, toTop, toAny, toAny}, f.entry, "the upbeat, and the bar after it")
}

func TestWhatANoteCosts(t *testing.T) {
	waltz := NewFollower(lay(t, material.Chart(t, "title: T\nkey: C\nmeter: 3/4\n\n| C | F |\n"), material.Shipped(t, "waltz"), "", 0), FollowOptions{})
	broken := NewFollower(build(t, "broken-up", "| C | F |"), FollowOptions{})
	fifth := broken.score.Wants[1].Tones[0].Key
	for _, c := range []struct {
		name  string
		f     *Follower
		event int
		key   pitch.Num
		want  float64
	}{
		{"the bass", waltz, 0, 48, 0},
		{"the bass an octave down", waltz, 0, 36, costFar * (12 - float64(spanOfHand))},
		{"the bass far down", waltz, 0, 24, costFar * (24 - float64(spanOfHand))},
		{"the bass so far that it is foreign nearly", waltz, 0, 108, costFarMost},
		{"a note of another chord for the bass", waltz, 0, 50, costForeign},
		{"a note of the chord", waltz, 1, 64, 0},
		{"a note foreign to the chord", waltz, 1, 62, costForeign},
		{"a figure's note", broken, 1, fifth, 0},
		{"a figure's note an octave up", broken, 1, fifth + 12, costOctave},
		{"a note that the figure has later", broken, 1, fifth - 3, costForeign},
	} {
		fit := &c.f.fits[c.key][c.f.events[c.event].stroke]
		assert.InDelta(t, c.want, fit.cost, 1e-6, c.name)
		assert.Equal(t, c.want == costForeign, fit.foreign(), c.name)
	}
}

// A chord takes each of its notes once.
func TestWhatAChordLacks(t *testing.T) {
	f := NewFollower(build(t, "block-half", "| C | F |"), FollowOptions{})
	need := f.strokes[f.events[0].stroke].need
	assert.Equal(t, [2]int{1, 3}, [2]int{need[0].count(), need[1].count()}, "a bass and a triad")
	var struck tones
	for n, c := range []struct {
		key  pitch.Num
		fits bool
	}{{48, true}, {64, true}, {64, false}, {62, false}, {67, true}, {72, true}} {
		took, _ := f.fits[c.key][f.events[0].stroke].of(^struck)
		assert.Equal(t, c.fits, took != 0, "note %d", n)
		struck |= took
	}
	assert.Equal(t, need[0]|need[1], struck, "the whole chord")
}

// The hand that is free plays the tune: what lies beyond the other hand's notes.
func TestATuneIsCheapBeyondTheOtherHand(t *testing.T) {
	left := tuneCosts(build(t, "broken-up", "| C | F |"))
	_, high := rangeOf(build(t, "broken-up", "| C | F |"))
	assert.EqualValues(t, costTune, left[high+tuneApart+1])
	assert.EqualValues(t, costExtraKey, left[high+tuneApart], "so near it is the figure's")
	assert.EqualValues(t, costExtraKey, left[30], "below a left hand there is none")

	s := build(t, "broken-up", "| C | F |")
	for i := range s.Wants {
		s.Wants[i].Hand = s.Wants[i].Hand.Other()
	}
	low, _ := rangeOf(s)
	right := tuneCosts(s)
	assert.EqualValues(t, costTune, right[low-tuneApart-1])
	assert.EqualValues(t, costExtraKey, right[low-tuneApart])
	assert.EqualValues(t, costExtraKey, right[100], "above a right hand neither")

	both := tuneCosts(build(t, "two-beat", "| C | F |"))
	assert.EqualValues(t, costExtraKey, both[100], "no hand is free")
}

func rangeOf(s *score.Score) (low, high int) {
	low = 127
	for i := range s.Wants {
		for _, k := range s.Wants[i].Keys() {
			low, high = min(low, int(k)), max(high, int(k))
		}
	}
	return low, high
}

// The notes of a rolled chord are one onset: the place before is that of the chord
// before, not the chord's own.
func TestARollIsNoRepetition(t *testing.T) {
	p := material.Pattern(t, "name: rolled\nsounds: Rolled chords.\nused: endings\nsource: own\nlevel: 2\nmeter: 4/4\ngrid: halves\n\nright: ~ch ~ch\nleft: 1 1\n")
	for _, c := range []struct {
		name string
		step time.Duration
		one  bool
	}{
		{"quickly", 40 * time.Millisecond, true},
		{"slowly", 88 * time.Millisecond, true},
		{"note by note", 110 * time.Millisecond, false},
	} {
		q := newPlayer(lay(t, material.Chart(t, "title: T\nkey: C\nmeter: 4/4\ntempo: 60\n\n| C | F | G7 | C |\n"), p, "", 0), FollowOptions{})
		q.one = second
		q.play(0, 4)
		for i := 8; i < 10; i++ { // G7: the bass, and four notes over it
			for _, k := range q.f.score.Wants[i].Keys() {
				q.f.Strike(k, 64, q.now)
				q.now += c.step
			}
		}
		before := q.f.events[3].at
		assert.Equal(t, c.one, q.f.Estimate().Before == before, c.name)
		assert.Equal(t, 4, q.f.Estimate().Event, c.name)
	}
}
