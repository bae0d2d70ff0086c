package timing

import (
	"undersong/internal/music/meter"
)

// By a click.
const (
	reachOfBeat  = 0.75             // share of a beat: a stroke more than that away is another stroke
	triedOfWay   = 0.7              // share of the way to the next stroke: within which a wrong one is meant for this
	triedOfReach = 0.4              // share of the reach: within which it is, where that is less
	brokenBeats  = 2.5              // beats: after its time during which a chord that comes note by note may go on
	barTail      = meter.Eighth / 2 // ticks: after its end the last stroke of a bar has had its time
)

// Where the player leads.
const (
	surely          = 0.9  // share: how likely a place must be for a stroke to be told before the last of its onset has come
	likely          = 0.75 // share: for a mistake to be told at once; below, the next onset has to confirm the place
	sure            = 0.6  // share: after a jump, for what does not fit there to be told as a mistake and not as a place misheard
	inTime          = 0.4  // share of the way to the next place: from its time, within which notes that stand for nothing are a try at it
	patience        = 2    // count: onsets in a row that may leave the place in doubt before it is told as lost: a wrong chord, and one more
	company         = 8    // beats: after its last note during which the other hand counts as playing
	longestWithheld = 2    // count: onsets for which a mistake is kept; by then a place that was never given up is taken for right
)
