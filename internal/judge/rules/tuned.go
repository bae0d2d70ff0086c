package rules

import (
	"time"

	"undersong/internal/music/meter"
)

// How far a stroke may be from its beat. Players' onsets in ensemble differ with a
// standard deviation of 30 to 50 ms without being heard as uneven (Rasch 1979,
// Acustica 43, quoted second-hand), and nearly everyone hears the order of two
// onsets beyond 60 ms. Shifts of one tone in an even sequence are heard from 2.5 %
// of its interval on (Friberg and Sundberg 1995, JASA 98(5)).
const (
	gentleTiming   = 120 * time.Millisecond // milliseconds: only what no one would call in time is told
	steadyTiming   = 85 * time.Millisecond  // milliseconds: somewhat less than two of the larger deviations, so that a right stroke is told as wrong less than once in 200 bars of human playing
	strictTiming   = 40 * time.Millisecond  // milliseconds: less than one such deviation
	gentleOfBeat   = 0.13                   // share of a beat: where that is longer
	steadyOfBeat   = 0.10                   // share of a beat: four times what is heard
	strictOfBeat   = 0.05                   // share of a beat: twice
	gentleCrowding = 0.48                   // share of the gap to the neighbouring stroke: at most, which is nearly half the way
	steadyCrowding = 0.47                   // share of the gap: a little less
	strictCrowding = 0.35                   // share of the gap: and clearly less
)

// How much of its written length a long note must sound (common practice, no
// source).
const (
	gentleHeld = 0.35 // share: only what is plainly cut off is told
	steadyHeld = 0.50 // share: half of it
	strictHeld = 0.70 // share: as a teacher of legato asks
)

// How loud strokes may be against each other, for a usual touch (common practice,
// no source).
const (
	gentleLouder = 30 // velocity: by which the chords may stand out over the bass
	steadyLouder = 24 // velocity: the same
	strictLouder = 15 // velocity: the same
	gentleAccent = -6 // velocity: by which accented strokes must be louder than the others; here they may be softer
	steadyAccent = 1  // velocity: they must be louder at all
	strictAccent = 4  // velocity: and so that it is heard
	gentleSung   = 24 // velocity: by which what lies under the tune may stand out over it
	steadySung   = 16 // velocity: the same
	strictSung   = 6  // velocity: the same
)

// Basses.
const farBass = 24 // semitones: from where the hand lies, from which a bass is no bass any more

// Inversions.
const nearEnough = 1 // semitones: of finger travel by which another voicing may miss the nearest one; as near as makes no difference to the hand

// Chords.
const fewestWrongs = 2 // count: wrong notes of a broken chord from which the player has another chord in mind; one is a slip

// Lengths.
const repetition = 80 * time.Millisecond // milliseconds: how soon after its release a key may be struck again for both to be one stroke

// The pedal's grace after a change of harmony: half a beat, but at least as long as
// a foot needs and at most as long as an ear forgives (common practice, no source).
const (
	leastGrace = 250 * time.Millisecond // milliseconds: what a foot needs
	mostGrace  = 600 * time.Millisecond // milliseconds: what an ear forgives
	Lingers    = 100 * time.Millisecond // milliseconds: how long before a change a note may be struck and still be meant for the new harmony
)

// The player's touch, by which differences of velocity are weighed.
const (
	knownTouch  = 24       // strokes: before a touch is known
	usualTouch  = 6.0      // velocity: the standard deviation that the levels are made for
	narrowTouch = 0.5      // factor: the least by which a touch stretches the levels' steps
	wideTouch   = 1.5      // factor: the most
	recentTouch = 1.0 / 64 // share: of each stroke in the running mean
)

// The player's habit against the click.
const (
	settledIn  = 12                    // strokes: before a habit is known
	mostHabit  = 50 * time.Millisecond // milliseconds: more is no delay of the instrument
	slips      = 3                     // factor: of mostHabit, beyond which one slip counts as no more
	forgetting = 1.0 / 24              // share: of each stroke in the mean
)

// Strokes that nothing asked for are placed on the nearest such part of the bar.
const finest = meter.Sixteenth // ticks: common practice, no source
