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
var weights = [aspects]float64{
	offPulse: 0.45, description: 0.54, slip: 2.07, brokenOff: 0.59,
	oddTempo: 1.0, oddBar: 0.38,
	inThree: 1.16, inSix: 2.04, inTwo: 2.2, inTwelve: 1.93, inFive: 1.45, shortPair: 1.0,
	weakLow: 0.98, weakLowest: 1.87, highDown: 0.15, weakStroke: 0.8, weakAccent: 0.7, syncope: 0.87,
	noDownbeat: 1.05, foreign: 0.8,
	silentBeat: 3.33, soundsOver: 3.04, closing: 1.0, brokenRow: 2.0,
	unseenThree: 2.27, unseenMiddle: 0.29, triplets: 1.41, sixteenths: 1.25, manyFine: 0.34, againFine: 2.0, swung: 2.31,
}

// How notes belong together: fingers that mean one onset (Rasch 1979: players of
// an ensemble are 30 to 50 ms apart). A rolled chord takes longer: where moments are
// far apart, what follows soon still belongs to it.
const (
	together  = 52 * time.Millisecond  // milliseconds: from the note before, of one onset
	gathered  = 95 * time.Millisecond  // milliseconds: from the first of them
	rollStep  = 110 * time.Millisecond // milliseconds: from the note before, of a roll
	rollShare = 0.28                   // share: of the usual distance between onsets, of a roll
	loneRoll  = 300 * time.Millisecond // milliseconds: the slowest roll of a single chord
	// Above what fingers do by chance; of two notes it must be more.
	leastRollStep = 28 * time.Millisecond // milliseconds: mean distance from which rising notes are a roll
	leastRollPair = 48 * time.Millisecond // milliseconds: the same of two notes
	// Releases may be missing.
	shortest = 20 * time.Millisecond  // milliseconds: a note lasts at least
	overlap  = 100 * time.Millisecond // milliseconds: a note must sound on to be held under the next
)

// The pulse: how it goes with the player, and how a grid is weighed against chance.
const (
	shortestCell = 0.06  // seconds: a sixteenth at 250
	longestCell  = 6.0   // seconds: a whole bar at 40
	mostPulses   = 24    // count: of pulses that are tried
	clusterWidth = 0.12  // share: how much intervals of one cluster differ
	sameTry      = 1.015 // factor: a cell so near to another is not tried
	samePulse    = 0.02  // share: pulses so near to each other say the same
	// Simulated free playing strays by 30 percent.
	phaseGain = 0.4  // share: of a deviation by which the pulse moves
	tempoGain = 0.12 // share: of it by which its tempo changes
	mostStray = 0.35 // share: of the tempo that it may stray
	near      = 12   // strokes: to either side, on which the smoothed time of a place hangs
	// See performer.Human for a steady hand.
	uneven    = 0.018 // seconds: sd of a steady hand
	mostOff   = 3.5   // factor: of that, from which an onset counts no further off
	crowded   = 4.0   // nats: two onsets on one cell
	swingCost = 2.5   // nats: a swung pulse must be better than an even one: one more thing to know
	noGrid    = -0.05 // nats: mean cost of an onset from which a grid explains no more than chance does
	rivalBy   = 1.2   // nats: another meter so much less likely is worth telling
	onGrid    = 0.01  // cells: how near the told first beat must be to a cell
)

// Tempo and bars as they usually are: most accompaniments are counted at 60 to 140.
const (
	usualTempo    = 92    // count: beats a minute
	usualCompound = 80    // count: beats a minute in compound meters
	usualSpread   = 0.33  // octaves: how far others lie from that
	toldSpread    = 0.035 // octaves: how far a tempo lies from the one told
	mostOdd       = 60.0  // nats: the most that a tempo costs
	usualBar      = 2.2   // seconds: a bar of 4/4 at 110
	barSpread     = 0.6   // octaves: how far others lie from that
	slowest       = 40    // count: beats a minute of the slowest tempo that is found untold, a slow largo
	fastest       = 220   // count: of the fastest, a presto
	heldOff       = 1.3   // factor: a lone stroke so far from a bar's length is 4/4
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
	perStroke  = 1.5 // nats: each stroke
	perBar     = 1.5 // nats: each further bar
	perHalf    = 1.0 // nats: a second half like the first
	perOther   = 1.5 // nats: a bar that is another altogether
	perChange  = 4.0 // nats: each cell in which a bar differs from one before
	perSlip    = 6.0 // nats: each stroke that is then a slip
	brokenPart = 4.0 // nats: played to the middle
	brokenOnce = 3.0 // nats: played once though it is long
)

// What makes it unlikely that one hand plays what it is given. Costs of single
// notes are means over all notes, times perNotes. A left hand lies below middle C
// and a right above it, a hand spans an octave, and a figure that fits one hand is
// played by the left alone.
const (
	leftTop     = 57   // semitones: the key over which a left hand climbs: A3
	perLeftUp   = 0.15 // nats: each semitone over it
	rightBottom = 64   // semitones: the key under which a right hand is low: E4
	perRightLow = 0.10 // nats: each semitone under it
	perNotes    = 8.0  // factor: of the two
	blockMiddle = 58.5 // semitones: chords around this key may be either hand's
	perBlock    = 1.2  // nats: each semitone of their middle beyond it
	easySpan    = 12   // semitones: what a hand plays over the whole of a chord
	perSpan     = 0.2  // nats: each semitone beyond it
	widest      = 14   // semitones: what a hand can hold at once, with a stretch
	tooWide     = 8.0  // nats: more than that, and two
	holdMoves   = 2.0  // nats: a hand that holds a note strikes no other
	twoHands    = 3.0  // nats: both hands play
	rightOnly   = 4.5  // nats: the right hand alone
	oneLine     = 4.0  // nats: a line that one hand spans, given to two
	noRoot      = 1.0  // nats: a right hand's figure that does not stand on the root
	crossed     = 4.0  // nats: a right hand under the left's chords
	apart       = 7    // semitones: the gap from which notes struck together may belong to two hands
)

// What speaks against a register, against a share of the strokes that it explains.
const (
	perRank    = 0.01 // share: each place in the list of usual registers
	unusual    = 0.3  // share: another
	perMark    = 0.02 // share: each octave mark
	rootMark   = 0.3  // share: each octave that the lowest root lies off
	perOff     = 0.05 // share: each semitone of a block's middle from where it would lie, between basses
	perAway    = 0.05 // share: the same where a hand plays nothing else
	throughRow = 1.0  // share: what blocks that lie as demonstrated speak for it
	// The mean of what chord.HandAt gives.
	centerMean = 26.0 / 3 // semitones: how far over a register a hand's chords lie
)

// Accents, in steps of MIDI velocity: the simulated players accent by 20 to 24 with
// a spread of 4 to 9. And lengths and freedoms.
const (
	louder      = 11.0 // velocity: accented strokes over the others of the same hand
	louderHand  = 15.0 // velocity: over the other hand, where all of one stand out
	mostAccents = 0.8  // share: of all strokes, no more are accents
	touchSpread = 6.0  // velocity: of strokes that are meant alike, between the simulated players' 4 and 9
	touchKnown  = 4.0  // strokes: that it is known as well as from so many
	accentsCost = 4.0  // nats: a pattern that has accents
	perAccent   = 1.0  // nats: each of them
	heldOver    = 0.68 // share: of the way to the next stroke, from which a note is held over it
	legato      = 0.88 // share: what a hand holds of a note that it means to hold
	// Where chord tones differ more than that, any will do.
	leastSure = 0.6 // share: of repetitions that must agree on a tone
)
