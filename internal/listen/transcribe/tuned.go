package transcribe

import (
	"time"

	"undersong/internal/listen/chordid"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// The numbers that were found by trying, on simulated players (see the accuracy
// test): working values, common practice, no source, but where one is named.
// make sensitivity says what each is worth.

// Chords as they sound. A span is weighed as a chord as if each moment of sound
// in it were drawn from the chord's own tones, with a little left for passing
// notes. Costs are natural logarithms of likelihoods.
const (
	// At 10, approach notes and early chords become chords of their own; at 2, a
	// suspension of half a bar is run together with its resolution.
	evidence = 5.0 // nats: what a full beat of sound says, for a likelihood of 1/e
	// At 0, open fifths on the second and sixth degree come out major.
	keyCost     = 0.6 // nats: each tone outside the key, once a span
	leadingCost = 0.3 // nats: the same of chords which lead from outside the key by nature
	keyLeast    = 0.4 // share: of that, where the key is a guess,
	keySure     = 4.0 // factor: and how it grows with the key finder's lead
	// At 0.03 a seventh touched once in a bar is written down.
	lacksEssential = 6.0  // nats: a span without the tone that makes the chord, the seventh of C7 or the fourth of Csus4
	essentialShare = 0.15 // share: of the sound, from which that tone costs nothing
	// With 0.06 in the key, sevenths pass for passingShare notes; with 0.003 out of it,
	// a chromatic approach note is a chord.
	passingShare         = 0.020            // share: of the sound, of each tone outside the chord, in the key
	passingOutOfKeyShare = 0.012            // share: the same out of the key
	rootLeast            = 2 * passingShare // share: of the sound that a root needs to be thought of, for speed; a bass is at any
)

// profiles: share of the sound that each tone takes, by semitones above the root, and
// nats that a span costs. What is left, 7 to 9 parts in a hundred, goes to other
// tones. The root and third speak loudest, fifths and sevenths are often one voice.
// Only rough: a seventh of .25 instead of .18 hears C7 in each C with a B flat in
// passing. They are the chords that pop annotations use. The prior says how seldom
// a type is written: major and minor nearly always, sevenths where the seventh
// stays, the others where nothing else fits. With sus4 at 0 each C with a fourth in
// passing becomes a suspension; with the sevenths at 3 a seventh of half a bar is
// lost.
var profiles = []profile{
	{chord.Major, map[int]float64{0: .36, 4: .30, 7: .26}, 0, noTones, keyCost},
	{chord.Minor, map[int]float64{0: .36, 3: .30, 7: .26}, 0, noTones, keyCost},
	{chord.Dominant, map[int]float64{0: .30, 4: .25, 7: .20, 10: .18}, 1.2, noTones.With(10), keyCost},
	{chord.MinorSeventh, map[int]float64{0: .29, 3: .25, 7: .21, 10: .18}, 1.2, noTones.With(10), keyCost},
	{chord.MajorSeventh, map[int]float64{0: .29, 4: .25, 7: .21, 11: .18}, 1.4, noTones.With(11), keyCost},
	{chord.Sus4, map[int]float64{0: .34, 5: .30, 7: .28}, 1.8, noTones.With(5), keyCost},
	{chord.Sus2, map[int]float64{0: .34, 2: .29, 7: .29}, 2.4, noTones.With(2), keyCost},
	{chord.DominantSus4, map[int]float64{0: .30, 5: .24, 7: .20, 10: .19}, 2.4, noTones.With(5).With(10), keyCost},
	{chord.Diminished, map[int]float64{0: .31, 3: .31, 6: .30}, 2.2, noTones.With(3).With(6), leadingCost},
	{chord.HalfDiminished, map[int]float64{0: .26, 3: .25, 6: .23, 10: .19}, 2.4, noTones.With(3).With(6).With(10), keyCost},
	{chord.DiminishedSeventh, map[int]float64{0: .25, 3: .23, 6: .23, 9: .22}, 2.6, noTones.With(3).With(6).With(9), leadingCost},
	{chord.Augmented, map[int]float64{0: .32, 4: .31, 8: .29}, 3.0, noTones.With(4).With(8), keyCost},
	{chord.Sixth, map[int]float64{0: .28, 4: .25, 7: .20, 9: .20}, 3.2, noTones.With(9), keyCost},
	{chord.MinorSixth, map[int]float64{0: .28, 3: .25, 7: .20, 9: .20}, 3.2, noTones.With(9), keyCost},
}

// How the bass moves within one chord: mostly on its own note, else to the root or
// the fifth, seldom elsewhere.
const (
	bassStays = 0.66 // share: of its time on its own note; at 0.95, every alternating bass is two chords
	bassRoot  = 0.16 // share: on the root, under an inversion; at 0.4, a walking bass begins C/E
	bassFifth = 0.22 // share: on the fifth; at 0.05, root and fifth are C and C/G; at 0.4, C/G in a bass line down is C
	bassTone  = 0.06 // share: on other tones of the chord; at 0.2, C/E on one beat in four is missed
	bassWalks = 0.02 // share: on foreign tones; at 0.003, one wrong bass note turns the chord over
	// At 0.4, C/G in a bass line down is C; at 2.5, a walking bass makes C/E of C.
	bassWeight = 1.0 // nats: what a beat of bass says, for a likelihood of 1/e

	// What a bass other than the root costs.
	overThird   = 1.2 // nats: a span; at 0.2, Em7 without its root is G/B
	overFifth   = 1.7 // nats: at 0.4, root and fifth are C and C/G; at 4, C/G is lost
	overSeventh = 1.8 // nats: a span
	overBelow   = 3.2 // nats: a step that the chord has not: Am/G, F/G; at 1, passing notes make C/D
	overOther   = 5.0 // nats: a span

	// A foreign bass explains itself: it is heard apart from the chord above. At
	// 0.05, Am/G is Am7/G; at 0.35, a careless pedal makes slash chords.
	slashShare = 0.2              // share: of the sound that it takes at most
	slashMost  = slashShare * 3.2 // nats: a bound on what that is worth, for a quick way out

	// At 4, the root above its fifth is no bass, and C is C/G.
	bassReach pitch.Num = 9 // semitones: above the lowest note of a span: a root and its fifth, or a walking bass, but no chord of the other hand

	bassFirst = 2.5 // factor: the first bass note of a span; at 1, a walking bass that passes the third twice is C/E
	bassHeld  = 0.3 // factor: a bass held on, against one struck; at 1, the fifth that a pedal holds under the next root is the bass
	// Left hands stay below the A below middle C; an alto voice rarely does.
	bassTop pitch.Num = 57 // semitones: the highest key that may carry a bass
)

// Where chords change: at bar lines, often in the middle of a bar, sometimes on a
// beat, and offbeat next to never: what is struck there is early.
const (
	changeBar  = 0.9 // nats: at 3, no cheaper than a beat, early chords are written early
	changeHalf = 2.0 // nats: at 0.5, an arpeggio of Dm7 falls into Dm7 and F
	changeBeat = 4.0 // nats: at 1.5, a walking bass makes chords of its approach notes
	changeOff  = 7.0 // nats: at 3, a chord an eighth early is written an eighth early
	// For the first search, which finds the bars: near each other, since the file's
	// beats may lie half a beat out.
	changeBeatAny = 2.6 // nats: on a beat
	changeOffAny  = 3.6 // nats: off it
	// At 8, chords that all come an eighth early take the beat along with them.
	changeSilent = 3.0 // nats: on top where nothing is struck
	// A long chord is found in pieces. At 1.5, a passing note is rather taken for a
	// change.
	goesOn = 0.3 // nats: the same chord again
	// At 4, a root and its fifth in the bass fall apart; at 32 a seventh that comes
	// in the second half of a long chord is lost in it.
	longestSpan = 8 // cells: a bar of eighths: what a chord is weighed over at once
	// Shorter gaps belong to the chord before, as in short, detached strokes.
	restBeats = ninthBeats // beats: how long nothing must sound for a rest to be no chord
)

// Bars, found by where chords change.
const (
	// What a bass note counts by its place: the note on one is the bass of the bar,
	// offbeats walk and rock.
	accentBar  = 1.6 // factor: at 1, more alternating basses turn their chord over
	accentHalf = 1.1 // factor: in the middle of the bar
	accentBeat = 0.9 // factor: on another beat
	accentOff  = 0.4 // factor: at 1, the bass of an early chord is written early

	// How much a change speaks for a count of bars by which it falls on the line.
	barOnHalf = 0.5  // factor: in the middle of the bar
	barOnBeat = 0.1  // factor: on another beat
	barOff    = -0.4 // factor: off the beat

	// Charts of recordings are often a beat or two out in their bars, seldom in their
	// beats. With 2 and 1, playing that lies half a beat off the file's grid is cut
	// half a beat late.
	barLine  = 0.3 // changes: what a bar line of the file counts for
	beatLine = 0.1 // changes: what a beat of the file counts for
	// Two bars of one chord have a bar line between them all the same. At 1, an
	// alternating bass halves the bars.
	lowNote  = 0.25 // changes: what a bass note that lies below its neighbours counts for
	lowReach = 3    // cells: to either side, its neighbours
	// Found beats slip, and tunes have a bar of two now and then. At 1, each early
	// chord moves the bar.
	barSlip  = 5.0  // changes: what a bar of another length costs
	barThree = 1.15 // factor: how much better bars of three must explain the changes: most tunes have four
)

// Notes laid out over cells.
const (
	// Hands are a few hundredths of a second early, rolled chords more. At 0.02, the
	// bass of half the chords falls to the chord before; the part keeps sixteenths.
	snapEarly     = 0.09 // seconds: before a cell a note may start and still belong to it
	snapEarlyPart = 0.4  // share: the same, of the cell before
	// Fingers and pedals overlap. At 0.03, the pedal smears each chord into the next.
	snapLate     = 0.15 // seconds: after a cell's start a note may end and not count in it
	snapLatePart = 0.5  // share: the same, of the cell
	// In the middle of the piano (a rough figure). At 8, a pedal through two chords
	// makes one of them; at 0.4, a held chord dies away, and an approach note in the
	// bass is a chord.
	fade      = 1.6 // seconds: a struck string takes to fall to a third
	pedalOnly = 0.5 // factor: a note that only the pedal holds; at 1, notes under a careless pedal count in full
	strike    = 0.3 // cells: a stroke counts besides its duration: short chords speak as clearly as long ones
	// A tied note belongs, the tail of the last chord under a pedal does not. At 0,
	// late pedals smear two chords into a third; at 1, a chord held on is silence.
	heldOver = 0.5 // share: left out of a note that was struck before the span began
	// At 0, an early chord is written where it is struck.
	ahead       = 0.7  // share: left out of a note struck in the last cell that sounds on: it anticipates the next chord
	usualStroke = 75.0 // velocity: a stroke that counts 1
	// Above E5 there is melody. At 1, the sixths and sevenths that a tune touches are
	// written down as C6 and Cmaj7.
	melodyFrom pitch.Num = 76  // semitones: the key above which notes count less
	highNotes  float64   = 0.5 // factor: of those
	// A note under a finger through the whole cell has a presence of 0.7.
	presence = 1.2 // factor: of its mass, from which a note's presence grows towards 1
	// One note and a bit. At 0.4, the thin top of an arpeggio counts in full, and Dm7
	// falls into Dm and F.
	fullCell = 1.2 // count: the presence of all classes together from which a cell says all that it can
)

// The key.
const (
	// Two phrases. At 4, an open fifth on D among four bars of C is D major; at 60, a
	// last chorus a tone higher is spelled in the old key.
	keyReach = 16.0 // seconds: either way of a cell from which the key is heard
	// Under it, the relative key of every other phrase would respell the chords.
	keyHold = 12.0 // seconds: a key must stay the best to be taken
)

// Blocks: whole chords struck at once and held until the next stroke.
const (
	blockBeats = 1.0 // beats: a block lasts at least; shorter chords pass
	// A detached quarter is a block, a touched grace note is no colour.
	blockHeld = 0.7 // share: of that each note must be held, and of the longest note
	// At 80, G13 of root, third, seventh and thirteenth is Em/G.
	blockCost chordid.Cost = 94 // points: how far-fetched a coloured chord may be

	blockReach = ninthBeats // beats: about a block every stroke on its chord must be a block too: chords between notes of the bass are no positions
	// A bar of four. At 1, the ninths that hands add to half of the chords in passing
	// are written down.
	ninthBeats = 4 // beats: a block lasts at least for a ninth added to a triad to be told
)

// Beats of a file, kept where the playing keeps to them.
const (
	// The mean of the cosine of a stroke's place in the grid, 1 dead on, 0 at random.
	// Playing to a click with 30 ms of jitter in eighths at 120 a minute still has
	// 0.75; a tempo map that has nothing to do with the playing stays under 0.2 from
	// about forty strokes on. Moved up, human playing to a click loses its beats.
	fitLeast = 0.4  // share: how well strokes must keep to a grid for it to be taken
	fitFiner = 0.05 // share: how much better they must fit thirds and quarters, which fit more by chance
	// A laid-back player is left where the file's bars are.
	keepShift = 0.08 // beats: all the playing may lag or lead before the file's beats are moved
	// Syncopated styles put much on the offbeat and must not tip it.
	shiftLead = 1.5       // factor: how much more the strokes must weigh near other beats for a move by a half or a quarter
	onBeat    = keepShift // beats: a stroke so near to a beat is on it
)

// Strokes and what they weigh where beats are looked for.
const (
	// Chords of pianists spread about 30 ms and less (Goebl 2001); more than 50
	// would swallow the sixteenths of a fast piece.
	strokeSpan  = 0.045 // seconds: how far apart the notes of one stroke may start
	strokeLeast = 0.5   // points: of the softest note
	strokeBass  = 1.6   // factor: of a bass note, as on the beats of accompaniments
	strokeMost  = 6.0   // points: of all notes together
	// A low string left to ring is inaudible by then, and a note-off that never came
	// does no more harm.
	longest = time.Duration(12 * fade * 1e9) // seconds: that a note counts
)

// Beats found in the playing.
const (
	frame      = 0.01 // seconds: the resolution of beats found
	windowHop  = 2.0  // seconds: between two measurements of the period
	windowHalf = 5.0  // seconds: each looks at either way: ten or more beats
	slowest    = 1.0  // seconds: the longest period: 60 a minute
	fastest    = 0.3  // seconds: the shortest: 200 a minute
	periods    = 60   // count: steps between them, each 2 percent
	// Moved far, slow ballads are counted in eighths, or fast songs in half bars.
	usualPeriod = 0.57 // seconds: where a beat is felt most readily, about 105 a minute
	usualSpread = 0.9  // octaves: how fast that fades
	// 30 percent of drift over half a minute is followed, a leap to half or double is
	// not.
	periodDrift = 0.03 // share: of the best salience, to change the period by a step between windows
	// Ellis 2007 uses 400 for the square of the logarithm, from memory.
	tightness = 120.0 // strokes: how dearly beats pay for leaving the period, against strokes of mean strength
	peakReach = 5     // frames: either way of a stroke that it strengthens
	peakWidth = 2.0   // frames: sd of that
	gapWidth  = 1.8   // frames: sd of a distance between strokes about a multiple of the period
	multiples = 4.0   // count: of the period that are looked for
)
