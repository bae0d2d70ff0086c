package handsep

import (
	"iter"
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// Strike is one note as it was struck.
type Strike struct {
	Key      pitch.Num
	Velocity uint8
	At       time.Duration
	Hand     pattern.Hand // where it is thought to belong
	Taken    bool         // it is part of a stroke that was told
}

// Open is what is open in one hand when an onset comes.
type Open struct {
	Stroke int           // counted as a Hand counts; -1 for none
	Until  time.Duration // from the onset to the stroke's time, negative after it; 0 where the time is the player's own
	Window
}

// Nothing is a hand in which no stroke is open.
var Nothing = Open{Stroke: -1}

// Window is how far from its time notes are taken for a stroke. Where the time is
// the player's own it is the zero value: the time is right then.
type Window struct {
	Reach  time.Duration // the farthest at which it may still be meant
	Before time.Duration // how long before, and
	After  time.Duration // how long after, wrong notes are a try at it
	Due    time.Duration // how long before it may be expected; no further off, before or after, is it about in time
}

// tooEarly reports an onset that comes too early for its stroke to be judged at
// once.
func (o *Open) tooEarly() bool { return o.Until > o.Before }

// tooLate reports an onset that comes too late to be a try at its stroke.
func (o *Open) tooLate() bool { return -o.Until > o.After }

// due reports that the stroke may be expected by now.
func (o *Open) due() bool { return o.Until <= o.Due }

// inTime reports an onset at about the stroke's time.
func (o *Open) inTime() bool { return max(o.Until, -o.Until) <= o.Due }

// away is how far the onset is from the stroke's time, in hundredths of the reach;
// what comes later still, of a chord that comes note by note, counts no more.
func (o *Open) away() int {
	if o.Reach == 0 {
		return 0
	}
	return int(100 * min(o.Reach, max(o.Until, -o.Until)) / o.Reach)
}

// mayRoll reports an onset that comes late enough to begin a roll, which begins on
// its beat; an earlier one is the end of what goes before.
func (o *Open) mayRoll() bool { return o.Until <= 2*keyboard.Together }

// Onset is the notes struck together, lowest first.
type Onset struct {
	Start time.Duration
	Open  [2]Open // by hand

	// Place is where the music is then; it counts only where the chart has a tune.
	Place meter.Ticks
	// Alone says that the keys of a hand that is not judged were left out of account.
	Alone bool

	notes [pitch.MostNums]Strike
	n     int
	roll  time.Duration // how long a roll in it may take; 0 where none is wanted
	stood [2]snapshot   // how each hand stood before the onset took a part of it
}

// Active reports that notes were struck, and are not all dealt with.
func (o *Onset) Active() bool { return o.n > 0 }

// Notes are its notes, lowest first.
func (o *Onset) Notes() []Strike { return o.notes[:o.n] }

// Ends is when no more notes can be part of it.
func (o *Onset) Ends() time.Duration { return o.Start + max(keyboard.Together, o.roll) }

// End empties it.
func (o *Onset) End() { o.n = 0 }

// Add puts a note in its place. It reports false where the onset is full.
func (o *Onset) Add(s Strike) bool {
	if o.n == 0 {
		o.stood[0].valid, o.stood[1].valid = false, false
	}
	if o.n == len(o.notes) {
		return false
	}
	i := o.n
	for ; i > 0 && o.notes[i-1].Key > s.Key; i-- {
		o.notes[i] = o.notes[i-1]
	}
	o.notes[i] = s
	o.n++
	return true
}

// Told reports that some note of it is part of a stroke that was told.
func (o *Onset) Told() bool {
	for i := range o.notes[:o.n] {
		if o.notes[i].Taken {
			return true
		}
	}
	return false
}

// allTold reports that every note of it is.
func (o *Onset) allTold() bool {
	for i := range o.notes[:o.n] {
		if !o.notes[i].Taken {
			return false
		}
	}
	return true
}

// Has reports notes of a hand in it.
func (o *Onset) Has(h pattern.Hand) bool {
	for i := range o.notes[:o.n] {
		if o.notes[i].Hand == h {
			return true
		}
	}
	return false
}

// fresh goes through a hand's notes that are no part yet of a stroke that was told,
// low to high.
func (o *Onset) fresh(h pattern.Hand) iter.Seq[*Strike] {
	return func(yield func(*Strike) bool) {
		for i := range o.notes[:o.n] {
			if n := &o.notes[i]; n.Hand == h && !n.Taken && !yield(n) {
				return
			}
		}
	}
}

func (o *Onset) hasFresh(h pattern.Hand) bool {
	for range o.fresh(h) {
		return true
	}
	return false
}

// Take takes a hand's fresh notes out of it.
func (o *Onset) Take(h pattern.Hand) pitch.Nums {
	var keys pitch.Nums
	for n := range o.fresh(h) {
		n.Taken = true
		keys.Insert(n.Key)
	}
	return keys
}
