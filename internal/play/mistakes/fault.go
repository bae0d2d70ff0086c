// Package mistakes plants mistakes on purpose in what a simulated pianist plays,
// and tells the truth about them: what an ear can be measured against.
package mistakes

import (
	"time"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// Kind is a kind of mistake.
type Kind string

// Mistakes in notes. An onset is all that both hands strike at one place.
const (
	// WrongChord: a major or minor triad of the key that shares at most one note
	// with the wanted chord. Planted on a chord, that stroke and what the other
	// hand strikes with it; planted on the first note of a broken chord, all that
	// is struck of that harmony in the bar. Every note moves to its counterpart
	// (root to root, third to third), so that inversion and spacing are kept; a
	// chord without its own root, third or fifth moves to the nearest close position.
	WrongChord Kind = "wrong-chord"
	// WrongInversion: the right notes with another one lowest. Only where an
	// inversion is demanded: a named one, or the nearest where the other is at
	// least leastDetour semitones of finger travel farther.
	WrongInversion Kind = "wrong-inversion"
	// WrongBass: a note of the key, foreign to the chord, in place of a lone bass
	// note of the left hand. Not for approach notes.
	WrongBass Kind = "wrong-bass"
	// WrongNote: one note of a block, or a note of a figure, off by one or two
	// semitones; foreign to the chord, and what sounds then is no other chord.
	WrongNote Kind = "wrong-note"
	// Missing: a stroke left out.
	Missing Kind = "missing"
	// MissingNote: a note of a block that may not be left out, left out.
	MissingNote Kind = "missing-note"
	// Extra: the stroke struck once more halfway to the next onset, where that
	// is at least twice leastExtraGap away. Its Want is -1.
	Extra Kind = "extra"
	// ExtraNote: a foreign note one or two semitones beside a note of a block,
	// struck with it; what sounds then is no other chord.
	ExtraNote Kind = "extra-note"
)

// Mistakes in time, length and loudness.
const (
	// Early and Late: an onset, both hands together, off by leastShift to
	// mostShift beyond the farthest that the player wanders around the click, and
	// at most shiftShare of the gap to the next onset on that side. The shift
	// takes the place of jitter and comes on top of wander and bias.
	Early Kind = "early"
	Late  Kind = "late"
	// Short: released at shortShare of the written length. Only where the length
	// is not free and at least a beat, and nobody pedals.
	Short Kind = "short"
	// Blurred: planted on the first stroke of a new harmony. The pedal goes down
	// after the last onset of the old one, where that holds a note foreign to the
	// new, and stays down for blurShare of a bar from the change.
	Blurred Kind = "blurred"
	// Balance: for the whole bar, accented notes much softer than the others; in
	// a pattern without accents, the right hand's chords much louder than the bass.
	Balance Kind = "balance"
)

// Mistakes in the order of things. They change the time line: what comes after
// comes later or sooner. Places played once more are played without mistakes.
const (
	// Pause: silence before an onset, for Item.Beats or 1.5 to 3.5 beats. What is
	// held is held on.
	Pause Kind = "pause"
	// Restart: breaks off before an onset, waits Item.Beats or 0.5 to 2 beats, and
	// begins again at the start of the bar, or Item.Bars bars earlier.
	Restart Kind = "restart"
	// Stumble: an onset is struck, and after Item.Beats or 0.5 to 1 beats struck
	// again; the music goes on from there.
	Stumble Kind = "stumble"
	// RepeatBar: the bar is played twice, in time. Planted, like the next two, on
	// the first stroke of a bar.
	RepeatBar Kind = "repeat-bar"
	// SkipBar: the bar is left out and the next played in its place. Not the last.
	SkipBar Kind = "skip-bar"
	// Jump: after the bar, in time, on to another than the next: Item.Bars bars
	// farther on, or back if negative; sown ones go up to mostJump bars.
	Jump Kind = "jump"
)

// NoteKinds lists the mistakes in notes.
func NoteKinds() []Kind {
	return []Kind{WrongChord, WrongInversion, WrongBass, WrongNote, Missing, MissingNote, Extra, ExtraNote}
}

// TimeKinds lists the mistakes in time, length and loudness.
func TimeKinds() []Kind { return []Kind{Early, Late, Short, Blurred, Balance} }

// FollowKinds lists the mistakes in the order of things.
func FollowKinds() []Kind { return []Kind{Pause, Restart, Stumble, RepeatBar, SkipBar, Jump} }

// Fault is a mistake as made.
type Fault struct {
	Kind   Kind
	Want   int           // index into Score.Wants of the first stroke concerned; -1 for Extra
	Also   []int         // the other wants concerned
	Bar    int           // as printed
	Beat   float64       // from 1
	Hand   string        // "left", "right" or "both"
	At     time.Duration // of FollowKinds: when playing goes on after it
	Shift  time.Duration // Early, Late: off the beat by this, early negative; Pause, Restart, Stumble: the wait
	From   meter.Ticks   // FollowKinds: the place where the order is left
	To     meter.Ticks   // FollowKinds: the place where playing goes on
	Keys   []pitch.Num   // what was struck instead, added or left out
	Detail string        // in words: "Dm for G7"
}
