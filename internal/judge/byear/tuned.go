package byear

import "time"

// What a hypothesis makes of a key costs points, each a hundredth of a nat: how much
// rarer that is than the right note, and how much less it says of the key that was
// struck. They were chosen by hand on the simulated players of searcher_test.go
// (common practice, no source).
const (
	costWrong   = 150 // points: a wrong try
	costFar     = 8   // points a semitone: between it and the right note, as wrong tries lie near
	mostFar     = 12  // semitones: that are counted
	costDeaf    = 200 // points: the right note in some octave, yet meant as another
	costRetry   = 100 // points: the last note once more
	costRestart = 150 // points: the phrase from its first note
	costAgain   = 50  // points: the same, when the phrase was at its end
	costOctave  = 200 // points: the right note in another octave
	costMove    = 50  // points: another octave for a new phrase, as when the other hand takes it
	costBack    = 250 // points: some notes back in the phrase
	mostBack    = 12  // count: of those notes; from further back one begins again
	costTied    = 200 // points: one of two equal notes left out
	costSkip    = 350 // points: any note left out
	costPhrase  = 300 // points: another phrase than the next
	costBetween = 2   // points: for each phrase between, so that of two alike the nearer is taken
	costKey     = 200 // points: the tune on another key, beside costPhrase
)

// Which hypotheses are kept, and how far they must agree.
const (
	tooFar         = 6 * costWrong // points: how far behind the best a hypothesis is dropped: some six wrong tries
	mostHypotheses = 128           // count: kept at most; keys struck at random would leave ten times as many, and each costs time with the next key
	sure           = 90            // points: within which hypotheses must agree before it is said that a phrase was right, less than the cost of any step that is not the tune's own
	verySure       = 150           // points: before it is said that a note was wrong: a phrase or a tune begun elsewhere should not be taken for wrong tries; in a pause, and after more tries, a word is worth the risk, and sure will do
)

// When a word helps.
const (
	pause    = 2500 * time.Millisecond // milliseconds: a student who thinks, and may want a word (common practice, no source)
	patience = 2                       // count: wrong tries that go without a word, before each word
	tooLong  = 7                       // count: wrong tries at one note that are too many: going on from the beginning of the phrase helps the ear more than another word
	begun    = 2                       // count: notes of a phrase with which it counts as begun; one may be a try
)

// What a task asks.
const (
	clearly   = 1.2 // factor: of the spread of the student's own velocities, by which two phrases must differ: where soft and loud are not meant, one pair in a hundred does (means of eight notes each)
	otherHand = 7   // semitones: how far apart the hands' phrases must lie at least: they lie an octave apart, or two, and a fifth when the student begins on another note too
	overlap   = 5   // semitones: by which the middle range reaches beyond its octave, since no tune keeps to one (common practice, no source)
)
