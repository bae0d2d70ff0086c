package cause

import "time"

// What is described, in nats. Only differences between readings count.
const (
	ofMistake = 5.5  // nats: of one of a dozen kinds of mistake, at one of a handful of places in the bar, with one of a handful of notes
	ofMore    = 0.5  // nats: of one more wrong stroke of a chord that was mistaken already
	ofOctave  = 0.3  // nats: of an octave by which a right stroke lies off, where readings are weighed against each other
	ofNote    = 1.5  // nats: of a note that no right stroke explains: which of the handful that a hand reaches
	ofFirst   = 6.0  // nats: of a cause that has been there from the beginning: one of a dozen, one of as many sizes
	ofCause   = 9.0  // nats: of a cause: one of a dozen, one of as many sizes, from one of some fifty bars on
	ofHalf    = 3.0  // nats: of music that is half a beat off, where whole beats are more likely
	rivalry   = 5.0  // nats: by which the place where the music has gone must be better than any other
	ofBeats   = 2.0  // nats: of music that is so many beats off, for each time that the beats are some three times as many
	ofHand    = 1.5  // nats: by which the hand that lies off must be better than any other
	margin    = 10.0 // nats: by which one must be better than none: odds of 20,000 to 1
	moreSure  = 3.0  // nats: by which it must be better still where a recording is judged, for which there is time
	backAgain = 6.0  // nats: by which the score as written must be better than a cause that was told, to take it back
)

// When a stretch is in doubt.
const (
	leastRight   = 0.6 // share: of the strokes that must be right under a cause
	fewestRight  = 3   // count: of strokes that must be right under it at least
	fewestWrong  = 2   // count: of mistakes before causes are looked for
	everyWrong   = 2   // count: of mistakes more before they are looked for again
	seldomWrong  = 24  // count: of mistakes more at most, where that was in vain
	patientDoubt = 4   // factor: of the bars during which findings are kept back, where a recording is judged
	patientRight = 2   // count: of strokes more that must be right than were wrong, where a recording is judged
	manyRight    = 8   // count: of right strokes in a row, after which a new stretch may go wrong for a new reason
	manyMissing  = 4   // count: of strokes in a row that do not come, where causes are looked for anew
	firstRight   = 5   // count: the same, where it begins
	heardAgain   = 3   // count: of strokes in a row of a hand that was silent, by which it is so no more; some may be the other's
	longestDoubt = 2   // bars: during which findings are kept back
	likelyDoubt  = 4   // bars: the same, where a cause is likely and not yet sure
	mostBefore   = 4   // bars: before the first mistake, in which the player may have stopped and gone back
	mostWeighed  = 8   // bars: that are weighed at most, where causes are looked for in vain and the player leads
	mostJudged   = 16  // bars: the same, by a click
)

// When things go wrong a little, again and again.
const (
	mostOften = 5  // count: of mistakes that are looked back at
	oftenBars = 10 // bars: within which they must come
)

