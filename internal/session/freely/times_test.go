package freely

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/listen/live"
	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
)

const (
	begun   = 5 * time.Second
	halfway = 500 * time.Millisecond // a half note of the tune lasts two of these
)

// items are the findings that were told since the last time.
func items(s sitting.Sitting) (all []sitting.Item) {
	for _, r := range s.Take() {
		all = append(all, r.Findings...)
	}
	return all
}

// Times count from when the sitting began, on the clock: a pause is counted in.
func TestWhatIsHeardIsToldWithItsTime(t *testing.T) {
	h := NewHearing(live.Options{})
	h.Begin(begun)
	chord := func(at time.Duration) (start, end time.Duration) {
		for _, k := range []uint8{60, 64, 67} {
			h.Event(event.On(at, k, 70))
		}
		h.Tick(at + time.Second)
		for _, k := range []uint8{60, 64, 67} {
			h.Event(event.Off(at+time.Second, k))
		}
		h.Tick(at + 3*time.Second)
		for _, r := range h.Take() {
			if r.Sound != nil && r.Sound.Over {
				start, end = r.Sound.Start, r.Sound.End
			}
		}
		return start, end
	}
	start, end := chord(begun + 2*time.Second)
	assert.Equal(t, []time.Duration{2 * time.Second, 3 * time.Second}, []time.Duration{start, end})
	h.Do(begun+10*time.Second, sitting.Command{Do: sitting.DoPause})
	h.Do(begun+20*time.Second, sitting.Command{Do: sitting.DoGoOn})
	start, end = chord(begun + 22*time.Second)
	assert.Equal(t, []time.Duration{22 * time.Second, 23 * time.Second}, []time.Duration{start, end})
}

func TestWhatIsFoundIsToldWithItsTime(t *testing.T) {
	s := NewTune(sitting.Heading{Title: "Lou", Help: byear.NoHelp}, louTune(t))
	s.Begin(begun)
	s.Take()
	s.Do(begun+2*time.Second, sitting.Command{Do: sitting.DoHint})
	s.Do(begun+3*time.Second, sitting.Command{Do: sitting.DoPause})
	s.Do(begun+13*time.Second, sitting.Command{Do: sitting.DoGoOn})
	s.Do(begun+14*time.Second, sitting.Command{Do: sitting.DoHint})
	told := items(s)
	require.Len(t, told, 2)
	assert.Equal(t, []time.Duration{2 * time.Second, 14 * time.Second}, []time.Duration{told[0].At, told[1].At})
}

// under plays the tune from a time on, a bass under each bar, and lets time pass.
func under(s *Basses, at time.Duration, basses ...uint8) time.Duration {
	tune := [][]uint8{{69, 69, 65, 65}, {69, 0, 69, 72}, {67, 67, 64, 64}, {67, 0, 67, 70}}
	for bar, keys := range tune[:len(basses)] {
		for n, k := range keys {
			now := at + time.Duration(4*bar+n)*halfway
			s.Tick(now)
			if n == 0 && basses[bar] > 0 {
				s.Event(event.On(now, basses[bar], 70))
			}
			if k > 0 {
				s.Event(event.On(now, k, 70))
				s.Event(event.Off(now+halfway-50*time.Millisecond, k))
			}
			if n == 3 && basses[bar] > 0 {
				s.Event(event.Off(now+halfway-20*time.Millisecond, basses[bar]))
			}
		}
	}
	return at + time.Duration(4*len(basses))*halfway
}

