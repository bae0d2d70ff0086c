package meter

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBarsAndBeats(t *testing.T) {
	for _, c := range []struct {
		text  string
		bar   Ticks
		beats int
	}{
		{"2/4", 1920, 2}, {"3/4", 2880, 3}, {"4/4", 3840, 4}, {"6/8", 2880, 2},
		{"12/8", 5760, 4}, {"5/4", 4800, 5}, {"9/8", 4320, 3}, {"2/2", 3840, 2},
	} {
		m, err := Parse(c.text)
		require.NoError(t, err)
		assert.Equal(t, c.text, m.String())
		assert.Equal(t, c.bar, m.Bar(), c.text)
		assert.Equal(t, c.beats, m.Beats(), c.text)
	}
	for _, text := range []string{"", "4", "7/8/", "0/4", "4/0", "3/3", "-3/4"} {
		_, err := Parse(text)
		assert.Error(t, err, text)
	}
}

func TestBeatNumbers(t *testing.T) {
	common, six := Meter{4, 4}, Meter{6, 8}
	assert.Equal(t, 1.0, common.BeatAt(0))
	assert.Equal(t, 2.5, common.BeatAt(Quarter+Eighth))
	assert.Equal(t, 2.0, six.BeatAt(Quarter+Eighth))
}

func TestTempoAndDuration(t *testing.T) {
	// Beat lengths: 60 a minute 1000 ms, 120 500 ms, 160 375 ms (arithmetic).
	common := Meter{4, 4}
	assert.Equal(t, time.Second, Tempo(60).Duration(Quarter, common))
	assert.Equal(t, 375*time.Millisecond, Tempo(160).Duration(Quarter, common))
	assert.Equal(t, time.Second, Tempo(60).Duration(3*Eighth, Meter{6, 8}))
	assert.InDelta(t, float64(Quarter), Tempo(120).Ticks(500*time.Millisecond, common), 1e-9)
	for _, text := range []string{"19", "321", "fast", "", "NaN"} {
		_, err := ParseTempo(text)
		assert.Error(t, err, text)
	}
}
