package cause

import (
	"math/bits"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
)

// onset is what is struck together, and what was told of it.
type onset struct {
	at            time.Duration
	struck, right uint16 // bit n for pitch class n
	spoken        bool   // anything was told
}

// onsets are the open one and the one before it.
type onsets struct {
	open, before onset
	n            int // how many there were
}

// strike takes a key struck, and reports that it begins an onset.
func (o *onsets) strike(ev event.Event) (begins bool) {
	if o.n == 0 || ev.At > o.open.at+keyboard.Together {
		o.before, o.open = o.open, onset{at: ev.At}
		o.n++
		begins = true
	}
	o.open.struck |= 1 << (ev.Data1 % 12)
	return begins
}

// heed takes what was told: of the open onset, or still of the one before.
func (o *onsets) heed(f *finding.Finding) {
	of := &o.open
	if f.At < o.open.at {
		of = &o.before
	}
	of.spoken = of.spoken || f.Kind == finding.Right || mistaken(f.Kind)
	if f.Kind == finding.Right {
		for i := range f.Heard.Len() {
			of.right |= 1 << f.Heard.At(i).Class()
		}
	}
}

// strange reports that nothing was told of the onset before.
func (o *onsets) strange() bool { return o.n > 1 && !o.before.spoken }

// unexplained describes the notes that no right stroke explains, and the onsets of which
// nothing was told. Who strikes the same once more within a bar says little that is new.
type unexplained struct {
	onsets
	bar     time.Duration // how long one lasts
	since   time.Duration // when the bar began
	known   uint16        // what was unexplained in it
	strange bool          // an onset was strange in it
}

// next weighs the onset before the open one, which has just begun.
func (u *unexplained) next() (nats float64) {
	if u.n == 1 {
		return 0
	}
	if u.before.at > u.since+u.bar {
		u.since, u.known, u.strange = u.before.at, 0, false
	}
	nats = u.notes(&u.before)
	switch strange := u.onsets.strange(); {
	case strange && u.strange:
		nats += ofMore
	case strange:
		nats += ofStrange
		u.strange = true
	}
	return nats
}

// notes weighs the notes of an onset.
func (u *unexplained) notes(o *onset) float64 {
	news := o.struck &^ o.right &^ u.known
	u.known |= news
	return ofNote * float64(bits.OnesCount16(news))
}