// Where causes are looked for.
const (
	nearBeats         = 0.4                    // beats: from its time, within which a note may be meant for a stroke
	likeliest         = 3                      // count: of other keys that are tried
	farthestHand      = 2                      // octaves: by which a hand may be off
	farthestLeap      = 8                      // bars: by which the player may go back or leave out
	mostDelay         = 0.45                   // beats: within which that is a delay, and no other beat
	leastShift        = 90 * time.Millisecond  // milliseconds: under which nothing is late to speak of, or it is the player\'s habit
	nearBeat          = 40 * time.Millisecond  // milliseconds: from a beat, or a half, within which music that is off is on it
	binOfShift        = 25 * time.Millisecond  // milliseconds: within which distances count as one
	slowerBy          = 0.93                   // share: of the click's tempo, from which on another tempo is meant; nearer ones drag
	fasterBy          = 1.08                   // share: the same; nearer ones rush
	nearSlower        = 0.87                   // share: within these, a tempo takes as many strokes to be sure of as a delay
	nearFaster        = 1.15                   // share: the same
	snap              = 0.04                   // share: by which a tempo may miss half or twice the click's, and be that
	inTimeBeats       = 0.15                   // beats: within which a note counts as in time where readings are looked for
	leastInTime       = 60 * time.Millisecond  // milliseconds: that at least
	mostInTime        = 150 * time.Millisecond // milliseconds: and at most
	likelyBins        = 12                     // count: of distances in time that are looked at
	fastest           = 3.0                    // factor: tempo played to tempo written, or the other way round
	sureOnsets        = 2                      // count: of onsets before the first mistake from which on a tempo may be another
	farthestTurn      = 1.5                    // beats: from where it was due, within which the first stroke of another tempo falls
	mostAnchors       = 4                      // count: of onsets at either end through which lines are laid
	mostSampled       = 12                     // count: of onsets by which they are compared
	mostLines         = 8                      // count: of them that are looked at closely
	likeliestPaces    = 2                      // count: of tempi that are tried
	fewestOnsets      = 4                      // count: of onsets that show a tempo
	fewestSteady      = 7                      // count: of strokes that show another time
	leastSteady       = 0.75                   // share: of the strokes that must be right in it
	fewestCertain     = 9                      // count: of strokes that show that the player has gone elsewhere
	fewestHarmonies   = 2                      // count: of bars and harmonies that show it
	fewestInBars      = 4                      // count: the same, where the music is off by whole bars, so that only its notes tell
	fewestFaultless   = 3                      // count: the same, where nothing is wrong then
	leastCertain      = 0.8                    // share: of the strokes that must be right there
	fewestKnown       = 2                      // count: of strokes that must have been right before the music moved
	likeliestShifts   = 5                      // count: of moves in time that are tried
	beyondHand        = 10                     // semitones: from what a silent hand should play, from which on a note is the other's
	mostUnheard       = 0.3                    // share: of the notes that may be unexplained where a hand is silent
	fewestInstead     = 12                     // count: of strokes that show that something else is played
	fewestSparse      = 8                      // count: the same, where there are few in a bar
	barsInstead       = 4                      // bars: that show it then
	fewerWrong        = 2                      // factor: by which what is asked for must go wrong more often than what is played instead
	leastInstead      = 0.85                   // share: of the strokes that must be right in it
	patternsAtOnce    = 16                     // count: of accompaniments that are laid over the bars each time that causes are looked for
	likeliestPatterns = 5                      // count: of accompaniments that are tried
	fewestSwapped     = 6                      // count: the same, where the hands have each other's part
	rightAgain        = 16                     // count: of right strokes in a row by which what is asked for is played again
	mostFamiliar      = 0.15                   // share: of the strokes that may be right by chance in another tune
	fewestWrongs      = 12                     // count: of strokes that are wrong in it at least
	nearBars          = 4                      // bars: on or back, whose harmonies are tried too
	fewestForeign     = 5                      // bars: of which a tune is heard to be another
	mostForeign       = 0.67                   // share: of the notes that some key explains of another tune
	ofExact           = 0.5                    // nats: of a right stroke that is as it would be demonstrated, where readings are weighed against each other
	ofPattern         = 4.0                    // nats: of one of some fifty accompaniments
	ofNumber          = 3.0                    // nats: of one more number that is fitted to what is played
	latestAstray      = 6                      // count: of strokes by which it is seen that a player keeps a tempo no longer as it was measured
	leastAstray       = 30 * time.Millisecond  // milliseconds: by which they come late or early then
	fewestEven        = 12                     // count: of strokes that show a delay
	mostUneven        = 0.030                  // seconds: the standard deviation of their times at most; players drift by more
	mostTurned        = 0.020                  // seconds: by which they may be later in the second half than in the first, or sooner
	barsEven          = 3                      // bars: of which a delay that has not been there from the beginning is heard
	farthestDrift     = 0.8                    // beats: by which a player who keeps another tempo has left the click; others come back to it sooner
	fewestBlurs       = 3                      // count: of harmonies in a row that blur while the pedal is down, from which on it is stuck
)

