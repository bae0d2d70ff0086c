package follow

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// What people do that no score says, and none of it moves the place.

// assertEvent expects the place at an event, found and not left by a jump.
func (p *player) assertEvent(t *testing.T, event int, words string) {
	t.Helper()
	e := p.f.Estimate()
	assert.Equal(t, event, e.Event, words)
	assert.False(t, e.Jumped || e.Lost, words)
}

// keys are those of an event, low to high.
func (p *player) keys(event int) (all []pitch.Num) {
	for i := range p.f.score.Wants {
		if w := &p.f.score.Wants[i]; w.At == p.f.events[event].at {
			all = append(all, w.Keys()...)
		}
	}
	return all
}

// playRight plays events as play does, and expects each at its place.
func (p *player) playRight(t *testing.T, from, before int, words string) {
	t.Helper()
	for m := from; m < before; m++ {
		p.strike(m)
		p.assertEvent(t, m, words)
		p.wait(p.f.untilNextOf(m))
	}
}

// A trill of twelve notes a second on a note of a broken chord, for two beats that
// want one note each.
func TestATrill(t *testing.T) {
	p := newPlayer(build(t, "broken-up", eightBars), FollowOptions{})
	p.playRight(t, 0, 10, "before")
	key := p.f.score.Wants[10].Tones[0].Key
	for n := range 6 {
		p.f.Strike(key+pitch.Num(2*(n%2)), 60, p.now+time.Duration(n)*beatLength/6)
		p.assertEvent(t, 10, "trill")
	}
	p.wait(meter.Quarter)
	p.playRight(t, 11, 32, "after")
}

// The highest note of a chord comes late: before the next chord, or when that has begun.
func TestALateNoteOfAChord(t *testing.T) {
	for _, c := range []struct {
		name  string
		late  time.Duration
		place int
	}{
		{"at once after the others", 70 * time.Millisecond, 5},
		{"long after them", 180 * time.Millisecond, 5},
		{"after the next chord, which came a quarter of a second later", 290 * time.Millisecond, 6},
	} {
		p := newPlayer(build(t, "driving-eighths", eightBars), FollowOptions{})
		p.playRight(t, 0, 5, "before")
		chord, begun := p.keys(5), p.now
		for _, k := range chord[:len(chord)-1] {
			p.f.Strike(k, 64, p.now)
		}
		p.assertEvent(t, 5, "the chord, but for a note")
		p.wait(meter.Eighth)
		if c.place == 6 {
			p.strike(6)
		}
		p.f.Strike(chord[len(chord)-1], 64, begun+c.late)
		p.assertEvent(t, c.place, c.name)
		if c.place == 5 {
			p.strike(6)
		}
		p.wait(meter.Eighth)
		p.playRight(t, 7, 64, c.name)
	}
}

// A hand rests for four bars, comes back, and the other rests.
func TestAHandThatRests(t *testing.T) {
	for _, rests := range []pattern.Hand{pattern.Left, pattern.Right} {
		p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
		p.playRight(t, 0, 8, "both hands")
		for m := 8; m < 24; m++ {
			if p.f.score.Wants[m].Hand != rests {
				p.strike(m)
				p.assertEvent(t, m, "one hand, the other rests: "+rests.String())
			}
			p.wait(meter.Quarter)
		}
		p.playRight(t, 24, 32, "both hands again")
	}
}

// From the tempo to half of it, and back to all of it, from one bar to the next.
func TestHalfTheTempo(t *testing.T) {
	p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	p.playRight(t, 0, 8, "at 120")
	p.one = 2 * beatLength
	p.playRight(t, 8, 20, "at 60")
	assert.InEpsilon(t, 60, float64(p.f.Estimate().Tempo), 0.05)
	p.one = beatLength
	p.play(20, 24)
	p.playRight(t, 24, 32, "at 120 again, after a bar of it")
	assert.InEpsilon(t, 120, float64(p.f.Estimate().Tempo), 0.05)
}

// A chord that nobody marked is rolled at 60 ms a note.
func TestAChordRolledSlowly(t *testing.T) {
	p := newPlayer(build(t, "block-half", eightBars), FollowOptions{})
	p.playRight(t, 0, 5, "before")
	at := p.now
	for _, k := range p.keys(5) {
		p.f.Strike(k, 64, at)
		p.assertEvent(t, 5, "rolled")
		at += 60 * time.Millisecond
	}
	p.wait(meter.Half)
	p.playRight(t, 6, 16, "after")
}

// A fermata of ten seconds; the tempo goes on as before.
func TestAFermataOfTenSeconds(t *testing.T) {
	for _, m := range []int{7, 12, 30} {
		p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
		p.playRight(t, 0, m, "before")
		p.now += 10 * time.Second
		p.playRight(t, m, 32, "after")
		assert.InEpsilon(t, 120, float64(p.f.Estimate().Tempo), 0.05)
	}
}

