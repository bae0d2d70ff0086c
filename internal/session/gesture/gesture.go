// Package gesture tells commands that are given at the piano from music.
//
// The two lowest keys of the piano, held down together and alone for most of a
// second, open it. While they are held, the white keys above them are commands,
// counted from 1; letting one of the two go closes it. A half step at the very
// bottom, with nothing else, is no music: no chart asks for it, a stride or a boogie
// never rests there, and who looks for a tune plays one key at a time. One low key
// alone would not do: a slow bass rests on it.
//
// Which keys are lowest nobody tells; pianos and keyboards begin on A0, E1 or C2.
package gesture

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// lowest are the keys on which instruments begin: 88 keys on A0, 76 and 73 on E1, 61
// and 49 on C2 (common practice, no source).
var lowest = [...]pitch.Num{pitch.PianoLow, 28, 36}

// How long the two keys may be apart, and how long they are held before it opens:
// longer than any chord is spread, and than a beat at a walking pace.
const (
	together = 80 * time.Millisecond
	opening  = 700 * time.Millisecond
)

// Reader takes what is played and gives back what is music. The zero value is ready.
type Reader struct {
	down    keyboard.Set // keys that are held
	mine    keyboard.Set // those among them that are no music
	first   pitch.Num    // of the two keys; good while held is not empty, or it is open
	since   time.Duration
	both    bool // are down
	open    bool
	held    []event.Event // what may be music yet
	music   []event.Event
	chosen  int
	elapsed time.Duration
}

// Open reports that the white keys are commands.
func (r *Reader) Open() bool { return r.open }

// Commands are the keys that are commands, the first n; good while it is open.
func (r *Reader) Commands(n int) []pitch.Num {
	var all []pitch.Num
	for k := r.first + 2; len(all) < n; k++ {
		if white(k) {
			all = append(all, k)
		}
	}
	return all
}

func white(k pitch.Num) bool { return chromatic>>uint(k.Class())&1 == 0 }

// chromatic are the classes of the black keys.
const chromatic = 1<<1 | 1<<3 | 1<<6 | 1<<8 | 1<<10

// Feed takes an event. What is music, Music has then, or later.
func (r *Reader) Feed(ev event.Event) {
	r.Tick(ev.At)
	key := pitch.Num(ev.Data1 & 0x7F)
	switch {
	case ev.Channel() == event.Percussion:
		r.pass(ev)
	case ev.IsNoteOn():
		r.strike(key, ev)
		r.down.Add(key)
	case ev.IsNoteOff():
		r.down.Remove(key)
		r.release(key, ev)
	default:
		r.pass(ev)
	}
}

func (r *Reader) strike(key pitch.Num, ev event.Event) {
	switch {
	case r.open:
		r.mine.Add(key)
		r.choose(key)
	case len(r.held) == 0 && r.down == (keyboard.Set{}) && bottom(key) >= 0:
		r.first, r.since, r.both = bottom(key), ev.At, false
		r.held = append(r.held, ev)
	case len(r.held) > 0 && (key == r.first || key == r.first+1):
		if !r.down.Has(key) { // else a layer plays it too
			r.since, r.both = ev.At, true
		}
		r.held = append(r.held, ev)
	default:
		r.give()
		r.pass(ev)
	}
}

// bottom is the lower of the two keys that a key is one of, or -1.
func bottom(key pitch.Num) pitch.Num {
	for _, low := range lowest {
		if key == low || key == low+1 {
			return low
		}
	}
	return -1
}

// choose takes a white key above the two.
func (r *Reader) choose(key pitch.Num) {
	n := 0
	for k := r.first + 2; k <= key; k++ {
		if white(k) {
			n++
		}
	}
	if white(key) {
		r.chosen = n
	}
}

func (r *Reader) release(key pitch.Num, ev event.Event) {
	if r.mine.Has(key) {
		r.mine.Remove(key)
		if key == r.first || key == r.first+1 {
			r.open = false
		}
		return
	}
	r.give()
	r.pass(ev)
}

// pass lets an event through, behind what is held back.
func (r *Reader) pass(ev event.Event) {
	if len(r.held) > 0 {
		r.held = append(r.held, ev)
		return
	}
	r.music = append(r.music, ev)
}

// give gives back what was held: it is music after all.
func (r *Reader) give() {
	r.music = append(r.music, r.held...)
	r.held = r.held[:0]
}

// Tick lets time pass.
func (r *Reader) Tick(now time.Duration) {
	r.elapsed = max(r.elapsed, now)
	switch {
	case len(r.held) == 0 || r.elapsed < r.Due():
	case r.both:
		r.begin()
	default:
		r.give()
	}
}

// begin opens it: the two keys are no music, and what came with them is.
func (r *Reader) begin() {
	r.open = true
	r.mine.Add(r.first)
	r.mine.Add(r.first + 1)
	for _, ev := range r.held {
		if !ev.IsNoteOn() {
			r.music = append(r.music, ev)
		}
	}
	r.held = r.held[:0]
}

// Due is when Tick has something to do, good while Waiting.
func (r *Reader) Due() time.Duration {
	if r.both {
		return r.since + opening
	}
	return r.since + together
}

// Waiting reports that something is held back of which nobody knows yet whether it is
// music, and since when: until that is known, nothing is missing after it.
func (r *Reader) Waiting() (since time.Duration, waiting bool) {
	if len(r.held) == 0 {
		return 0, false
	}
	return r.held[0].At, true
}

// Music is what turned out to be music, in order. The slice is good until the next
// call of any method.
func (r *Reader) Music() []event.Event {
	music := r.music
	r.music = r.music[:0]
	return music
}

// Chosen is the command that was given since the last time, counted from 1; 0 for
// none.
func (r *Reader) Chosen() int {
	n := r.chosen
	r.chosen = 0
	return n
}

// Forget forgets what is held, as when the cable is pulled.
func (r *Reader) Forget() { *r = Reader{elapsed: r.elapsed, music: r.music} }
