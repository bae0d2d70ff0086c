package sounds

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// on a channel, counted from 0.
func on(e event.Event, channel uint8) event.Event {
	e.Status = e.Kind() | channel
	return e
}

// twoPasses is C, then G, a second each, and in the second pass D alone, on channel 4.
func twoPasses(asked *[]int) *Passes {
	ms := time.Millisecond
	return &Passes{Pass: func(n int) []event.Event {
		*asked = append(*asked, n)
		switch n {
		case 0:
			return []event.Event{on(event.On(0, 60, 70), 3), on(event.Off(900*ms, 60), 3), on(event.On(1000*ms, 67, 70), 3), on(event.Off(1900*ms, 67), 3)}
		case 1:
			return []event.Event{on(event.On(2000*ms, 62, 70), 3), on(event.Off(2900*ms, 62), 3)}
		}
		return nil
	}}
}

func TestPassesArePlayedInTimeOneAfterTheOther(t *testing.T) {
	var asked []int
	p := twoPasses(&asked)
	assert.Zero(t, p.Next())
	var h heard
	h.pass(4*time.Second, p.Play)
	assert.Equal(t, []string{
		"60+ on 4 at 0", "60- on 4 at 900", "67+ on 4 at 1000", "67- on 4 at 1900", "62+ on 4 at 2000", "62- on 4 at 2900",
	}, h.all)
	assert.Equal(t, []int{0, 1, 2}, asked, "each is asked for once, and nothing after the end")
	assert.Equal(t, Never, p.Next())
}

func TestANoteThatIsTooLateIsLeftOutAndNoneHangs(t *testing.T) {
	for late, struck := range map[time.Duration]bool{TooLate: true, TooLate + time.Millisecond: false} {
		var asked []int
		p := twoPasses(&asked)
		h := heard{now: late}
		p.Play(h.now, h.take)
		assert.Equal(t, struck, len(h.all) == 1, late)
		h.now = 1900 * time.Millisecond
		p.Play(h.now, h.take)
		assert.Equal(t, []string{"60- on 4 at 1900", "67- on 4 at 1900"}, h.all[len(h.all)-2:], "a release is never left out")
		assert.Zero(t, p.Keys())
	}
}

func TestStoppedPassesLeaveNoNoteSounding(t *testing.T) {
	p := &Passes{Pass: func(int) []event.Event {
		return []event.Event{on(event.On(0, 48, 70), 0), on(event.On(0, 48, 70), 3), on(event.On(0, 76, 70), event.Percussion), on(event.Off(time.Second, 48), 0)}
	}}
	var h heard
	p.Play(0, h.take)
	var c3 keyboard.Set
	c3.Add(pitch.Num(48))
	assert.Equal(t, c3, p.Keys(), "the click is no key")
	h.all = nil
	p.Stop(h.take)
	assert.Equal(t, []string{"48- on 1 at 0", "48- on 4 at 0", "76- at 0"}, h.all, "on each channel")
	assert.Zero(t, p.Keys())
	assert.Equal(t, Never, p.Next(), "it is over")
	p.Play(time.Hour, h.take)
	p.Stop(h.take)
	assert.Len(t, h.all, 3)
}

func TestNoPassesAreSilent(t *testing.T) {
	var p *Passes
	var h heard
	p.Play(time.Hour, h.take)
	p.Stop(h.take)
	assert.Empty(t, h.all)
	assert.Equal(t, Never, p.Next())
}
