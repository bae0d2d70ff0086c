package harmony

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// Sums of the published numbers guard against a slip in copying.
func TestProfilesAreAsPublished(t *testing.T) {
	sum := func(p [12]float64) (s float64) {
		for _, v := range p {
			s += v
		}
		return s
	}
	assert.InDelta(t, 41.79, sum(majorProfile), 1e-9)
	assert.InDelta(t, 44.51, sum(minorProfile), 1e-9)
}

func play(t testing.TB, f *KeyFinder, chords string) {
	t.Helper()
	for _, s := range strings.Fields(chords) {
		c, err := chord.Parse(s)
		require.NoError(t, err)
		f.Add(c.Bass.Class(), 2)
		for _, n := range c.Notes() {
			f.Add(n.Class(), 2)
		}
	}
}

// Cadences that settle a key: Open Music Theory v1, "Harmonic syntax - the
// idealized phrase"; in minor its "Classical cadence types".
func TestCadencesTellTheKeyInAllTwelve(t *testing.T) {
	for root := pitch.Class(0); root < 12; root++ {
		for _, minor := range []bool{false, true} {
			k := pitch.KeyAt(root, minor)
			phrase := "C Am F G C"
			from := pitch.Key{}
			if minor {
				phrase, from = "Am Dm F E Am", pitch.Key{Tonic: pitch.NoteAtFifths(3), Minor: true}
			}
			var f KeyFinder
			for _, s := range strings.Fields(phrase) {
				c, err := chord.Parse(s)
				require.NoError(t, err)
				play(t, &f, c.Transpose(from.To(k)).String())
			}
			got, sure := f.Best()
			assert.Equal(t, k, got)
			assert.Greater(t, sure, 0.02, k)
		}
	}
}

func TestNothingHeardIsNoKey(t *testing.T) {
	var f KeyFinder
	k, sure := f.Best()
	assert.Equal(t, pitch.Key{}, k)
	assert.Zero(t, sure)
	for c := pitch.Class(0); c < 12; c++ { // every class alike
		f.heard[c] = 3
	}
	_, sure = f.Best()
	assert.Zero(t, sure)
}

func TestBadWeightsArePassedOver(t *testing.T) {
	var f KeyFinder
	for _, w := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		f.Add(3, w)
	}
	f.Add(-1, 1)
	f.Add(12, 1)
	assert.Equal(t, [12]float64{}, f.heard)
}

func TestAChangeOfKeyIsFollowed(t *testing.T) {
	f := KeyFinder{HalfLife: 40}
	for range 6 {
		play(t, &f, "C F G C")
	}
	k, _ := f.Best()
	assert.Equal(t, "C", k.String())
	for range 6 {
		play(t, &f, "Eb Ab Bb Eb")
	}
	k, _ = f.Best()
	assert.Equal(t, "Eb", k.String())

	never := KeyFinder{HalfLife: math.Inf(1)}
	for range 12 {
		play(t, &never, "C F G C")
	}
	play(t, &never, "Eb Ab Bb Eb")
	k, _ = never.Best()
	assert.Equal(t, "C", k.String())
}

func TestResetForgets(t *testing.T) {
	var f KeyFinder
	play(t, &f, "A E A")
	f.Reset()
	assert.Equal(t, KeyFinder{}, f)
}

func TestKeyFinderAllocatesNothing(t *testing.T) {
	var f KeyFinder
	play(t, &f, "C F G C")
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		f.Add(7, 1)
		f.Best()
	}))
}

func BenchmarkBest(b *testing.B) {
	var f KeyFinder
	play(b, &f, "C F G7 C")
	b.ReportAllocs()
	for b.Loop() {
		f.Best()
	}
}
