package melody

import (
	"math"

	"undersong/internal/music/meter"
)

// Sung is a note of a tune as it is played, with its tied notes.
type Sung struct {
	At, Dur meter.Ticks // At counts from the beginning of the tune
	LineEnd bool        // the line of music ends about here: after it or just before it
}

// Phrases finds where the phrases of a tune end when nobody has marked them:
// true for every last note. The rules are those of Temperley, The Cognition of
// Basic Musical Structures (2001), section 3.4: phrases end with long notes and
// before rests, the gap being the time to the next note and the silence before
// it, in mean notes; and they have about eight notes, the number counted in
// doublings. That ends of lines count is common practice, no source, and so are
// the weights.
func Phrases(notes []Sung) []bool {
	ends := make([]bool, len(notes))
	if len(notes) == 0 {
		return ends
	}
	gaps := gaps(notes)
	best := make([]int, len(notes)+1) // of the first so many notes, all in whole phrases
	from := make([]int, len(notes)+1)
	for to := 1; to <= len(notes); to++ {
		best[to] = math.MinInt
		for n := 1; n <= min(to, longestPhrase); n++ {
			if v := best[to-n] - odd(n); v > best[to] {
				best[to], from[to] = v, to-n
			}
		}
		best[to] += gaps[to-1]
	}
	for to := len(notes); to > 0; to = from[to] {
		ends[to-1] = true
	}
	return ends
}

// The weights, in thousandths of a mean note.
const (
	longestPhrase = 48   // notes
	usualGap      = 2000 // what a gap must exceed to speak for an end
	lineGap       = 1500 // what the end of a line adds to it
	perDoubling   = 1000 // what half or double the usual eight notes cost
)

// gaps is how much speaks for an end after each note.
func gaps(notes []Sung) []int {
	last := len(notes) - 1
	whole := int(notes[last].At + notes[last].Dur - notes[0].At)
	all := make([]int, len(notes))
	for i := range notes[:last] {
		n, next := notes[i], notes[i+1]
		gap := 2*next.At - 2*n.At - n.Dur // time to the next note, and silence before it
		all[i] = 1000*int(gap)*len(notes)/whole - usualGap
		if n.LineEnd {
			all[i] += lineGap
		}
	}
	return all
}

// odd is what a number of notes in a phrase costs.
func odd(n int) int {
	return int(math.Round(perDoubling * math.Abs(math.Log2(float64(n))-3)))
}