func TestBassesAreCountedAndToldWithTheirTimes(t *testing.T) {
	s := NewBasses(sitting.Heading{Title: "Lou", Choice: 2}, louTune(t))
	s.Begin(begun)
	assert.Equal(t, sitting.BassesBegin, s.State().Told.Praise.Kind)
	s.Take()
	s.Do(begun+time.Second, sitting.Command{Do: sitting.DoPause})
	s.Do(begun+11*time.Second, sitting.Command{Do: sitting.DoGoOn})
	now := under(s, begun+12*time.Second, 41, 36, 36) // F fits, then C does not, and then it does
	s.Tick(now)
	st := s.State()
	assert.Equal(t, []int{2, 1}, []int{st.Told.Right, st.Told.Wrong})
	told := items(s)
	require.Len(t, told, 3)
	assert.Equal(t, []finding.Kind{finding.Right, finding.Misfit, finding.Right}, []finding.Kind{told[0].Finding.Kind, told[1].Finding.Kind, told[2].Finding.Kind})
	assert.InDelta(t, 13, told[0].At.Seconds(), 1.5, "in the first bar, the pause counted in")
	assert.InDelta(t, 2, (told[1].At - told[0].At).Seconds(), 0.5, "a bar later")
}

func TestWhatToBeginWithIsSaidUntilTheTuneIsHeard(t *testing.T) {
	s := NewBasses(sitting.Heading{Title: "Lou", Choice: 2}, louTune(t))
	s.Begin(begun)
	assert.Equal(t, sitting.BassesBegin, s.State().Told.Praise.Kind)
	for n := range time.Duration(4) { // the tune, and no bass
		s.Event(event.On(begun+n*halfway, []uint8{69, 69, 65, 65}[n], 70))
		s.Tick(begun + n*halfway + 200*time.Millisecond)
	}
	require.Equal(t, 0, s.State().Where.Bar)
	assert.Zero(t, s.State().Told.Praise)
}

func TestAHintIsAboutTheBarThatIsPlayed(t *testing.T) {
	s := NewBasses(sitting.Heading{Title: "Lou", Choice: 2}, louTune(t))
	s.Begin(begun)
	now := under(s, begun, 41, 41, 36)
	s.Do(now, sitting.Command{Do: sitting.DoHint})
	n := s.State().Told.Notice
	assert.Equal(t, []any{sitting.BassesFit, 2, []int{1}}, []any{n.Kind, n.Bar, n.Choices.Slice()}, "C, the second of the stock, in bar 3")
}

func TestSomeSecondsAfterTheTuneAllIsOver(t *testing.T) {
	s := NewBasses(sitting.Heading{Title: "Lou", Choice: 2}, louTune(t))
	s.Begin(begun)
	now := under(s, begun, 41, 41, 36, 36)
	end := now - halfway // where the last note of the tune is struck
	s.Tick(end + lingers - time.Second)
	assert.False(t, s.Done(), "one may begin again")
	s.Tick(end + lingers + 3*time.Second)
	assert.True(t, s.Done())
	s = NewBasses(sitting.Heading{Title: "Lou", Choice: 2}, louTune(t))
	s.Begin(begun)
	now = under(s, begun, 41, 41, 36, 36)
	s.Do(now, sitting.Command{Do: sitting.DoPause})
	s.Tick(now + time.Minute)
	assert.False(t, s.Done(), "a pause is no end")
}

// What is due after a while of silence is due that much later after a pause, and
// nobody waits longer than is asked.
func TestAPausePutsOffWhatIsDue(t *testing.T) {
	s := sittings(t)["tune"]
	for n, k := range []uint8{69, 69, 65, 65, 69, 69, 69, 72, 67, 67, 64, 64, 67, 67, 67, 70} {
		s.key(time.Duration(n)*400*time.Millisecond, k)
	}
	last := 16 * 400 * time.Millisecond
	due := s.Until(last, time.Hour)
	s.do(last, sitting.DoPause)
	on := last + time.Minute
	s.do(on, sitting.DoGoOn)
	assert.Equal(t, time.Second, s.Until(on, time.Second), "at most")
	s.Tick(on + due - 10*time.Millisecond)
	assert.Equal(t, 10*time.Millisecond, s.Until(on+due-10*time.Millisecond, time.Hour))
	s.Tick(on + due)
	assert.Equal(t, time.Hour, s.Until(on+due, time.Hour), "nothing is due any more")
}
