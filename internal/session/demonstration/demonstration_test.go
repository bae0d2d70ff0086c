package demonstration

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/play/playback"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/ui/lines"
	"undersong/internal/ui/words"
)

const bar = 2 * time.Second

const tune = `title: Clementine
key: C
meter: 4/4
tempo: 120

| C | F |
| G7 | C |
`

// stand is a demonstration with all that it sends.
type stand struct {
	t      *testing.T
	d      *Demonstration
	out    bytes.Buffer
	plain  *lines.Plain
	viewer words.Viewer
	sent   []event.Event
	now    time.Duration
}

func newStand(t *testing.T, times int, o playback.Options) *stand {
	c, p := material.Chart(t, tune), material.Shipped(t, "two-beat")
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err)
	st := &stand{t: t}
	st.plain = lines.NewPlain(&st.out)
	st.d = New(Options{
		Score: s, Play: o, Times: times, Heading: sitting.HeadingOf(s, ""),
		Opening: sitting.Notice{Kind: sitting.PlayingOn, Out: "Digital Piano"},
		Sound:   func(e event.Event) { e.At = st.now; st.sent = append(st.sent, e) },
		Lay: func(bars score.Span, hands score.Only, round bool) (*score.Score, error) {
			return score.Build(c, p, score.Options{Span: bars, Only: hands, Round: round})
		},
	})
	st.d.Begin(0)
	return st
}

func (s *stand) tick() {
	s.d.Tick(s.now)
	for _, r := range s.d.Take() {
		require.NoError(s.t, s.plain.Record(r))
	}
}

func (s *stand) do(d sitting.Do) { s.d.Do(s.now, sitting.Command{Do: d}) }

func (s *stand) view() words.View {
	st := s.d.State()
	return s.viewer.View(&st)
}