// Wrong notes that are of one chord are one mistake; others are more.
func TestWrongNotesOfOneChord(t *testing.T) {
	for _, c := range []struct {
		name    string
		foreign []pitch.Num
		key     pitch.Num
		one     bool
	}{
		{"the same again", []pitch.Num{65}, 53, true},
		{"a third above", []pitch.Num{65}, 69, true},
		{"a fifth below", []pitch.Num{65}, 58, true},
		{"a step above", []pitch.Num{65}, 67, false},
		{"a half step below", []pitch.Num{65}, 64, false},
		{"a tritone", []pitch.Num{65}, 71, false},
		{"a third to one, a step to the other", []pitch.Num{65, 70}, 68, false},
	} {
		p := path{bar: 3}
		for _, k := range c.foreign {
			p.foreign = p.foreign.With(k.Class())
		}
		want := float64(costOther)
		if c.one {
			want = costStill
		}
		assert.EqualValues(t, want, p.mostOf(3, costWrong, c.key), c.name)
		assert.EqualValues(t, costOther, p.mostOf(4, costWrong, c.key), "%s, in another bar", c.name)
		assert.EqualValues(t, costWrong, p.mostOf(3, 0, c.key), "%s, the first", c.name)
	}
}

// Where only a jump leads to, fades with each onset, and with no note of a chord; what
// goes on from the best place does not.
func TestPlacesFadeThatOnlyAJumpLeadsTo(t *testing.T) {
	p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
	p.f.Strike(48, 64, 0)
	p.f.paths = append(p.f.paths[:0], path{leap: 4}, path{leap: 4, weight: -1}, path{leap: 7, weight: -1}, path{weight: -2})
	p.f.bestPath = 0
	p.f.fadeOut()
	for i, want := range []float64{0, -1, -1 - fade, -2 - fade} {
		assert.EqualValues(t, want, p.f.paths[i].weight, "path %d", i)
	}
}

// A jump in time is no way out of what was left out: the place that is left lacks it as
// much as where playing goes on.
func TestAJumpLeavesWhatLacks(t *testing.T) {
	timed := func(struck tones) float64 {
		f := NewFollower(build(t, "block-whole", eightBars), FollowOptions{})
		f.paths = append(f.paths, path{event: 2, struck: struck, bar: 2, perTick: f.written})
		return f.leaving(4*beatLength.Seconds(), false).timed
	}
	assert.InDelta(t, costLacking, timed(0b1111)-timed(0b0111), 1e-9, "a note")
	assert.InDelta(t, costSilent, timed(0b1111)-timed(0b1110), 1e-9, "the bass")
}

// However much fitted nowhere, the place counts as found with the second right onset.
func TestFoundSoonAfterMuchThatFitsNowhere(t *testing.T) {
	for _, onsets := range []int{8, 80} {
		p := newPlayer(build(t, "two-beat", eightBars), FollowOptions{})
		for range onsets {
			p.f.told = 9
			p.f.commit(&p.f.place)
		}
		p.f.paths = append(p.f.paths, path{})
		p.f.lost, p.f.told, p.f.cost = true, 0, 0
		p.f.commit(&p.f.place)
		p.f.judgeSurely()
		assert.False(t, p.f.lost, "after %d onsets", onsets)
	}
}

// In a bar of many events a jump has to be more certain than in one of few.
func TestJumpsInBusyBars(t *testing.T) {
	of := func(name string) float64 { return NewFollower(build(t, name, eightBars), FollowOptions{}).leap }
	assert.EqualValues(t, costJump, of("block-whole"))
	assert.EqualValues(t, costJump, of("two-beat"), "four in a bar are few")
	assert.InDelta(t, costJump+costDense*0.693, of("driving-eighths"), 0.01, "eight are twice as many")
}

// The tempo is known less well after an interval that surprises than after one that is
// off by no more than is usual.
func TestATempoThatSurprisesIsKnownLess(t *testing.T) {
	s := build(t, "two-beat", eightBars)
	after := func(longer float64) (variance float64) {
		f := NewFollower(s, FollowOptions{})
		p := path{perTick: f.written, tempoVariance: 0.01}
		f.learn(&p, longer*beatLength.Seconds(), float64(meter.Quarter))
		return p.tempoVariance
	}
	assert.InDelta(t, after(1), after(1.05), 1e-6, "no more than is usual")
	assert.Greater(t, after(1.3), after(1.05))
}

// Striking again is no cheaper than going on, however slow the music is.
func TestStrikingAgainInSlowMusic(t *testing.T) {
	f := NewFollower(build(t, "block-whole", "| C | C | C | C |"), FollowOptions{})
	quick, slow := f.usual(&path{perTick: f.written / 4}), f.usual(&path{perTick: 4 * f.written, tempoVariance: 0.05})
	assert.Less(t, quick, float64(spared))
	assert.Greater(t, slow, float64(spared))
}
