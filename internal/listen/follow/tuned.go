package follow

// The numbers of the model that were found by trying, on simulated players (see
// the accuracy test) and measured on (n)ASAP human performances (Foscarin et al.
// 2020, Peter et al. 2023; CC BY-NC-SA, not part of this project): working values,
// common practice, no source, but where one is named. make sensitivity says what
// each is worth.

// Costs are natural logarithms of how likely a thing is beside what should
// happen, which costs nothing. What depends on time holds, besides its rarity,
// that a free time is some 30 times as wide as an exact one.
const (
	// What is struck.
	costForeign = 3.5 // nats: a note that this stroke does not ask for
	costDouble  = 0.3 // nats: one more note of a whole chord; at 0, jumps are found a little later
	costOctave  = 1.2 // nats: a figure's note in another octave
	costFar     = 0.1 // nats: each semitone beyond the hand's reach from where it should lie
	costFarMost = 2.0 // nats: the most that a note costs for lying far
	spanOfHand  = 9   // semitones: the hand's reach from its middle, with room for lying elsewhere
	costSilent  = 2.0 // nats: a hand that strikes nothing of what it should
	costLacking = 1.0 // nats: a note left out
	insteadOf   = 2.0 // factor: of what was left out, where wrong notes were struck
	costWrong   = 6.2 // nats: a whole chord in place of another
	costStill   = 0.7 // nats: the next stroke of the same wrong chord
	costOther   = 2.5 // nats: the next wrong stroke of other notes
	costTune    = 0.4 // nats: a note of the tune in the hand that is free
	tuneApart   = 2   // semitones: from what the other hand plays to the tune

	// How it goes on.
	costSkip        = 2.7  // nats: an event left out
	costSkipMore    = 2.0  // nats: on top, each further one
	costAgain       = 4.5  // nats: an event struck again
	costAgainLate   = 3.0  // nats: on top, later than a stumble is mended
	spared          = 1.6  // nats: what the next event may cost for its time, before striking again costs more too
	costBelatedMost = 4.0  // nats: the rest of an event, too late to sound together
	costTardy       = 0.5  // nats: a note of the event before, which has come after the event
	costRest        = 0.2  // nats: a hand that goes on resting
	costTrill       = 0.7  // nats: a note of a trill, which goes on as it began
	costOrnament    = 2.0  // nats: a note of another ornament
	costBack        = 8.0  // nats: one event back
	costExtraKey    = 3.6  // nats: a note that stands for nothing, beside when it comes
	costMost        = 7.25 // nats: the most that an onset of such notes costs
	costRebase      = 2.0  // nats: time counted from an onset that stood for no event
	costRebaseOwn   = 0.3  // nats: the same from when the event was due, or was struck again

	// When it goes on.
	costLate  = 3.9 // nats: a pause
	costEarly = 6.0 // nats: a stroke that comes long before its time

	// Another place.
	costJump     = 3.0                      // nats: going on elsewhere at all
	costDense    = 2.0                      // nats: on top, for each factor e of more events in a bar than few
	fewEvents    = 4.0                      // events: in a bar
	fade         = 0.12                     // nats: each onset that a place only a jump leads to is not the best: who jumps is heard to soon
	costAlike    = 1.0                      // nats: on top, where what is struck fits without a jump as well
	costUntimely = 6.0                      // nats: and not in time
	toSame       = 0.5                      // nats: to the start of this bar
	toNeighbour  = 1.0                      // nats: to the bar before, or over the next
	toSection    = 3.5                      // nats: to the start of a section or a repeat
	toTop        = 3.0                      // nats: to the start of the piece
	toTopInTime  = 4.0                      // nats: the same without a stop: who is lost in the middle is seldom there
	toRestart    = 2.0                      // nats: to where playing last began anew, out of time
	toBar        = 3.2                      // nats: to the start of any bar
	toFar        = 2.6                      // nats: on top, the farther the more
	toAny        = toBar + toFar + costSkip // nats: to any event: to the farthest bar, and not to its start

	// The first onset of all.
	costElsewhere = 3.0 // nats: anywhere but at the beginning
	costLater     = 0.2 // nats: each bar after the second: of bars that sound alike, it is the first
	costLaterMost = 3.0 // nats: the most of that
)

// Times of hands that mean to be together or in time.
const (
	longestRoll  = 4 * rollGap // seconds: five fingers roll no more
	rollGap      = 0.090       // seconds: between the notes of a rolled chord
	stumble      = 1.3         // beats: a stroke that failed is struck again within these
	belated      = 0.100       // seconds: sd of a note of a chord against the one before: of human chords one in ten is spread over more than 80 ms
	belatedShare = 0.4         // share: of the time to the next event, the most of that
	tardy        = 0.300       // seconds: a note of the event before comes no later than this
	trill        = 0.200       // seconds: from a note of a trill to the same again: ten notes a second and more
	ornament     = 0.180       // seconds: from note to note of an ornament
	farAhead     = 2.0         // seconds: events that are due so much later are not looked at
	oddAgree     = 0.15        // share: how far two intervals may differ that agree on a tempo
	slip         = 0.060       // seconds: a stroke is out of time from here
	slipMost     = 0.6         // share: of the interval; farther off is a pause
	unevenness   = 0.040       // seconds: sd of an interval: two onsets, each some 30 ms off (Rasch 1979: players of an ensemble are 30 to 50 ms apart)
	ofInterval   = 0.1         // share: sd of an interval, as a share of it
	waitLeast    = 1.0         // seconds: after a wait of so much more than is due, playing may begin anywhere
	waitDue      = 1.5         // factor: of the time to the next event, which is due
)

// The tempo.
const (
	firstVariance = 0.3   // share squared: variance of the tempo before anything is known: half of it to nearly twice
	breakVariance = 0.05  // share squared: the same after a break
	drift         = 0.003 // share squared: how it grows each beat: a rubato changes the tempo by some 6 percent a beat
	restless      = 0.01  // share squared: how much more it grows, for each variance by which an interval was more surprising than one
	surprise      = 9.0   // variances: squared deviation beyond which an interval says nothing of the tempo
)

// The search.
const (
	mostPaths  = 24   // count: of paths that are followed, about; with 64 a note costs twice as much and none is placed better
	recentKeys = 6    // count: of notes looked back at for an ornament: a trill under a chord of four
	aStep      = 2    // semitones: a whole tone
	beam       = 10.0 // nats: what lies further behind the best place is not followed
	reach      = 4    // events: ahead that a stroke may stand for without a jump
)

// Lost and found: the running mean of how unlikely each onset was.
const (
	memory      = 0.25 // share: of the newest onset in the mean
	lostAt      = 2.5  // nats: lost above this
	lostMost    = 3.5  // nats: the most of the mean, so that the place is found soon after much that fitted nowhere
	foundAt     = 2.2  // nats: found again below this
	leastWeight = 0.4  // share: of the likelihood, of the places that agree on what comes next
	sharp       = 1.1  // factor: of a weight, where it is asked how likely a place is
	aheadBars   = 2    // bars: how far ahead they must agree
	faint       = 8.0  // nats: a place so much less likely than the best does not count in that
)
