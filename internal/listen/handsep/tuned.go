package handsep

import (
	"time"

	"undersong/internal/music/meter"
)

// What the search for which hand struck which note weighs. One wrong note costs
// more than one missing, so that notes go where they are wanted; then the hand that
// is nearer gets them.
const (
	costForeign = 32 // points: a note that the hand's stroke does not ask for, or that was told of in the other hand
	costLacking = 24 // points: a required note that has not come
	costDoubled = 24 // points: a note of the chord that is there already
	costSilent  = 12 // points: a hand that strikes nothing at all where it should
	mostSilent  = 72 // points: the same with all that it lacks, at most: it may yet come
	costSpare   = 12 // points: a note that may be left out, left out
	costUnasked = 36 // points: a note of a hand that has nothing to play now
	costBeside  = 16 // points: a wrong note beside the lone note of the tune, which has come
	costMelody  = 4  // points: a note of a hand that plays the tune
	costCrowded = 24 // points a semitone: less than a third between a tune's note and the other hand's
	costInside  = 10 // points a semitone: a note of the tune inside the other hand's figure
	costOffBeat = 72 // points: a stroke as far from its time as a stroke may be
	costPerStep = 5  // points a semitone: beyond the hand's span, from where it is expected
	perFree     = 4  // semitones: cost one point within the hand's span, so that of equals the nearer hand is taken
)

// Sizes of hands and what lies between them.
const (
	handSpan = 9  // semitones: to either side that a hand reaches without moving
	openHand = 14 // semitones: that a hand spans with ease, a ninth
	aThird   = 3  // semitones: the least between a tune and the other hand's note beside it

	marginUnder   = 2 // semitones: how far under the right hand's figure the left still lies inside it
	marginUnheard = 5 // semitones: so much more where the left hand is not judged, and hardly heard: what is near is the right's
	marginOver    = 6 // semitones: how far over the left hand's figure the right still lies inside it

	fewestBroken = 3 // count: notes of a chord of which a single one may be the first of a chord that comes note by note

	tuneNear   = meter.Quarter / 2 // ticks: how far from its place a note of the tune is still known as one
	muchNearer = 3                 // factor: so much nearer to the tune's place than to the left hand's stroke is the tune's
)

// A chord that is rolled on purpose.
const rollLasts = 200 * time.Millisecond // milliseconds: how long its notes are waited for before it is judged; what comes later is judged as it comes (common practice, no source; it bounds how late is told what is wrong, and no table has that)
