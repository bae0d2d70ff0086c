package e2e

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bent is a beat in a tempo that falls by three tenths over the six bars.
func bent(beat float64) float64 { return beat + 0.3*beat*beat/48 }

// The pianist plays the chords of the whole piece as it likes, and stops for three
// seconds before bar 4; the program plays the basses after it.
func TestTheLeftHandIsHeardAfterThePianistWhoLeads(t *testing.T) {
	s := setUp(t)
	const stop, silent = 12, 6.0 // beats
	when := func(beat float64) float64 {
		if beat >= stop {
			return bent(beat) + silent
		}
		return bent(beat)
	}
	notes := chords(messages(rightBars))
	for i := range notes {
		notes[i].beat = when(notes[i].beat)
	}
	slices.SortStableFunc(notes, func(a, b timed) int {
		if a.beat < b.beat {
			return -1
		}
		return 1
	})
	r := s.play(t, performance{Notes: notes, Free: 1, Echo: true, args: []string{"--with", "left", "--follow"}})
	wrong, told := findings(r.parsed(t))
	assert.Empty(t, wrong)
	assert.Equal(t, 12, told, "the two chords of each bar, and no echo of the left hand")

	for _, m := range r.heard(t, 9) {
		assert.False(t, m.strikes(), "no click")
	}
	ours := r.heard(t, 3)
	assert.Empty(t, down(ours), "every note ends")
	var strikes []message
	for _, m := range ours {
		if m.strikes() {
			strikes = append(strikes, m)
		}
	}
	require.Len(t, strikes, 11, "all but the bass before the first chord")
	start := r.Sent[0][0].(float64) - bent(1)*beatSeconds
	var off []float64
	for i, m := range strikes {
		n := i + 1
		b := rightBars[n/2]
		assert.Equal(t, []byte{b.bass1, b.bass2}[n%2]%12, m.key%12, "stroke %d; the fifth may lie above or below", i)
		beat := float64(2 * n)
		assert.Greater(t, m.at, start+when(beat-1)*beatSeconds, "stroke %d comes after the chord before it", i)
		assert.Less(t, m.at, start+when(beat+1)*beatSeconds, "and before the next")
		if beat != stop { // which nobody could know of
			off = append(off, math.Abs(m.at-start-when(beat)*beatSeconds))
		}
	}
	slices.Sort(off)
	t.Logf("from where the pianist's own left hand would be: median %.0f ms, most %.0f ms", 1000*off[len(off)/2], 1000*off[len(off)-1])
	assert.Less(t, off[len(off)/2], 0.08)
}
