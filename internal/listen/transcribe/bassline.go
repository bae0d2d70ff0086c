package transcribe

import (
	"math"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// How the bass moves within one chord: mostly on its own note, else to the
// root or the fifth, seldom elsewhere. As shares of its time (common practice,
// no source).
const (
	bassStays = 0.66 // at 0.95, every alternating bass is two chords
	bassRoot  = 0.16 // under an inversion; at 0.4, a walking bass begins C/E
	bassFifth = 0.22 // at 0.05, root and fifth are C and C/G; at 0.4, C/G in a bass line down is C
	bassTone  = 0.06 // other tones of the chord; at 0.2, C/E on one beat in four is missed
	bassWalks = 0.02 // foreign tones; at 0.003, one wrong bass note turns the chord over
	// bassWeight is what a beat of bass says, in nats for a likelihood of 1/e.
	// At 0.4, C/G in a bass line down is C; at 2.5, a walking bass makes C/E of C.
	bassWeight = 1.0
)

// What a bass other than the root costs, in nats a span.
const (
	overThird   = 1.2 // at 0.2, Em7 without its root is G/B
	overFifth   = 1.7 // at 0.4, root and fifth are C and C/G; at 4, C/G is lost
	overSeventh = 1.8
	overBelow   = 3.2 // a step that the chord has not: Am/G, F/G; at 1, passing notes make C/D
	overOther   = 5.0
)

// A foreign bass explains itself: it is heard apart from the chord above.
const (
	// slashShare is how much of the sound it takes at most. At 0.05, Am/G is
	// Am7/G; at 0.35, a careless pedal makes slash chords.
	slashShare = 0.2
	// slashMost bounds what that is worth, for a quick way out.
	slashMost = slashShare * 3.2
)

// goesOn is what the same chord again costs, in nats: a long chord is found in
// pieces. At 1.5, a passing note is rather taken for a change.
const goesOn = 0.3

// bassLine is a kind's bass made ready for adding up: for a bass so many
// semitones above the root, what it costs, and the logarithm of how often a
// bass note so many semitones above the root is heard, times bassWeight.
type bassLine struct {
	cost  float64
	notes [12]float64
}

func newBassLine(bass int, k *modelKind) bassLine {
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
func (k *modelKind) bassOf(s *span, root pitch.Class, non *[12]float64) reading {
	best := reading{root, root, k.typ, k.bassScore(s, root, 0)}
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

func (k *modelKind) bassScore(s *span, root pitch.Class, above int) float64 {
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

func overCost(above int, k *modelKind) float64 {
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
