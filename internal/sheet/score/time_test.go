package score

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
)

// four is a score of four bars of 4/4 at 60 that slows down over the last two.
func four(beat float64) *Score {
	bar := meter.Whole
	s := &Score{Meter: meter.Meter{Num: 4, Den: 4}, Tempo: 60, Length: 4 * bar}
	for i := range meter.Ticks(4) {
		s.Bars = append(s.Bars, Bar{Number: int(i) + 1, At: i * bar, Len: bar})
	}
	if beat > 0 {
		s.Slowing = Slowing{From: 2 * bar, To: 3 * bar, Beat: beat}
	}
	return s
}

func TestAnEvenTempoIsCountedAsBefore(t *testing.T) {
	s := four(0)
	assert.False(t, s.Slows())
	for at := meter.Ticks(-960); at < 20000; at += 7 {
		assert.Equal(t, s.Tempo.Duration(at, s.Meter), s.Time(at))
		assert.Equal(t, float64(at), s.Elapsed(at))
	}
	assert.Equal(t, s.Tempo.Ticks(1234567, s.Meter), s.At(1234567))
}

// Friberg and Sundberg 1999: the tempo is the cube root of a straight line, here
// from 1 down to 1/8 over the four beats of bar 3. The time of a beat is summed
// up from the tempi on the way.
func TestTheRitardandoOfRunners(t *testing.T) {
	const steps = 1_000_000
	s := four(2)
	sum := 0.0
	for i := range steps {
		x := (float64(i) + 0.5) / steps
		v := 1 - (1-1.0/8)*x
		// cube root by Newton's method, so that the test does not share the code's
		r := 0.8
		for range 30 {
			r -= (r*r*r - v) / (3 * r * r)
		}
		sum += 4 / r / steps
	}
	assert.InDelta(t, sum, s.Lasts(2*meter.Whole, 3*meter.Whole).Seconds(), 1e-6)
	assert.Equal(t, 8*time.Second, s.Time(2*meter.Whole), "the tempo before stays")
	assert.InDelta(t, 2, s.Lasts(3*meter.Whole, 3*meter.Whole+meter.Quarter).Seconds(), 1e-8, "from the last stroke on a beat is twice as long")
}

func TestASlowingBeatIsLongerThanTheOneBefore(t *testing.T) {
	s := four(1.6)
	last := time.Duration(0)
	for at := 2 * meter.Whole; at < 3*meter.Whole; at += meter.Quarter {
		long := s.Lasts(at, at+meter.Quarter)
		assert.Greater(t, long, max(last, time.Second))
		last = long
	}
	assert.Less(t, last, 1600*time.Millisecond)
}

func TestTimeAndPlaceGoBothWays(t *testing.T) {
	for _, beat := range []float64{0, 1.01, 1.5, 3} {
		s := four(beat)
		for at := meter.Ticks(0); at <= s.Length+meter.Whole; at += 31 {
			assert.InDelta(t, float64(at), s.At(s.Time(at)), 0.005, "beat %g at %d", beat, at)
			for _, from := range []meter.Ticks{0, 2*meter.Whole + 100, 3*meter.Whole + 5} {
				if from <= at {
					require.InDelta(t, float64(at-from), s.Ahead(from, s.Elapsed(at)-s.Elapsed(from)), 0.001)
				}
			}
		}
	}
}

func TestAPartSlowsDownAsTheWholeDoes(t *testing.T) {
	s := four(1.7)
	for first := range 4 {
		p := s.Part(first, 3)
		start := s.Bars[first].At
		for at := meter.Ticks(0); at <= p.Length; at += 120 {
			assert.InDelta(t, s.Lasts(start, start+at).Seconds(), p.Time(at).Seconds(), 1e-8)
		}
	}
}
