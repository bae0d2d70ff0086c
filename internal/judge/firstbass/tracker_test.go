package firstbass

import (
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
)

// tracked strikes keys such as "E4 C3+E4@1.5": each a beat (half a second) after
// the one before, or at a beat, with + together. It gives what each was (t tune, u
// unsure, . other), the note of the tune that is reached, and the octave where it
// is another one.
func tracked(t *testing.T, tr *tracker, text string) string {
	t.Helper()
	said, beat := "", -1.0
	for _, word := range strings.Fields(text) {
		names, when, given := strings.Cut(word, "@")
		beat++
		if given {
			b, err := strconv.ParseFloat(when, 64)
			require.NoError(t, err)
			beat = b
		}
		for i, name := range strings.Split(names, "+") {
			p, err := pitch.ParsePitch(name)
			require.NoError(t, err)
			tr.strike(p.Num(), time.Duration(beat*float64(500*time.Millisecond))+time.Duration(i)*5*time.Millisecond)
			r, known := tr.role(0)
			require.True(t, known)
			said += string(".tu"[r])
		}
	}
	said += fmt.Sprintf(" %d", tr.position())
	if up := shift(tr.bestO); up != 0 {
		said += fmt.Sprintf(" %+d", up)
	}
	if !tr.sure() {
		said += " lost"
	}
	return said
}

// The tune is sounding.Lou: E E C C | E E G | D D B B | C C.
func TestWhereTheTuneIs(t *testing.T) {
	for _, c := range []struct{ what, keys, want string }{
		{"the tune alone", "E4 E4 C4 C4 E4 E4 G4 D4@8 D4 B3 B3 C4 C4@14", "ttttttttttttt 13"},
		{"with a bass on each bar", "C3+E4 E4 C4 C4 C3+E4 E4 G4 G2+D4@8 D4 B3 B3 C3+C4", ".tttt.ttt.tttt.t 12"},
		{"an octave up", "E5 E5 C5 C5 E5 E5 G5", "ttttttt 7 +12"},
		{"two octaves down", "E2 E2 C2 C2 E2", "ttttt 5 -24"},
		{"chords under it on every beat", "C3+E4 E3+G3+E4 C3+C4 E3+G3+C4 C3+E4 E3+G3+E4 C3+G4", ".t..t.t..t.t..t.t 7"},
		{"D for E", "E4 D4 C4 C4 E4", "t.ttt 5"},
		{"F for E, mended", "E4 F4 E4@1.5 C4@2 C4 E4", "tutttt 5"},
		{"a note too far off to be a slip", "E4 A4 C4 C4 E4", "t..tt 5"},
		{"a note left out", "E4 E4 C4 E4@4 E4 G4", "tttttt 7"},
		{"a bar left out", "E4 E4 C4 G4@6 D4@8", "ttt.t 8"},
		{"one note struck again", "E4 E4 E4@1.4 C4@2 C4", "ttutt 4"},
		{"an inner note as the tune has elsewhere", "C3+E4 G3+E4 C4+C3 G3+C4", ".t.tt..t 4"},
		{"a bass before the tune", "C3 E4 E4 C4", ".ttt 3"},
		{"from the third bar on", "D4 D4 B3 B3 C4", "....t 12"},
		{"begun again after a pause", "E4 E4 C4 C4 E4 E4@9 E4 C4 C4 E4 E4 G4", "tttttuuttttt 7"},
		{"begun again at once", "E4 E4 C4 C4 E4 E4 G4 E4@8 E4 C4 C4 E4 E4 G4", "tttttttuuttttt 7"},
		{"another tune", "F#4 G#4 A#4 C#5 A#4 G#4 D#5 C#5 F#4 G#4 A#4 C#5", "............ 1 +12 lost"},
		{"sixteen basses", "E4" + strings.Repeat(" C3 G2", 8), "t................ 1"},
		{"eighteen basses", "E4" + strings.Repeat(" C3 G2", 9), "t.................. 1 lost"},
		{"G for E: a slip, rather than two left out", "E4 E4 C4 C4 G4", "ttttu 5"},
		{"in another octave, for once", "E4 E4 C4 C4 E5 E5 G5 D5", "tttt..tt 8 +12"},
		{"B for C, on the way from E", "E4 E4 B3@1.6", "tt. 2"},
		{"slips of a third", "E4 E4 C4 C4 E4 Ab4 G4@6.5 D4@8", "tttttutt 8"},
		{"one note sooner than it should", "E4 E4 C4 C4 E4 E4 G4@6 D4@8 D4@9 B3@10 B3@10.7 C4@12", "tttttttttttt 12"},
	} {
		assert.Equal(t, c.want, tracked(t, newTracker(louScore(t)), c.keys), c.what)
	}
}

