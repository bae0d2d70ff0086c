package sounds

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/listen/follow"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
)

// heard is what an instrument was sent, and when by the clock of who asked.
type heard struct {
	now time.Duration
	all []string
}

// take notes "76+ at 2000", a key struck or let go, in milliseconds.
func (h *heard) take(e event.Event) {
	sign := "-"
	if e.IsNoteOn() {
		sign = "+"
	}
	on := ""
	if e.Channel() != event.Percussion {
		on = fmt.Sprintf(" on %d", e.Channel()+1)
	}
	h.all = append(h.all, fmt.Sprintf("%d%s%s at %d", e.Data1, sign, on, h.now/time.Millisecond))
}

// strikes are the strikes alone.
func (h *heard) strikes() (all []string) {
	for _, s := range h.all {
		if strings.Contains(s, "+") {
			all = append(all, s)
		}
	}
	return all
}

// Two bars in 4/4 at 120, a beat 500 ms.
func twoBars(t testing.TB) *score.Score {
	t.Helper()
	c, err := chart.Parse([]byte("title: Skip to My Lou\nkey: F\nmeter: 4/4\ntempo: 120\n\n| F | C7 |\nm: A2 A2 F2 F2 | G2 G2 E2 E2 |\n"), "")
	require.NoError(t, err)
	s, err := score.Tune(c, score.Options{})
	require.NoError(t, err)
	return s
}

// clicking are the clicks of two bars from two seconds on, after a count-in of some
// bars.
func clicking(t testing.TB, bars int, round bool) (*Clicks, *follow.Click) {
	s := twoBars(t)
	clock := follow.NewClick(s, 2*time.Second, round)
	return NewClicks(s, &clock, meter.Ticks(bars)*s.Meter.Bar()), &clock
}

// pass plays what is due, every ten milliseconds until a time.
func (h *heard) pass(until time.Duration, play func(time.Duration, func(event.Event))) {
	for ; h.now < until; h.now += 10 * time.Millisecond {
		play(h.now, h.take)
	}
}

func TestTheClickCountsInAndIsHighOnOne(t *testing.T) {
	c, _ := clicking(t, 1, false)
	assert.Equal(t, 4, c.CountIn())
	assert.Equal(t, time.Duration(0), c.Next())
	var h heard
	h.pass(10*time.Second, c.Play)
	assert.Equal(t, []string{
		"76+ at 0", "77+ at 500", "77+ at 1000", "77+ at 1500",
		"76+ at 2000", "77+ at 2500", "77+ at 3000", "77+ at 3500",
		"76+ at 4000", "77+ at 4500", "77+ at 5000", "77+ at 5500",
	}, h.strikes(), "General MIDI wood blocks, high and low; none after the end")
	assert.Equal(t, []string{"76+ at 0", "76- at 50", "77+ at 500", "77- at 550"}, h.all[:4], "released in time")
	assert.Equal(t, Never, c.Next())
}

func TestTheClickGoesRound(t *testing.T) {
	c, _ := clicking(t, 0, true)
	assert.Zero(t, c.CountIn())
	assert.Equal(t, 2*time.Second, c.Next())
	var h heard
	h.pass(7*time.Second, c.Play)
	assert.Equal(t, []string{"76+ at 6000", "77+ at 6500"}, h.strikes()[8:], "a high one begins the second pass")
	assert.Equal(t, 7*time.Second, c.Next())
}

func TestAClickThatIsTooLateIsLeftOut(t *testing.T) {
	for late, strikes := range map[time.Duration]int{0: 1, TooLate: 1, TooLate + time.Millisecond: 0} {
		c, _ := clicking(t, 0, false)
		h := heard{now: 2*time.Second + late}
		c.Play(h.now, h.take)
		assert.Len(t, h.strikes(), strikes, late)
		c.Stop(h.take)
		assert.Equal(t, 2500*time.Millisecond, c.Next(), "the next comes when it is due")
	}
	c, _ := clicking(t, 0, false)
	h := heard{now: 3020 * time.Millisecond} // asleep for two beats
	c.Play(h.now, h.take)
	assert.Equal(t, []string{"77+ at 3020"}, h.all)
}

func TestAStoppedClickSoundsNoLonger(t *testing.T) {
	c, _ := clicking(t, 0, false)
	h := heard{now: 2 * time.Second}
	c.Play(h.now, h.take)
	assert.Equal(t, h.now+clickLength, c.Next(), "its release")
	c.Stop(h.take)
	assert.Equal(t, []string{"76+ at 2000", "76- at 2000"}, h.all)
	c.Stop(h.take)
	assert.Len(t, h.all, 2, "once")
}

func TestNoClickIsSilent(t *testing.T) {
	var c *Clicks
	var h heard
	c.Play(time.Hour, h.take)
	c.Stop(h.take)
	assert.Empty(t, h.all)
	assert.Equal(t, Never, c.Next())
	full, _ := clicking(t, 1, false)
	full.Play(0, nil)
	full.Stop(nil)
	assert.Equal(t, 500*time.Millisecond, full.Next(), "time passes where there is no instrument")
}

func TestABlockThatSoundsIsReleasedFirst(t *testing.T) {
	var b Block
	var h heard
	assert.Equal(t, Never, b.Due())
	b.Rest(time.Hour, h.take)
	b.Strike(0, 0, true, h.take)
	b.Strike(20*time.Millisecond, 20*time.Millisecond, false, h.take)
	assert.Equal(t, []string{"76+ at 0", "76- at 0", "77+ at 0"}, h.all)
	assert.Equal(t, 20*time.Millisecond+clickLength, b.Due())
	b.Rest(b.Due()-1, h.take)
	assert.Len(t, h.all, 3)
	b.Rest(b.Due(), h.take)
	assert.Len(t, h.all, 4)
	assert.Equal(t, Never, b.Due())
}
