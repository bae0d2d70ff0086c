package capture

import "time"

// The numbers that were found by trying, on simulated players (see the accuracy
// test): working values, common practice, no source, but where one is named.
// make sensitivity says what each is worth.

// weights: nats that each aspect of an interpretation costs, as the logarithm of the odds.
// They are fitted to the shipped patterns as simulated players play them
// (conditional logit, drawn towards what was reckoned beforehand); accuracy_test.go
// measures on other performances, and on patterns that had no part in it. That low
// notes, accents and most strokes lie on strong places is the well-formed meter of
// Lerdahl and Jackendoff 1983, A Generative Theory of Tonal Music, and Temperley
// 2001, The Cognition of Basic Musical Structures; syncopes are told as by
// Longuet-Higgins and Lee 1984, Music Perception 1(4).
//
// Some change nothing when moved by a fifth, and much when they are left out: shortPair,
// weakStroke, syncope, closing, unseenThree, unseenMiddle, manyFine.
var weights = [aspects]float64{
	// Moved up, a stroke too many is no slip (TestSlipsAreOutvoted).
	offPulse: 0.45, description: 0.54, slip: 2.07,
	oddTempo: 1.0, oddBar: 0.38,
	inThree: 1.16, inSix: 2.04, inTwo: 2.2, inTwelve: 1.93, inFive: 1.45, shortPair: 1.0,
	weakLow: 0.98, weakLowest: 1.87, weakStroke: 0.8, weakAccent: 0.7, syncope: 0.87,
	offEnd: 3.33, closing: 1.0,
	unseenThree: 2.27, unseenMiddle: 0.29, triplets: 1.41, sixteenths: 1.25, manyFine: 0.34, againFine: 2.0, swung: 2.31,
}

// How notes belong together: fingers that mean one onset (Rasch 1979: players of
// an ensemble are 30 to 50 ms apart). A rolled chord takes longer: where moments are
// far apart, what follows soon still belongs to it.
const (
	// At 62, the notes of a roll are struck together.
	together  = 52 * time.Millisecond  // milliseconds: from the note before, of one onset
	gathered  = 95 * time.Millisecond  // milliseconds: from the first of them
	rollStep  = 110 * time.Millisecond // milliseconds: from the note before, of a roll
	rollShare = 0.28                   // share: of the usual distance between onsets, of a roll
	loneRoll  = 3 * rollStep           // milliseconds: the slowest roll of a single chord, of four notes
	// Above what fingers do by chance; of two notes it must be more.
	leastRollPair = together     // milliseconds: from which a note and a higher one are a roll
	leastRollStep = together / 2 // milliseconds: the same on average of more notes
	overlap       = gathered     // milliseconds: a note must sound on to be held under the next
)

// The pulse: how it goes with the player, and how a grid is weighed against chance.
const (
	shortestCell = 60.0 / fastest / 4 // seconds: a sixteenth of the fastest tempo
	longestCell  = 4 * 60.0 / slowest // seconds: a bar of 4/4 in the slowest
	sameCell     = 0.02               // share: cells so near to each other say the same
	phaseGain    = 0.4                // share: of a deviation by which the pulse moves
	tempoGain    = 0.12               // share: of it by which its tempo changes
	// Moved either way, what is written changes (TestWhatIsWritten).
	near = 12 // strokes: to either side, on which the smoothed time of a place hangs
	// See performer.Human for a steady hand.
	uneven  = 0.018 // seconds: sd of a steady hand
	mostOff = 3.5   // factor: of that, from which an onset counts no further off
	// Moved up, a stroke too many is no slip (TestSlipsAreOutvoted).
	crowded   = 4.0 // nats: two onsets on one cell
	swingCost = 2.5 // nats: a swung pulse must be better than an even one: one more thing to know
	// Moved down, 6/8 is not named beside 3/4 where it should be; moved up, others are.
	rivalBy = 1.2 // nats: another meter so much less likely is worth telling
)

