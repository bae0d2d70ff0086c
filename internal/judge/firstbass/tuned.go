package firstbass

import "time"

// How far-fetched a hearing of one key is, in points that were chosen by hand (see
// the tests of the tracker). The case beside each comes out otherwise without it.
const (
	clearlyBelow = 2         // points: C3 under a tune at G4 is a bass, also where the tune has a C next
	amidTune     = 8         // points: as low as the tune goes elsewhere it may be a note of the tune
	justBelow    = 12        // points: E4 under G4 may be an inner note
	closeBelow   = 20        // points: F4 under G4 is a slip, unless the tune goes on to G4
	notBelow     = 30        // points: F4 or A4 where G4 was is a slip
	notBegun     = 15        // points: a key before the tune's first note
	again        = 13        // points: G4 struck once more; of E E B the B is a slip after the second E, rather than a bass after the first struck twice
	slipped      = 28        // points: F4 in place of G4
	leftOut      = 14        // points: each note of the tune that is passed over
	late         = 6         // points: the tune's next note somewhat after its time
	early        = 2 * late  // points: somewhat before it, as players wait sooner than they hurry: of A A B the second A is left out, rather
	tooSoon      = 2 * early // points: long before it: more likely an inner note
	veryLate     = 16        // points: long after its time: of A A A one was left out, or the player waits
	goesBack     = 70        // points: begins again somewhere
	afterPause   = 30        // points: less where the player had stopped
	atBarStart   = 10        // points: less where that is the beginning of a bar
	elsewhere    = 20        // points: more in another octave
	octaveAway   = 4         // points an octave: the tune begun elsewhere than the chart has it
)

// The times of the tune's notes, beside what the tempo so far makes of them.
const (
	tooSoonOf    = 1.0 / 3 // share: of its time, before which a note comes too soon
	earlyOf      = 0.6     // share: before which it is early
	lateOf       = 1.5     // share: after which it is late
	veryLateOf   = 1.8     // share: after which it is very late
	stoppedAfter = 2       // factor: of the time of the last note, after which the player has stopped
	keepTempo    = 0.7     // share: of the tempo so far in that which is heard with each note
	mostTurn     = 2       // factor: by which a note may speak for another tempo; pauses and slips move it a little only
	enoughKnown  = 4       // count: measures of the tempo before it is relied on
	mostBend     = 6       // factor: slower or faster than the chart that a player may be
)

// Slips and doubts.
const (
	aFifthBelow = 5                        // semitones: a bass stands apart from the tune
	slipSize    = 4                        // semitones: slips are small
	slipNear    = 2                        // semitones: and mostly to the next key
	mostLeftOut = (goesBack - 1) / leftOut // count: notes of the tune that are passed over at once; more cost as much as to begin again
	mostDoubt   = 12                       // count: slips and jumps lately that are kept in mind; half of it is too many
	recent      = 12                       // count: keys of which one is the tune's: a held note and chords on every beat of two bars leave room for less
	heardAgain  = 1                        // count: notes back that the tune is heard to go without a new turn, in its bar or into the one before
)

// How long is waited.
const (
	settling   = 80 * time.Millisecond  // milliseconds: a key is waited with, for the tune may come just after it: hands are rarely further apart than this
	longEnough = 2 * time.Second        // seconds: the tune is waited for before a bass counts for the bar in which it came
	grace      = 250 * time.Millisecond // milliseconds: a bass may come after the tune and still be its own, or be let go before a bar line and still be held (common practice, no source: half a beat at 120 a minute)
)

// What is told.
const (
	smallPart = 4  // factor: what part of a stretch may be foreign to the chord and no ornament, on its weak beats: a fourth (common practice, no source; G D G2 over C fits)
	homeBass  = 48 // semitones: from the lowest key of MIDI, where a bass is looked for before one was heard: C3 (common practice, no source)
)
