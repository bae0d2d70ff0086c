package transcribe

import (
	"math"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// bassLine is a profile's bass made ready for adding up: for a bass so many
// semitones above the root, what it costs, and the logarithm of how often a
// bass note so many semitones above the root is heard, times bassWeight.
type bassLine struct {
	cost  float64
	notes [12]float64
}

func newBassLine(bass int, k *preparedProfile) bassLine {
	line := bassLine{cost: overCost(bass, k)}
	for above := range line.notes {
		p := bassWalks
		switch {
		case above == bass:
			p = bassStays
		case above == 0:
			p = bassRoot
		case above == 7:
			p = bassFifth
		case k.set.Has(pitch.Class(above)):
			p = bassTone
		}
		line.notes[above] = bassWeight * math.Log(p)
	}
	return line
}

// bassOf is the likeliest bass of a chord, with its score and what the step
// from the chord before costs. A bass foreign to the chord explains itself.
func (k *preparedProfile) bassOf(s *span, root pitch.Class, non *[12]float64) candidate {
	best := candidate{root, root, k.typ, k.bassScore(s, root, 0)}
	for _, c := range s.basses {
		if c == root {
			continue
		}
		above := wrap(int(c) - int(root) + 12)
		v := k.bassScore(s, root, above)
		if !k.set.Has(pitch.Class(above)) && isSlash(above) {
			own := min(max(s.share[c]-s.upper[c], 0), slashShare)
			v += evidence * s.beats * own * (logSlash - non[c])
		}
		if v > best.score {
			best.bass, best.score = c, v
		}
	}
	return best
}

func (k *preparedProfile) bassScore(s *span, root pitch.Class, above int) float64 {
	line := &k.bass[above]
	bass := pitch.Class(wrap(int(root) + above))
	v := -line.cost - s.step(root, bass, k.typ)
	for _, c := range s.basses {
		v += s.bass[c] * line.notes[wrap(int(c)-int(root)+12)]
	}
	return v
}

// wrap folds 0 to 23 into 0 to 11.
func wrap(n int) int {
	if n >= 12 {
		return n - 12
	}
	return n
}

var logSlash = math.Log(slashShare)

// step is what it costs to go on with a chord after the span before.
func (s *span) step(root, bass pitch.Class, typ chord.Type) float64 {
	b := &s.before
	if b.typ == typ && b.root == root && b.bass == bass {
		return min(s.change, goesOn)
	}
	return s.change
}

func overCost(above int, k *preparedProfile) float64 {
	has := k.set.Has(pitch.Class(above))
	switch {
	case above == 0:
		return 0
	case has && (above == 3 || above == 4):
		return overThird
	case has && above >= 6 && above <= 8:
		return overFifth
	case has && above >= 9:
		return overSeventh
	case isSlash(above):
		return overBelow
	}
	return overOther
}

// isSlash reports the foreign basses that songs write: C/Bb and C/B on the way
// down from C, and C/D for D without its third. C/A is Am7 and C/Ab Abmaj7.
func isSlash(above int) bool { return above == 2 || above == 10 || above == 11 }
