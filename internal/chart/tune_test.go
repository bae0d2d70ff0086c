package chart

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/meter"
	"undersong/internal/pitch"
)

// agreement is the share of its time on which a bar's tune has a tone of the
// chord, in ticks, and whether it has one on a beat.
func agreement(c *Chart, b *Bar) (in, all meter.Ticks, onBeat bool) {
	for _, n := range b.Melody {
		all += n.Dur
		if ch := b.ChordAt(n.At); ch.IsNone() || ch.Set().Has(n.Pitch.Class()) {
			in += n.Dur
			onBeat = onBeat || n.At%c.Meter.Beat() == 0
		}
	}
	return in, all, onBeat || all == 0
}

// Traditional tunes agree with their chords: slips of the pen show here. The
// limits are ours.
func TestDemoTunesAgreeWithTheirChords(t *testing.T) {
	sung := 0
	for _, name := range demoNames {
		c := load(t, name)
		var in, all meter.Ticks
		for _, b := range c.Bars() {
			i, a, onBeat := agreement(c, b)
			in, all = in+i, all+a
			assert.True(t, onBeat, "%s bar %d has no tone of its chord on a beat", name, b.Number)
		}
		if all > 0 {
			sung++
			assert.Greater(t, float64(in)/float64(all), 0.75, name)
		}
	}
	assert.Equal(t, 13, sung)
}

// The tunes lie well for a voice: no leap beyond an octave, within A3 and F5, and
// every tie leads to its own note.
func TestDemoTunesAreSingable(t *testing.T) {
	for _, name := range demoNames {
		c := load(t, name)
		var before pitch.Pitch
		tied := false
		for _, b := range c.Bars() {
			for _, n := range b.Melody {
				key := n.Pitch.Num()
				require.True(t, key >= 57 && key <= 77, "%s bar %d: %s", name, b.Number, n.Pitch)
				if before.Octave > 0 {
					require.LessOrEqual(t, max(key-before.Num(), before.Num()-key), pitch.Num(12), "%s bar %d", name, b.Number)
				}
				require.True(t, !tied || before == n.Pitch, "%s bar %d", name, b.Number)
				before, tied = n.Pitch, n.Tied
			}
		}
		assert.False(t, tied, name)
	}
}
