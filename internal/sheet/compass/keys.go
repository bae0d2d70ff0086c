package compass

import (
	"cmp"
	"slices"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
)

// Fit is a key for a voice, and how the tune lies in it as it is sung.
type Fit struct {
	Key       pitch.Key
	Semitones int // the key against the chart's: -5 to 6
	Octaves   int // the tune as sung against the chart's tune in that key: -1 where a low voice sings it an octave lower
	Lie       Lie
	Below     int // semitones that the lowest note lies below the range; 0 where it fits
	Above     int // semitones that the highest lies above
	Cost      float64
}

// Fits reports whether the whole tune lies in the range.
func (f Fit) Fits() bool { return f.Below == 0 && f.Above == 0 }

// What a key costs, in semitones of a tune that lies too high or too low in the
// voice. Taste, tried on the shipped charts; no source.
const (
	costOutside = 20  // a semitone beyond the range
	costMoved   = 0.4 // a semitone between the key and the sheet's own: what is near stays familiar
	costSign    = 0.6 // a sharp or flat of the key signature: what lies easily under the hands
)

// Keys are all keys for a voice, best first: ok is false for a chart without a tune.
func Keys(c *chart.Chart, r Range) (fits []Fit, ok bool) {
	home, _, ok := Of(c)
	if !ok {
		return nil, false
	}
	for up := -5; up <= 6; up++ {
		key := pitch.KeyAt(c.Key.Tonic.Class().Up(up), c.Key.Minor)
		if up == 0 {
			key = c.Key
		}
		fits = append(fits, best(home, key, up, r))
	}
	slices.SortStableFunc(fits, func(a, b Fit) int { return cmp.Compare(a.Cost, b.Cost) })
	return fits, true
}

// best is the octave in which a key suits best.
func best(home Lie, key pitch.Key, up int, r Range) Fit {
	var best Fit
	for octaves := -3; octaves <= 3; octaves++ {
		f := Fit{Key: key, Semitones: up, Octaves: octaves, Lie: home.moved(up+12*octaves, key)}
		f.Below = max(0, int(r.Low.Num()-f.Lie.Low.Num()))
		f.Above = max(0, int(f.Lie.High.Num()-r.High.Num()))
		middle := float64(f.Lie.From.Num()+f.Lie.To.Num()-r.Low.Num()-r.High.Num()) / 2
		f.Cost = costOutside*float64(f.Below+f.Above) + abs(middle) + costMoved*abs(float64(up)) + costSign*abs(float64(key.Fifths()))
		if octaves == -3 || f.Cost < best.Cost {
			best = f
		}
	}
	return best
}

func abs(v float64) float64 { return max(v, -v) }

// moved is where the tune lies in another key, spelled there.
func (l Lie) moved(semitones int, key pitch.Key) Lie {
	if semitones == 0 {
		return l
	}
	for _, p := range []*pitch.Pitch{&l.Low, &l.High, &l.From, &l.To} {
		n := p.Num() + pitch.Num(semitones)
		*p = n.Spell(key.Spell(n.Class()))
	}
	return l
}
