package transcribe

import (
	"math"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// The plain matcher against which all is measured: nine types, each beat for
// itself, durations for weights, the root on the bass preferred.
var plainTypes = []chord.Type{
	chord.Major, chord.Minor, chord.Dominant, chord.MajorSeventh, chord.MinorSeventh,
	chord.Diminished, chord.Augmented, chord.Sus4, chord.Sus2,
}

func plainMatch(notes []Note, from, to float64) chord.Chord {
	var mass [12]float64
	lowest := pitch.Num(128)
	total := 0.0
	for _, n := range notes {
		d := min(n.Off.Seconds(), to) - max(n.On.Seconds(), from)
		if d <= 0 || n.On.Seconds() < from-0.06 && d < 0.35*(to-from) || n.On.Seconds() > to-0.06 {
			continue // the end of the last chord, or the start of the next
		}
		mass[n.Key.Class()] += d
		total += d
		lowest = min(lowest, n.Key)
	}
	if total == 0 {
		return chord.Chord{}
	}
	best, bestScore := chord.Chord{}, math.Inf(-1)
	for root := pitch.Class(0); root < 12; root++ {
		for i, typ := range plainTypes {
			set := typ.Set().Up(int(root))
			in, size := 0.0, 0.0
			for c := pitch.Class(0); c < 12; c++ {
				if set.Has(c) {
					size++
					if mass[c] > 0 {
						in += mass[c] / total
						in += 0.12
					} else {
						in -= 0.12
					}
				} else {
					in -= mass[c] / total
				}
			}
			score := in - 0.09*size - 0.001*float64(i)
			if root == lowest.Class() {
				score += 0.15
			}
			if score > bestScore {
				c := chord.New(pitch.KeyAt(root, false).Tonic, typ)
				best, bestScore = c.Over(pitch.KeyAt(lowest.Class(), false).Tonic), score
			}
		}
	}
	return best
}

func plainChords(notes []Note, borders []float64) []labelled {
	var out []labelled
	for i := 0; i+1 < len(borders); i++ {
		var near []Note
		for _, n := range notes {
			if n.On.Seconds() < borders[i+1] && n.Off.Seconds() > borders[i] {
				near = append(near, n)
			}
		}
		out = append(out, labelled{borders[i], borders[i+1], plainMatch(near, borders[i], borders[i+1])})
	}
	return out
}
