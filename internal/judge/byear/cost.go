package byear

// Costs are hundredths of a nat: how much rarer a step is than the right note, and
// how much less it says of the key that was struck. They were chosen by hand on the
// simulated players of searcher_test.go. A fifth more or less of any one moves the
// shares of phrases and places there by 0.006 at most, and the share of directions
// that help by 0.022.
const (
	costWrong   = 150 // a wrong try; and for each semitone between it and the right note, as wrong tries lie near
	costFar     = 8
	costDeaf    = 200 // the right note in some octave, yet meant as another
	mostFar     = 12  // semitones that are counted
	costRetry   = 100 // the last note once more
	costRestart = 150 // the phrase from its first note
	costAgain   = 50  // the same, when the phrase was at its end
	costOctave  = 200 // the right note in another octave
	costMove    = 50  // another octave for a new phrase, as when the other hand takes it
	costBack    = 250 // some notes back in the phrase
	mostBack    = 12  // notes: from further back one begins again
	costTied    = 200 // one of two equal notes left out
	costSkip    = 350 // any note left out
	costPhrase  = 300 // another phrase than the next; and for each phrase between, so that of two alike the nearer is taken
	costBetween = 2
	mostBetween = 20
	costKey     = 200 // the tune on another key, beside costPhrase
)

const (
	// tooFar is how far behind the best a reading is dropped: some six wrong tries.
	tooFar = 900
	// mostReadings are kept at most.
	mostReadings = 128
	// sure is the margin within which readings must agree before it is said that a
	// phrase was right, less than the cost of any step that is not the tune's own.
	sure = 90
	// verySure is the margin before it is said that a note was wrong: a phrase or a
	// tune begun elsewhere should not be taken for wrong tries. In a pause, and after
	// more tries, a word is worth the risk, and sure will do.
	verySure = 150
)