// Where the player leads.
const (
	longestWait      = 20 * time.Second // seconds: without any key, before nothing at all is told of
	ledSlower        = 0.82             // share: of the tempo that is asked for, from which on another one is meant; nearer ones are free
	ledFaster        = 1.22             // share: the same
	ofLeap           = 6.0              // nats: of going on elsewhere: at one of some bars
	ofStrange        = 4.0              // nats: of an onset of which nothing can be told, besides its notes
	leastStrange     = 0.65             // share: of the notes that must be unexplained as written for another key to be told
	purity           = 5                // factor: by which strokes must be more than those that are wrong in it
	mostForeignInKey = 0.15             // share: of the notes that may be unexplained in it
	harmoniesInKey   = 6                // count: of harmonies that it explains, which do without
	notesInReach     = 2                // count: of notes more that must be explained where hands lie octaves off
	rivalKeys        = 6.0              // nats: by which a key must be better than any other
	mostAnchored     = 16               // count: of bars that are remembered
	warmUpBars       = 1                // bars: before the doubt that are played to a reading, so that it knows the place
	fewestStrange    = 3                // count: of onsets in a row that fit nowhere, before causes are looked for
	mostLoud         = 0.2              // share: of the notes that may be unexplained where a hand is silent
	restBars         = 2                // bars: without a stroke of a hand, after which it may be silent
	fewestResting    = 4                // count: of strokes that were wanted of it meanwhile
	longestPassed    = 2                // bars: on the way from one right stroke to the next, whose strokes count as passed
	mostRecent       = 16               // count: of onsets that are remembered
	likeliestLed     = 2                // count: of other keys that are tried
	mostAligned      = 64               // count: of onsets that keys are found by
	alignForeign     = 2.0              // nats: of a note that a moment does not ask for
	alignLacking     = 0.8              // nats: of one that it asks for and that does not come
	alignMost        = 6.0              // nats: of a moment that is all wrong
	alignLeap        = 6.0              // nats: of going on anywhere
	barsThere        = 2                // count: of bars and of harmonies in which strokes must be right after a leap for it to be told
	wrongThere       = 3                // factor: by which those bars must be more than those of them with a mistake
	longestLeap      = 6                // bars: after which a leap that is not sure is forgotten
	barsSure         = 2                // bars: before it may have been, that are looked at to know the place
	barsBefore       = 4                // bars: the same at most
	mostRouted       = 192              // count: of onsets that are looked at
	mostDearer       = 40.0             // nats: by which a way may be dearer than the best and be followed
	onwardSkip       = 3.5              // nats: of a moment left out
	onwardRoll       = 0.5              // nats: of more of the same chord, which is rolled
	onwardAgain      = 3.5              // nats: of a moment struck again
	longestRoll      = 0.3              // beats: within which a chord is rolled
	latest           = 3.0              // nats: of coming late, at most
	earliest         = 10.0             // nats: of coming early, at most
	perSquare        = 12.0             // nats: of coming twice as late, or in half the time
	inTimeSeconds    = 0.03             // seconds: that are no time to speak of
	sameHarmony      = 0.2              // share: of what a wrong moment costs after another one of the same harmony
	leapAnywhere     = 5.0              // nats: of a leap
	leapBack         = 2.5              // nats: of one back after a pause
	leapBar          = 0.4              // nats: of each bar that is played again, or left out
	leapFar          = 4.0              // nats: of all of them, at most
	leapWithin       = 3.0              // nats: of a leap into a bar, and not to its beginning
	leapInTime       = 3.0              // nats: of one back without a pause
	leapOnPaused     = 2.0              // nats: of one ahead after a pause
	leapPause        = 0.6              // beats: that make a pause
	elsewhere        = 8.0              // nats: of beginning with another bar than the one that was sure
	farElsewhere     = 16.0             // nats: the same, after others that were sure
	barsChained      = 4                // count: of bars in a row that are looked at to know how sure one was
	stopEvidence     = 5.0              // nats: by which a leap back after a pause must fit better than none
	likelyLeap       = -2.0             // nats: by which one fits better, or not much worse, where it is waited for
	intoEvidence     = 12.0             // nats: by how much more, where it leads into a bar: who strikes other chords may seem to be there
	backEvidence     = 9.0              // nats: the same, without a pause
	aheadEvidence    = 8.0              // nats: the same, ahead
	surePlace        = 0.75             // share: how likely a place must be for its time to count
	mostTimed        = 128              // count: of places whose times are kept
	fewestTimed      = 8                // count: of places that show a tempo
	steadyBars       = 5                // bars: that show a tempo
	clearSlower      = 0.68             // share: of the tempo that is asked for, beyond which nobody strays freely
	clearFaster      = 1.4              // share: the same
	clearBeats       = 8                // beats: that show a tempo beyond these
	closeBeats       = 0.12             // beats: from its time, within which a stroke comes in a tempo
	steadyBeats      = 20               // beats: the same
	mostUnsteady     = 0.04             // beats: the standard deviation of their times at most
	leastUneven      = 0.02             // seconds: the same, at fast tempi
	gradualBeats     = 4                // beats: before a tempo, in which another one shows that it is a change
	leastAbrupt      = 1.2              // factor: by which that must be another; who drags comes to a tempo by smaller steps
	mostBeyond       = 1                // count: of keys out of the other hand's reach that may be struck where a hand is silent; a wrong note may lie there
	sameTempo        = 0.08             // share: by which a tempo may change and be that still
	alignAgain       = 2.0              // nats: of a moment struck again
	alignSkip        = 2.0              // nats: of a moment left out
	alignSkips       = 3.5              // nats: of two
)
