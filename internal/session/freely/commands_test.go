package freely

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/byear"
	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
)

// The first bars of Skip to My Lou: F and C7.
const lou = "title: Skip to My Lou\nkey: F\nmeter: 4/4\ntempo: 120\n\n| F | F | C7 | C7 |\nm: A2 A2 F2 F2 | A A A2 c4 | G2 G2 E2 E2 | G G G2 B4 |\n"

func louTune(t testing.TB) *score.Score {
	t.Helper()
	c, err := chart.Parse([]byte(lou), "")
	require.NoError(t, err)
	s, err := score.Tune(c, score.Options{})
	require.NoError(t, err)
	return s
}

// sittings are one of each kind, begun.
func sittings(t testing.TB) map[string]*faced {
	all := map[string]*faced{
		"tune":    {Sitting: NewTune(sitting.Heading{Title: "Lou", Help: byear.NoHelp}, louTune(t))},
		"basses":  {Sitting: NewBasses(sitting.Heading{Title: "Lou", Choice: 2}, louTune(t))},
		"hearing": {Sitting: NewHearing(live.Options{})},
	}
	for _, s := range all {
		s.Begin(0)
	}
	return all
}

// key strikes a key and lets it go, a moment later.
func (f *faced) key(now time.Duration, k uint8) {
	f.Event(event.On(now, k, 70))
	f.Event(event.Off(now+200*time.Millisecond, k))
}

// told is what was told since the last time.
func (f *faced) toldSince() []string {
	f.said = nil
	f.tell()
	return f.said
}

func TestWhatASittingWithoutAClickCannotDoIsSaid(t *testing.T) {
	for name, s := range sittings(t) {
		s.toldSince()
		for _, c := range []struct {
			do   sitting.Do
			says string
		}{
			{sitting.DoBegin, "not now: begin"}, {sitting.DoGoOn, "not now: go on"}, {sitting.DoAgain, "not now: again"},
			{sitting.DoSlower, "not now: slower"}, {sitting.DoFaster, "not now: faster"}, {sitting.DoLine, "not now: loop this line"},
			{sitting.DoWhole, "not now: the whole again"}, {sitting.DoSuggested, "not now: practise what is suggested"},
		} {
			before := s.State()
			s.do(time.Second, c.do)
			assert.Equal(t, []string{c.says}, s.toldSince(), name)
			assert.Equal(t, before, s.State(), "%s, %s: nothing has changed", name, c.do)
		}
		s.Do(time.Second, sitting.Command{Do: sitting.DoBars, Bars: score.Span{From: 1, To: 2}})
		assert.Len(t, s.toldSince(), 1, name)
		s.do(2*time.Second, sitting.DoEnd)
		s.toldSince()
		s.do(3*time.Second, sitting.DoPause)
		assert.Empty(t, s.toldSince(), "%s: nothing is told after the end", name)
	}
}

func TestInAPauseNobodyListens(t *testing.T) {
	for name, s := range sittings(t) {
		s.toldSince()
		s.do(time.Second, sitting.DoPause)
		assert.Equal(t, []string{"paused"}, s.toldSince(), name)
		v := s.view()
		assert.Equal(t, sitting.Paused, v.Phase, name)
		assert.Equal(t, "paused", v.Notice, name)
		assert.Equal(t, "go on", v.Menu[0].Text, name)
		m := s.State().Menu
		assert.False(t, m.Has(sitting.DoPause) || m.Has(sitting.DoHint), name)
		s.do(time.Second, sitting.DoPause)
		assert.Equal(t, []string{"not now: pause"}, s.toldSince(), name)

		before := s.State()
		for n := range time.Duration(20) {
			s.key(2*time.Second+n*time.Second, 40)
			s.Tick(2*time.Second + n*time.Second + 900*time.Millisecond)
		}
		assert.Equal(t, before, s.State(), "%s: what is played in a pause is not heard", name)
		assert.Equal(t, time.Hour, s.Until(23*time.Second, time.Hour), "%s: and nothing is due", name)
		s.do(30*time.Second, sitting.DoGoOn)
		assert.Equal(t, []string{"listening again"}, s.toldSince(), name)
		assert.Equal(t, sitting.Playing, s.view().Phase, name)
		assert.True(t, s.State().Menu.Has(sitting.DoPause), name)
	}
}

