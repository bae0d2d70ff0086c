package together

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/listen/follow"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/play/performer"
	"undersong/internal/play/playback"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// duet is a simulated player of one hand, and a partner who plays the other.
type duet struct {
	whole    *score.Score
	hand     pattern.Hand      // the player's
	played   []event.Event     // by the player
	truth    []performer.Onset // of the part, as the player's own other hand would have struck it
	sounded  []sound           // by the partner
	follower *follow.Follower
	partner  *Partner
	now      time.Duration
	keys     keyboard.Keys // the player's
}

// sound is what the partner sounded, when, and its place; -1 for a release.
type sound struct {
	event.Event
	place float64
}

// perform plays a score with both hands, and keeps one of them.
func perform(s *score.Score, hand pattern.Hand, h performer.Habits, c performer.Course, seed uint64, breaks ...performer.Break) *duet {
	both, one := performer.NewTake(s, h, c, seed), performer.NewTake(s, h, c, seed)
	for _, b := range breaks {
		both.Break(b)
		one.Break(b)
	}
	for i := range one.Strokes {
		if one.Strokes[i].Hand != hand {
			one.Strokes[i].Silent = true
		}
	}
	d := &duet{whole: s, hand: hand, played: one.Play().Events}
	for _, o := range both.Play().Onsets {
		if o.Want >= 0 && s.Wants[o.Want].Hand != hand {
			d.truth = append(d.truth, o)
		}
	}
	d.meet(false)
	return d
}

// meet brings player and partner together.
func (d *duet) meet(loop bool) {
	led := *d.whole
	led.Only = score.LeftAlone + score.Only(d.hand)
	alone, _, _ := led.Alone()
	d.follower = follow.NewFollower(alone, follow.FollowOptions{Loop: loop})
	d.partner = New(alone, &led, Options{Parts: []playback.Part{playback.Of(1 - d.hand)}, Loop: loop, Channel: 3})
}

// take takes what the partner sounds.
func (d *duet) take(e event.Event) {
	place := -1.0
	if e.IsNoteOn() {
		s, _ := d.partner.step(d.partner.next - 1)
		place = s.at
	}
	e.At = d.now
	d.sounded = append(d.sounded, sound{e, place})
}

// pass lets time pass, up to a time.
func (d *duet) pass(until time.Duration) {
	for due := d.partner.Next(); due <= until; due = d.partner.Next() {
		d.now = max(d.now, due)
		d.partner.Play(d.now, d.take)
	}
	d.now = max(d.now, until)
}

// hear lets the partner hear events.
func (d *duet) hear(events []event.Event) {
	for _, e := range events {
		d.pass(e.At)
		d.keys.Feed(e)
		d.partner.Hold(d.keys.Down != (keyboard.Set{}), e.At)
		if e.IsNoteOn() {
			d.follower.Strike(pitch.Num(e.Data1), e.Data2, e.At)
			d.partner.Hear(d.follower, e.At, d.take)
		}
		d.partner.Play(e.At, d.take)
	}
}

// through plays all that the player played, and waits until all must be over.
func (d *duet) through(t *testing.T) *duet {
	d.hear(d.played)
	d.pass(d.now + 2*longestHeld)
	require.Zero(t, d.down(), "every note ends")
	return d
}

// down counts the keys that sound.
func (d *duet) down() int {
	held := map[uint8]bool{}
	for _, s := range d.sounded {
		if s.IsNoteOn() {
			held[s.Data1] = true
		} else {
			delete(held, s.Data1)
		}
	}
	return len(held)
}

// between are the notes struck from one time to another.
func (d *duet) between(from, to time.Duration) (all []sound) {
	for _, s := range d.sounded {
		if s.IsNoteOn() && s.At >= from && s.At < to {
			all = append(all, s)
		}
	}
	return all
}

// heard is how the strokes of a part were played.
type heard struct {
	strokes, left, wrong int
	meeting, apart       []time.Duration // how far from the player's own other hand: where the player strikes, too, and between
}

// compare sets the part as sounded against the truth: left are strokes that were left
// out, wrong are notes more than a beat from theirs, or nobody's.
func (d *duet) compare() heard {
	h := heard{strokes: len(d.truth)}
	beat := d.whole.Tempo.Duration(d.whole.Meter.Beat(), d.whole.Meter)
	used := make([]bool, len(d.sounded))
	for _, o := range d.truth {
		place, found := d.whole.Elapsed(o.Pos), false
		for i, s := range d.sounded {
			if s.place < place-same || s.place > place+same || abs(s.At-o.At) > beat {
				continue
			}
			used[i] = true
			switch off := abs(s.At - o.At); {
			case found:
			case d.meets(o.Want):
				h.meeting = append(h.meeting, off)
			default:
				h.apart = append(h.apart, off)
			}
			found = true
		}
		if !found {
			h.left++
		}
	}
	for i, s := range d.sounded {
		if s.IsNoteOn() && !used[i] && !d.rolled(s.place) {
			h.wrong++
		}
	}
	return h
}

// rolled reports a note of a rolled chord after its first.
func (d *duet) rolled(place float64) bool {
	for i := range d.whole.Wants {
		w := &d.whole.Wants[i]
		since := place - d.whole.Elapsed(w.At)
		if w.Hand != d.hand && w.Roll && since > same && since < float64(w.Dur) {
			return true
		}
	}
	return false
}

// meets reports a stroke of the part that falls on one of the player's.
func (d *duet) meets(want int) bool {
	for i := range d.whole.Wants {
		if w := &d.whole.Wants[i]; w.Hand == d.hand && w.At == d.whole.Wants[want].At {
			return true
		}
	}
	return false
}

func (h *heard) add(o heard) {
	h.strokes, h.left, h.wrong = h.strokes+o.strokes, h.left+o.left, h.wrong+o.wrong
	h.meeting, h.apart = append(h.meeting, o.meeting...), append(h.apart, o.apart...)
}

func abs(d time.Duration) time.Duration { return max(d, -d) }
