package practice

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/play/playback"
	"undersong/internal/session/sitting"
	"undersong/internal/test/material"
	"undersong/internal/ui/lines"
	"undersong/internal/ui/term"
)

// stand is a demonstration with all that it sends.
type stand struct {
	t    *testing.T
	d    *Demonstration
	out  bytes.Buffer
	sent []event.Event
	now  time.Duration
}

func newStand(t *testing.T, times int, o playback.Options) *stand {
	c := material.Chart(t, tune)
	s := scoreFor(t, c, "two-beat")
	st := &stand{t: t}
	h := sitting.HeadingOf(s, rules.Level{})
	st.d = NewDemonstration(Showing{Score: s, Chart: c, Player: playback.NewPlayer(s, o), Times: times, Heading: h,
		Opening: "playing on Digital Piano", Writer: lines.NewPlain(&st.out),
		Sound: func(e event.Event) { e.At = st.now; st.sent = append(st.sent, e) }})
	require.NoError(t, st.d.Begin(0))
	return st
}

func (s *stand) pass(until time.Duration) *stand {
	for ; s.now < until && !s.d.Done(); s.now += 5 * time.Millisecond {
		require.NoError(s.t, s.d.Tick(s.now))
	}
	s.now = max(s.now, until)
	return s
}

func (s *stand) down() (down []uint8) {
	held := map[[2]uint8]bool{}
	for _, e := range s.sent {
		held[[2]uint8{e.Channel(), e.Data1}] = e.IsNoteOn()
	}
	for k, on := range held {
		if on {
			down = append(down, k[1])
		}
	}
	return down
}

func TestADemonstrationTellsItsBars(t *testing.T) {
	s := newStand(t, 2, playback.Options{CountIn: 1, Times: 2}).pass(time.Hour)
	assert.True(t, s.d.Done())
	assert.Empty(t, s.down())
	lines := strings.Split(strings.TrimSpace(s.out.String()), "\n")
	assert.Equal(t, []string{"playing on Digital Piano", "bar 1: C", "bar 2: F", "bar 3: G7", "bar 4: C", "round 2", "bar 1: C", "bar 2: F", "bar 3: G7", "bar 4: C"}, lines[2:])
	struck := 0
	for _, e := range s.sent {
		if e.IsNoteOn() && e.Channel() != event.Percussion {
			struck++
		}
	}
	wanted := 0
	for i := range s.d.o.Score.Wants {
		wanted += len(s.d.o.Score.Wants[i].Tones)
	}
	assert.Equal(t, 2*wanted, struck)
}

func TestADemonstrationShowsTheKeysThatGoDown(t *testing.T) {
	s := newStand(t, 1, playback.Options{CountIn: 1})
	s.pass(600 * time.Millisecond)
	v := s.d.View()
	assert.Equal(t, term.CountIn, v.Phase)
	assert.Equal(t, 3, v.CountIn)
	assert.Zero(t, v.Down, "a click is no key")
	assert.Equal(t, "playing on Digital Piano", v.Praise)
	s.pass(bar + bar + 700*time.Millisecond) // beat 2 of bar 2
	v = s.d.View()
	assert.Equal(t, term.Playing, v.Phase)
	assert.Equal(t, 1, v.Current)
	assert.Equal(t, "F", v.Heard)
	assert.Empty(t, v.Praise)
	assert.Equal(t, "G7", v.NextChord)
	var down []uint8
	for k := range uint8(128) {
		if v.Down.Has(k) {
			down = append(down, k)
		}
	}
	assert.Equal(t, s.d.o.Score.Wants[5].Keys(), s.d.passes.keys().Keys(), "the chord on beat 2")
	assert.Len(t, down, 3)
	require.NoError(t, s.d.Stop(s.now))
	assert.Empty(t, s.down(), "all notes off")
	assert.Zero(t, s.d.View().Down)
}

func TestADemonstrationGoesRoundUntilItIsStopped(t *testing.T) {
	s := newStand(t, 0, playback.Options{}).pass(10 * time.Minute)
	assert.False(t, s.d.Done())
	assert.Equal(t, 75, strings.Count(s.out.String(), "bar 1: C"))
	assert.Equal(t, 75, s.d.View().Pass)
	require.NoError(t, s.d.Stop(s.now))
	assert.True(t, s.d.Done())
	assert.Empty(t, s.down())
}

// After a machine was asleep what is past stays silent.
func TestADemonstrationDoesNotCatchUp(t *testing.T) {
	s := newStand(t, 1, playback.Options{}).pass(time.Second)
	before := len(s.sent)
	s.now = 5 * time.Second
	require.NoError(t, s.d.Tick(s.now))
	struck := 0
	for _, e := range s.sent[before:] {
		if e.IsNoteOn() {
			struck++
		}
	}
	assert.Equal(t, 1, struck, "the bass on beat 3 of bar 3, which is just due")
	s.pass(time.Hour)
	assert.Empty(t, s.down())
}
