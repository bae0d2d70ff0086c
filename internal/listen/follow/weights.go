package follow

import "time"

// The weights of the model: natural logarithms of how likely a thing is beside
// what should happen, which costs nothing. They were set on simulated players
// (see the accuracy test) and are working values: common practice, no source.
// What depends on time holds, besides its rarity, that a free time is some 30
// times as wide as an exact one.
const (
	// What is struck.
	costForeign = 3.5 // a note that this stroke does not ask for
	costDouble  = 0.3 // one more note of a whole chord
	costOctave  = 1.2 // a figure's note in another octave
	costFar     = 0.1 // each semitone beyond the hand's reach from where it should lie,
	costFarMost = 2.0 // up to this
	costSilent  = 4.0 // a hand that strikes nothing of what it should
	costLacking = 1.8 // a note left out
	costWrong   = 6.2 // a whole chord in place of another
	costStill   = 0.7 // the next stroke of the same wrong chord
	costTune    = 0.4 // a note of the tune in the hand that is free

	// How it goes on.
	costSkip      = 3.6 // a moment left out
	costSkipMore  = 1.5 // on top, each further one
	costAgain     = 5.0 // a moment struck again
	costAgainLate = 3.0 // later than a stumble is mended
	costBelated   = 2.0 // the rest of a moment, too late to sound together
	costBack      = 8.0 // one moment back
	costExtra     = 1.0 // an onset that stands for no moment; its notes cost more
	costExtraKey  = 4.0 // each of them
	costMost      = 7.5 // all of it
	costRebase    = 2.0 // time counted from an onset that stood for no moment,
	costAside     = 0.3 // or from when the moment was due, or was struck again

	// When it goes on.
	costLate  = 4.2 // a pause
	costEarly = 6.0 // a stroke that comes long before its time

	// Another place.
	costJump     = 3.0 // going on elsewhere at all
	costUntimely = 6.0 // and not in time
	toSame       = 0.5 // to the start of this bar,
	toNeighbour  = 1.5 // to the bar before, or over the next,
	toSection    = 3.5 // to the start of a section or a repeat,
	toTop        = 3.0 // to the start of the piece,
	toRestart    = 2.0 // to where playing last began anew, out of time,
	toBar        = 3.2 // to the start of any bar,
	toFar        = 2.6 // on top, the farther the more,
	toAny        = 8.0 // to any moment

	// The first onset of all: anywhere but at the beginning.
	costElsewhere = 3.0
)

// Times of hands that mean to be together or in time.
const (
	together   = 0.050 // seconds: notes of one onset (Rasch 1979; Goebl 2001)
	rollGap    = 0.090 // between the notes of a rolled chord,
	rollMost   = 0.300 // which lasts no longer
	stumble    = 1.3   // beats: a stroke that failed is struck again within these
	belated    = 0.130 // one hand after the other
	slip       = 0.060 // a stroke is out of time from here
	slipMost   = 0.6   // to this share of the interval
	unevenness = 0.030 // sd of an interval: two onsets of a beginner, each some 20 ms off
	ofInterval = 0.06  // sd of an interval, as a share of it
)

// The tempo.
const (
	firstDoubt = 0.08  // variance of the tempo, as a share, before anything is known
	newDoubt   = 0.05  // after a break
	mostDoubt  = 0.10  // ever
	drift      = 0.003 // how the variance grows each beat: a rubato changes the tempo by some 6 percent a beat
	surprise   = 9.0   // squared deviation beyond which an interval says nothing of the tempo
	mostChange = 4.0   // the tempo stays within this factor of the score's
)

// The search.
const (
	beam   = 13.0 // what lies further behind the best place is not followed
	reach  = 4    // moments ahead that a stroke may stand for without a jump
	missed = 2    // moments at the beginning that may be left out
)

// Lost and found: the running mean of how unlikely each onset was.
const (
	memory      = 0.25
	lostAt      = 3.6
	foundAt     = 2.4
	leastWeight = 0.4 // of the places that agree on what comes next
	aheadBars   = 2   // how far ahead they must agree
)

// seconds is a time as the model counts it.
func seconds(d time.Duration) float64 { return float64(d) / float64(time.Second) }

func duration(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