// A pause is no time for who listens: what is said after a while of silence comes that
// much later.
func TestAPauseIsNoTime(t *testing.T) {
	s := sittings(t)["tune"]
	for n, k := range []uint8{69, 69, 65, 65, 69, 69, 69, 72, 67, 67, 64, 64, 67, 67, 67, 70} { // all of it
		s.key(time.Duration(n)*400*time.Millisecond, k)
	}
	last := 16 * 400 * time.Millisecond
	s.toldSince()
	due := s.Until(last, time.Hour)
	require.Less(t, due, time.Hour, "there is something to come")
	s.do(last, sitting.DoPause)
	s.Tick(last + time.Minute)
	assert.Equal(t, []string{"paused"}, s.toldSince())
	s.do(last+time.Minute, sitting.DoGoOn)
	assert.Equal(t, due, s.Until(last+time.Minute, time.Hour))
}

func TestAHintIsGivenWhereThereIsOne(t *testing.T) {
	all := sittings(t)
	for name, want := range map[string]string{
		"tune":   "phrase 1 goes:\n  same, leap down, same, leap up,\n  same twice, leap up",
		"basses": "bar 1: F fits", "hearing": "not now: hint",
	} {
		s := all[name]
		s.toldSince()
		s.do(time.Second, sitting.DoHint)
		assert.Equal(t, []string{want}, s.toldSince(), name)
	}
	s := all["basses"]
	assert.Equal(t, "bar 1: F fits", s.view().Correction, "shown where corrections are")
	s.Event(event.On(2*time.Second, 41, 70)) // F, under the first bar
	for n, k := range []uint8{69, 69, 65, 65, 69} {
		s.key(time.Duration(4+n)*500*time.Millisecond, k)
	}
	s.Tick(6 * time.Second)
	assert.Empty(t, s.view().Correction, "until something else is said")
	assert.Equal(t, "bar 1: F fits: the tune's A is its third", s.view().Praise)
}

func TestTheEndHasTheResult(t *testing.T) {
	for name, s := range sittings(t) {
		s.key(time.Second, 60)
		s.Take()
		s.do(3*time.Second, sitting.DoEnd)
		require.True(t, s.Done(), name)
		told := s.Take()
		r := told[len(told)-1].Result
		require.NotNil(t, r, name)
		assert.Equal(t, 3*time.Second, r.Length, name)
		st := s.State()
		assert.Equal(t, sitting.Finished, st.Where.Phase, name)
		assert.Empty(t, st.Menu.Choices, name)
	}
}

// atPiano holds the two lowest keys from a time on, until they are commands, and
// strikes the n-th white key above them.
func (f *faced) atPiano(now time.Duration, n int) {
	f.Event(event.On(now, 21, 60))
	f.Event(event.On(now, 22, 60))
	f.Tick(now + time.Second)
	f.Event(event.On(now+time.Second, []uint8{23, 24, 26, 28, 29, 31, 33, 35, 36}[n-1], 60))
}

func TestCommandsOfEachAtThePiano(t *testing.T) {
	for name, s := range sittings(t) {
		s.toldSince()
		s.atPiano(time.Second, 1)
		v := s.view()
		assert.True(t, v.AtPiano, name)
		assert.Equal(t, sitting.Paused, v.Phase, name)
		assert.Equal(t, "B0", v.Menu[0].Piano, name)
		s.Event(event.Off(3*time.Second, 21))
		v = s.view()
		assert.False(t, v.AtPiano, name)
		assert.Equal(t, sitting.Paused, v.Phase, "%s: until it is asked to go on", name)
		s.Event(event.Off(3*time.Second, 22))
		s.Event(event.Off(3*time.Second, 23))

		s.atPiano(10*time.Second, 9)
		assert.True(t, s.Done(), name)
		assert.False(t, s.view().AtPiano, "%s: the summary is to be read, though the keys are held", name)
	}
}

func TestWithoutItsKeyboardASittingCanOnlyBeEnded(t *testing.T) {
	for name, s := range sittings(t) {
		s.do(time.Second, sitting.DoPause)
		s.Lost(2*time.Second, "Grand")
		s.toldSince()
		m := s.State().Menu
		require.Len(t, m.Choices, 1, name)
		assert.Equal(t, sitting.DoEnd, m.Choices[0].Command.Do, name)
		assert.False(t, m.Piano, "%s: there are no keys", name)
		s.do(3*time.Second, sitting.DoGoOn)
		assert.Equal(t, []string{"not now: go on"}, s.toldSince(), name)
		s.Found(4*time.Second, "Grand")
		assert.True(t, s.State().Menu.Piano, name)
		assert.Equal(t, sitting.Paused, s.view().Phase, "%s: as it was", name)
		s.do(5*time.Second, sitting.DoGoOn)
		assert.True(t, s.State().Menu.Has(sitting.DoPause), name)
	}
}