// A note moves the tempo three tenths of the way, and counts for half to twice its
// time; the tempo stays within six times the chart's.
func TestTheTempoFollows(t *testing.T) {
	tr := newTracker(louScore(t))
	for _, c := range []struct{ heard, want float64 }{{1, 1}, {1.5, 1.15}, {10, 1.495}, {0.1, 1.27075}} {
		tr.follow(c.heard * tr.written)
		assert.InDelta(t, c.want, tr.perTick/tr.written, 1e-9, "a note of %g times its time", c.heard)
	}
	for range 50 {
		tr.follow(100 * tr.written)
	}
	assert.InDelta(t, 6, tr.perTick/tr.written, 1e-9)
	for range 50 {
		tr.follow(tr.written / 100)
	}
	assert.InDelta(t, 1.0/6, tr.perTick/tr.written, 1e-9)
	assert.Equal(t, 104, tr.known)
}

// A player who takes twice the time is understood, and the tempo with them.
func TestASlowTuneIsFollowed(t *testing.T) {
	tr := newTracker(louScore(t))
	assert.Equal(t, "ttttttttttttt 13", tracked(t, tr, "E4 E4@2 C4@4 C4@6 E4@8 E4@10 G4@12 D4@16 D4@18 B3@20 B3@22 C4@24 C4@28"))
	assert.InDelta(t, 2, tr.perTick/tr.written, 0.05)
}

// Four notes tell the tempo. From then on a note costs by its share of the time
// that it was to have.
func TestWhatTimeCosts(t *testing.T) {
	tr := newTracker(louScore(t))
	h := &hypothesis{}
	second := func(share float64) int {
		return tr.timing(h, 1, 2, time.Duration(share*float64(500*time.Millisecond)))
	}
	for _, share := range []float64{0.34, 0.5, 1, 2, 9} {
		assert.Zero(t, second(share), "%g, the tempo unknown", share)
	}
	tr.known = 4
	for _, c := range []struct {
		share float64
		want  int
	}{
		{0.09, hopeless}, {0.1, tooSoon}, {0.33, tooSoon}, {0.34, early}, {0.59, early}, {0.6, 0}, {1, 0}, {1.5, 0}, {1.51, late}, {1.8, late}, {1.81, veryLate},
	} {
		assert.Equal(t, c.want, second(c.share), "%g of its time", c.share)
	}
	assert.Zero(t, tr.timing(h, 0, 1, time.Hour), "nothing is early before the first note")
	assert.Equal(t, early, tr.timing(h, 1, 4, 750*time.Millisecond), "half of three beats")
}

// A pause is more than twice the time of the last note.
func TestAPauseInTheTune(t *testing.T) {
	tr := newTracker(louScore(t))
	assert.False(t, tr.stopped(time.Hour), "nothing was begun")
	tracked(t, tr, "E4 E4 C4 C4 E4 E4 G4@6")
	assert.False(t, tr.stopped(5*time.Second), "two beats were written: four may pass")
	assert.True(t, tr.stopped(5*time.Second+10*time.Millisecond))
}

// How unlikely a key under the tune is to be meant by it.
func TestKeysBelowTheTune(t *testing.T) {
	tr := newTracker(louScore(t)) // B3 is its lowest note
	const g4, e4 = 67, 64
	for _, c := range []struct {
		key, low pitch.Num
		want     int
	}{
		{g4 - 1, g4, closeBelow}, {g4 - 2, g4, closeBelow}, {g4 - 3, g4, justBelow}, {g4 - 4, g4, justBelow},
		{g4 - 5, g4, amidTune}, {59, g4, amidTune}, {58, g4, clearlyBelow},
		{59, e4, amidTune}, {58, e4, clearlyBelow},
	} {
		assert.Equal(t, c.want, tr.below(0, c.key, c.low), "%v under %v", c.key, c.low)
	}
	assert.Equal(t, clearlyBelow, tr.below(1, 70, 79), "an octave up the tune goes no lower than B4")
	assert.Equal(t, amidTune, tr.below(1, 71, 79))
}

// What was long ago is forgotten.
func TestOnlyTheLastKeysAreRemembered(t *testing.T) {
	tr := newTracker(louScore(t))
	tracked(t, tr, "E4 C3")
	r, known := tr.role(1)
	assert.Equal(t, []any{tune, true}, []any{r, known})
	_, known = tr.role(remembered - 1)
	assert.True(t, known)
	_, known = tr.role(remembered)
	assert.False(t, known)
}
