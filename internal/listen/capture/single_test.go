package capture

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
)

// A chord held for a bar of 4/4 tells the tempo, from a slow largo to a presto
// (common practice, no source); what is shorter or longer is no bar.
func TestABarHeldOnce(t *testing.T) {
	for _, c := range []struct {
		seconds float64
		bar     bool
	}{{0.93, false}, {1, true}, {2.4, true}, {5, true}, {5.6, false}} {
		held := []hit{{0, c.seconds / beat.Seconds(), 64, "C3 C4 E4 G4"}}
		got, err := Capture(playedAs(t, held), Options{Name: "mine", Chords: mustChords(t, "C"), Meter: meter.Meter{Num: 4, Den: 4}})
		if !c.bar {
			assert.ErrorIs(t, err, errFew, "%g seconds", c.seconds)
			continue
		}
		require.NoError(t, err, "%g seconds", c.seconds)
		assert.Equal(t, 1, got.Bars)
	}
}

// A chord held for a bar at a known tempo tells the meter; hands let go a little early.
func TestTheMeterOfAHeldBar(t *testing.T) {
	for _, c := range []struct {
		beats float64
		want  string
	}{{0.9, "4/4"}, {1.8, "2/4"}, {2.6, "3/4"}, {3.6, "4/4"}, {4.5, "5/4"}, {9, "4/4"}} {
		assert.Equal(t, c.want, heldMeter(c.beats).String(), "%g beats", c.beats)
	}
}

// The second of three notes in a beat, as a player writes it.
func TestAFirstNoteOnAThirdOfABeat(t *testing.T) {
	third := []hit{{0, 0.3, 64, "C3"}, {1. / 3, 0.3, 64, "G3"}, {2. / 3, 0.3, 64, "C4"}}
	o := Options{Meter: meter.Meter{Num: 2, Den: 4}, Tempo: 100, OnBeat: 1.33}
	assert.Equal(t, "left:  1 5 8 1 5 8\n", grids(captured(t, again(third, 8, 1)[1:], o)))
}
