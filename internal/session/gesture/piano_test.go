package gesture

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
)

// asked is a sitting that can pause and go slower, and what was asked of it.
type asked struct {
	p   Piano
	all []sitting.Do
}

func (a *asked) State() sitting.State {
	var m sitting.Menu
	m.Offer(sitting.Command{Do: sitting.DoPause})
	m.Offer(sitting.Command{Do: sitting.DoSlower})
	a.p.Offer(&m)
	return sitting.State{Menu: &m}
}

func (a *asked) Do(_ time.Duration, c sitting.Command) { a.all = append(a.all, c.Do) }

// play lets keys be played, and gives the changes.
func (a *asked) play(t testing.TB, text string, begin time.Duration) (changes []Change) {
	heed := func(now time.Duration) {
		if c := a.p.Change(); c != Same {
			changes = append(changes, c)
		}
		a.p.Ask(a, now)
	}
	now := begin
	for _, ev := range played(t, text) {
		ev.At += begin
		for ; now < ev.At; now += 10 * time.Millisecond {
			a.p.Tick(now)
			heed(now)
		}
		a.p.Feed(ev)
		heed(ev.At)
	}
	return changes
}

func TestWhatIsCommandedAtThePianoIsAsked(t *testing.T) {
	a := &asked{}
	assert.Equal(t, []Change{Opened}, a.play(t, "A0 Bb0 0-3000; D1 1000-1100; C1 1500-1600; B0 2000-2100", 0))
	assert.Equal(t, []sitting.Do{sitting.DoSlower, sitting.DoPause}, a.all, "the third white key and the first; the second is no command there")
	assert.Empty(t, a.p.Music())
}

func TestTheMenuNamesTheKeysWhileTheTwoAreHeld(t *testing.T) {
	a := &asked{}
	assert.True(t, a.State().Menu.Piano)
	assert.False(t, a.State().Menu.AtPiano)
	a.play(t, "A0 Bb0 0-2000; C3 900-950", 0)
	assert.False(t, a.State().Menu.AtPiano, "let go")
	a.p.Feed(event.On(3*time.Second, 21, 60))
	a.p.Feed(event.On(3*time.Second, 22, 60))
	a.p.Tick(4 * time.Second)
	a.p.Change()
	m := a.State().Menu
	assert.True(t, m.AtPiano)
	assert.Equal(t, pitch.Num(26), m.Choices[1].Key, "slower is D1, the third white key above Bb0")
	a.p.Forget()
	assert.False(t, a.State().Menu.AtPiano, "the cable was pulled")
}

func TestMusicGoesOnWhenTheKeysAreLetGoIfThatWasAsked(t *testing.T) {
	var p Piano
	assert.False(t, p.Later(), "nothing is held: at once")
	for n, asks := range []bool{true, false} {
		begin := time.Duration(n+1) * 10 * time.Second
		p.Feed(event.On(begin, 21, 60))
		p.Feed(event.On(begin, 22, 60))
		p.Tick(begin + time.Second)
		assert.Equal(t, Opened, p.Change())
		want := Same
		if asks {
			assert.True(t, p.Later())
			want = GoesOn
		}
		p.Feed(event.Off(begin+2*time.Second, 22))
		p.Feed(event.Off(begin+2*time.Second, 21))
		assert.Equal(t, want, p.Change())
		assert.Equal(t, Same, p.Change(), "told once")
	}
}

func TestWhatMayBeACommandIsHeldBack(t *testing.T) {
	var p Piano
	assert.Equal(t, 5*time.Second, p.Known(5*time.Second))
	assert.Equal(t, time.Minute, p.Due(time.Minute))
	p.Feed(event.On(5*time.Second, 21, 60))
	p.Tick(5*time.Second + 50*time.Millisecond)
	assert.Equal(t, 5*time.Second, p.Known(5*time.Second+50*time.Millisecond))
	assert.Equal(t, 5*time.Second+together, p.Due(time.Minute))
	assert.Equal(t, 5*time.Second+time.Millisecond, p.Due(5*time.Second+time.Millisecond))
	p.Tick(5*time.Second + together)
	assert.Len(t, p.Music(), 1, "one low key alone is music")
	assert.Equal(t, 6*time.Second, p.Known(6*time.Second))
}