// Tempo and bars as they usually are: most accompaniments are counted at 60 to 140.
const (
	usualTempo    = 92               // count: beats a minute
	usualCompound = 80               // count: beats a minute in compound meters
	usualSpread   = 0.33             // octaves: how far others lie from that
	toldSpread    = usualSpread / 10 // octaves: the same of the tempo that was told
	usualBar      = 2.2              // seconds: a bar of 4/4 at 110
	barSpread     = 0.6              // octaves: how far others lie from that
	// A bar held once is as slow as a largo or as fast as a presto (TestABarHeldOnce).
	slowest = 40  // count: beats a minute of the slowest tempo that is found untold, a slow largo
	fastest = 220 // count: of the fastest, a presto
)

// Strong and weak places of the bar.
const (
	weakHalf  = 0.25 // share: weakness of the middle of the bar, the downbeat's being 0, off the beat 1
	weakBeat  = 0.4  // share: weakness of another beat
	levelDown = 3.0  // count: level of the downbeat; of parts of a beat it is 1, of less 0
	levelHalf = 2.5  // count: of the middle of four beats
	levelBeat = 2.0  // count: of another beat
	lowApart  = 7    // semitones: between the lowest notes of groups, from which some are low
	loudBy    = 10   // velocity: above the middle of all strokes, an accent
)

// What a pattern's description costs when its length is chosen.
const (
	perStroke = 1.5       // nats: each stroke
	perBar    = 1.5       // nats: each further bar
	perHalf   = 1.0       // nats: a second half like the first
	perOther  = 1.5       // nats: a bar that is another altogether
	perChange = 4.0       // nats: each cell in which a bar differs from one before
	perSlip   = 6.0       // nats: each stroke that is then a slip
	perBroken = perChange // nats: played to the middle, or once though it is long
)

// What makes it unlikely that one hand plays what it is given. A left hand lies below middle C
// and a right above it, a hand spans an octave, and a figure that fits one hand is
// played by the left alone.
const (
	unhandy     = 4.0          // nats: what a hand does at need; other troubles are counted by it
	leftTop     = 57           // semitones: the key over which a left hand climbs: A3
	rightBottom = 64           // semitones: the key under which a right hand is low: E4
	blockMiddle = 58.5         // semitones: chords around this key may be either hand's
	perOffSide  = 1.2          // nats: each semitone that notes lie beyond these keys, on average, and each that chords do
	easySpan    = 12           // semitones: what a hand plays over the whole of a chord
	perSpan     = unhandy / 20 // nats: each semitone beyond it
	widest      = 14           // semitones: what a hand can hold at once, with a stretch
	tooWide     = 2 * unhandy  // nats: more than that, and two
	holdMoves   = unhandy / 2  // nats: a hand that holds a note strikes no other
	twoHands    = 3.0          // nats: both hands play
	rightOnly   = 4.5          // nats: the right hand alone
	oneLine     = unhandy      // nats: a line that one hand spans, given to two
	noRoot      = unhandy / 4  // nats: a right hand's figure that does not stand on the root
	crossed     = unhandy      // nats: a right hand under the left's chords
	apart       = 7            // semitones: the gap from which notes struck together may belong to two hands
)

// What speaks against a register, against a share of the strokes that it explains.
const (
	perRank  = 0.01        // share: each place in the list of usual registers
	unusual  = 0.3         // share: another
	perMark  = 2 * perRank // share: each octave mark
	rootMark = unusual     // share: each octave that the lowest root lies off
	perOff   = 5 * perRank // share: each semitone of a block's middle from where it would lie
)

// Accents, in steps of MIDI velocity: the simulated players accent by 20 to 24 with
// a spread of 4 to 9. And lengths and freedoms.
const (
	louder      = 11.0 // velocity: accented strokes over the others of the same hand
	louderHand  = 15.0 // velocity: over the other hand, where all of one stand out
	mostAccents = 0.8  // share: of all strokes, no more are accents
	touchSpread = 6.0  // velocity: of strokes that are meant alike, between the simulated players' 4 and 9
	// At 1, a pattern in a hundred loses its accents.
	touchKnown  = 4.0             // strokes: that it is known as well as from so many
	accentsCost = 4.0             // nats: a pattern that has accents
	perAccent   = accentsCost / 4 // nats: each of them
	heldOver    = 0.68            // share: of the way to the next stroke, from which a note is held over it
	legato      = 0.88            // share: what a hand holds of a note that it means to hold
)