func (s *stand) pass(until time.Duration) *stand {
	for ; s.now < until && !s.d.Done(); s.now += 5 * time.Millisecond {
		s.tick()
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
	v := s.view()
	assert.Equal(t, sitting.CountingIn, v.Phase)
	assert.Equal(t, 3, v.CountIn)
	assert.Zero(t, v.Down, "a click is no key")
	assert.Equal(t, "playing on Digital Piano", v.Prompt)
	s.pass(bar + bar + 700*time.Millisecond) // beat 2 of bar 2
	v = s.view()
	assert.Equal(t, sitting.Playing, v.Phase)
	assert.Equal(t, 1, v.Current)
	assert.Equal(t, "F", v.Heard)
	assert.Empty(t, v.Prompt)
	assert.Equal(t, "G7", v.NextChord)
	assert.Equal(t, s.d.o.Score.Wants[5].Keys(), s.d.take.sounds.Keys().Keys(), "the chord on beat 2")
	assert.Len(t, v.Down.Keys(), 3)
	s.do(sitting.DoEnd)
	assert.Empty(t, s.down(), "all notes off")
	assert.Zero(t, s.view().Down)
}

func TestADemonstrationGoesRoundUntilItIsStopped(t *testing.T) {
	s := newStand(t, 0, playback.Options{}).pass(10 * time.Minute)
	assert.False(t, s.d.Done())
	assert.Equal(t, 75, strings.Count(s.out.String(), "bar 1: C"))
	assert.Equal(t, 75, s.view().Pass)
	s.do(sitting.DoEnd)
	assert.True(t, s.d.Done())
	assert.Empty(t, s.down())
}

// After a machine was asleep what is past stays silent.
func TestADemonstrationDoesNotCatchUp(t *testing.T) {
	s := newStand(t, 1, playback.Options{}).pass(time.Second)
	before := len(s.sent)
	s.now = 5 * time.Second
	s.tick()
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

// struck are the keys of the strikes from a time on, in order.
func (s *stand) struck(from int) (keys []uint8) {
	for _, e := range s.sent[from:] {
		if e.IsNoteOn() && e.Channel() != event.Percussion {
			keys = append(keys, e.Data1)
		}
	}
	return keys
}

func TestADemonstrationIsPausedAndGoesOn(t *testing.T) {
	s := newStand(t, 1, playback.Options{}).pass(bar + 300*time.Millisecond)
	s.do(sitting.DoPause)
	assert.Empty(t, s.down(), "nothing sounds on")
	n := len(s.sent)
	s.pass(s.now + time.Minute)
	assert.Len(t, s.sent, n)
	assert.Equal(t, 1, s.view().Current)
	assert.Equal(t, "two-beat", s.d.State().Where.Plays, "what the bar plays")
	s.do(sitting.DoGoOn)
	s.pass(time.Hour)
	assert.True(t, s.d.Done())
	assert.Len(t, s.struck(n), 8+10+8, "bars 2 to 4: in G7 chords of four")
	assert.Equal(t, []string{"bar 1: C", "bar 2: F", "paused", "bar 2: F", "bar 3: G7", "bar 4: C"}, s.bars())
}

// bars are the lines about bars, and pauses.
func (s *stand) bars() (all []string) {
	for _, l := range strings.Split(strings.TrimSpace(s.out.String()), "\n")[3:] {
		all = append(all, strings.Split(l, ";")[0])
	}
	return all
}

func TestADemonstrationGoesSlowerAndFasterFromTheBar(t *testing.T) {
	s := newStand(t, 1, playback.Options{}).pass(bar + 300*time.Millisecond)
	s.do(sitting.DoSlower)
	assert.Equal(t, meter.Tempo(116), s.view().Tempo)
	at := s.now
	s.pass(time.Hour)
	assert.Equal(t, []string{"bar 1: C", "bar 2: F", "tempo 116", "bar 2: F", "bar 3: G7", "bar 4: C"}, s.bars())
	assert.InDelta(t, (3 * 4 * time.Minute / 116).Seconds(), (s.sent[len(s.sent)-1].At - at).Seconds(), 0.3, "three bars")
}

func TestADemonstrationGoesRoundALine(t *testing.T) {
	s := newStand(t, 1, playback.Options{}).pass(2*bar + 300*time.Millisecond)
	s.do(sitting.DoLine)
	s.pass(s.now + 6*bar - 100*time.Millisecond)
	assert.Equal(t, "bars 3-4, round and round", s.bars()[3])
	assert.Equal(t, []string{"bar 3: G7", "bar 4: C", "round 2", "bar 3: G7", "bar 4: C", "round 3", "bar 3: G7", "bar 4: C"}, s.bars()[4:])
	s.do(sitting.DoWhole)
	s.pass(time.Hour)
	assert.True(t, s.d.Done(), "once, as asked for first")
	assert.Equal(t, []string{"the whole", "bar 1: C", "bar 2: F", "bar 3: G7", "bar 4: C"}, s.bars()[12:])
	assert.Empty(t, s.down())
}

// From within a loop it goes on to the end, and then round.
func TestADemonstrationAgainFromTheLine(t *testing.T) {
	s := newStand(t, 0, playback.Options{}).pass(3*bar + 300*time.Millisecond)
	s.do(sitting.DoAgain)
	s.pass(s.now + 3*bar - 100*time.Millisecond)
	assert.Equal(t, []string{"bar 1: C", "bar 2: F", "bar 3: G7", "bar 4: C", "bar 3: G7", "bar 4: C", "round 2", "bar 1: C"}, s.bars())
	s.do(sitting.DoEnd)
	assert.Empty(t, s.down())
}

func TestADemonstrationTakesCommandsFromThePiano(t *testing.T) {
	s := newStand(t, 0, playback.Options{}).pass(time.Second)
	assert.Empty(t, s.view().Piano, "nobody listens")
	s.d.Listens = true
	assert.Equal(t, "at the piano: hold the two lowest keys", s.view().Piano)
	for _, k := range []uint8{21, 22} {
		s.d.Event(event.On(s.now, k, 60))
	}
	s.pass(s.now + time.Second)
	assert.True(t, s.view().AtPiano)
	assert.Equal(t, sitting.Paused, s.view().Phase)
	s.d.Event(event.On(s.now, 28, 60)) // E1: faster
	s.d.Event(event.Off(s.now, 28))
	assert.Equal(t, meter.Tempo(126), s.view().Tempo)
	s.d.Event(event.Off(s.now, 21))
	assert.Equal(t, sitting.Playing, s.view().Phase)
	s.d.Event(event.On(s.now, 60, 60))
	assert.Equal(t, sitting.Playing, s.view().Phase, "nobody listens to anything else")
	s.do(sitting.DoHint)
	s.tick()
	assert.Contains(t, s.out.String(), "not now: hint")
}
