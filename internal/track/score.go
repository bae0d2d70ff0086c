package track

import (
	"math"

	"undersong/internal/chord"
	"undersong/internal/pitch"
)

// A span is weighed as a chord as if each moment of sound in it were drawn from
// the chord's own tones, with a little left for passing notes. Scores are
// natural logarithms of likelihoods; what is said of one beat counts evidence,
// since the notes of a beat are anything but independent.

// kind is a chord type as it sounds: how much of the sound each tone takes, by
// semitones above the root, and how it fares without one of them.
type kind struct {
	typ     chord.Type
	share   map[int]float64
	prior   float64 // cost in nats, once a span
	lacks   map[int]float64
	foreign float64 // cost of each tone outside the key
}

// What a chord pays, in nats, for a tone that hardly sounds.
const (
	noRoot  = 2.5 // E-G-B is Em, not C without root
	noThird = 1.0 // C-G may be C or Cm, which the key decides, before Csus4
	noFifth = 0.4 // C-E is C
	noSign  = 6.0 // without its seventh a C7 is a C; without its fourth Csus4 too
)

// present share of the sound from which a tone is there.
const enough = 0.06

// kinds are the chords that pop annotations use, dearest last. A type's prior
// says how often it is written: major and minor nearly always, sevenths where
// the seventh stays, the others where nothing else fits (common practice, no
// source; counted in the bench). Lower sus4 by 1 and each C with a passing F
// becomes Csus4; raise maj7 by 1 and the half bar of Fmaj7 is an F.
var kinds = []kind{
	{chord.Major, map[int]float64{0: .36, 4: .30, 7: .26}, 0, map[int]float64{0: noRoot, 4: noThird, 7: noFifth}, keyCost},
	{chord.Minor, map[int]float64{0: .36, 3: .30, 7: .26}, 0, map[int]float64{0: noRoot, 3: noThird, 7: noFifth}, keyCost},
	{chord.Dominant, map[int]float64{0: .30, 4: .25, 7: .20, 10: .18}, 1.2, map[int]float64{0: noRoot, 4: noThird, 7: noFifth / 2, 10: noSign}, keyCost},
	{chord.MinorSeventh, map[int]float64{0: .29, 3: .25, 7: .21, 10: .18}, 1.2, map[int]float64{0: noRoot, 3: noThird, 7: noFifth / 2, 10: noSign}, keyCost},
	{chord.MajorSeventh, map[int]float64{0: .29, 4: .25, 7: .21, 11: .18}, 1.4, map[int]float64{0: noRoot, 4: noThird, 7: noFifth / 2, 11: noSign}, keyCost},
	{chord.Sus4, map[int]float64{0: .34, 5: .30, 7: .28}, 1.8, map[int]float64{0: noRoot, 5: noSign, 7: noThird}, keyCost},
	{chord.Sus2, map[int]float64{0: .34, 2: .29, 7: .29}, 2.4, map[int]float64{0: noRoot, 2: noSign, 7: noThird}, keyCost},
	{chord.DominantSus4, map[int]float64{0: .30, 5: .24, 7: .20, 10: .19}, 2.4, map[int]float64{0: noRoot, 5: noSign, 7: noThird, 10: noSign}, keyCost},
	{chord.Diminished, map[int]float64{0: .31, 3: .31, 6: .30}, 2.2, map[int]float64{0: noRoot, 3: noSign, 6: noSign}, keyCost / 2},
	{chord.HalfDiminished, map[int]float64{0: .26, 3: .25, 6: .23, 10: .19}, 2.4, map[int]float64{0: noRoot, 3: noSign, 6: noSign, 10: noSign}, keyCost},
	{chord.DiminishedSeventh, map[int]float64{0: .25, 3: .23, 6: .23, 9: .22}, 2.6, map[int]float64{0: noRoot, 3: noSign, 6: noSign, 9: noSign}, keyCost / 2},
	{chord.Augmented, map[int]float64{0: .32, 4: .31, 8: .29}, 3.0, map[int]float64{0: noRoot, 4: noSign, 8: noSign}, keyCost},
	{chord.Sixth, map[int]float64{0: .28, 4: .25, 7: .20, 9: .20}, 3.2, map[int]float64{0: noRoot, 4: noSign, 7: noThird, 9: noSign}, keyCost},
	{chord.MinorSixth, map[int]float64{0: .28, 3: .25, 7: .20, 9: .20}, 3.2, map[int]float64{0: noRoot, 3: noSign, 7: noThird, 9: noSign}, keyCost},
}

const (
	// evidence is what a full beat of sound says, in nats for a likelihood of
	// 1/e. Higher, each passing chord of one beat is written down; lower, the
	// half bars of a quick progression are run together.
	evidence = 5.0
	// keyCost is what each tone outside the key costs a chord, once a span.
	keyCost = 0.6

	// passing is the share of the sound that tones outside the chord take,
	// each: more where the key has them.
	passing      = 0.020
	passingAlien = 0.012
)

// tone is a kind's tone made ready for adding up.
type tone struct {
	above int
	log   float64
	lack  float64
}

type model struct {
	kinds []modelKind
	own   [2][12]bool // scale of major and minor from the tonic, raised seventh in
}

type modelKind struct {
	kind
	tones []tone
	set   chord.Set
}

func newModel() *model {
	m := &model{}
	for _, k := range kinds {
		mk := modelKind{kind: k, set: k.typ.Set()}
		for above := range 12 {
			if share, ok := k.share[above]; ok {
				mk.tones = append(mk.tones, tone{above, math.Log(share), k.lacks[above]})
			}
		}
		m.kinds = append(m.kinds, mk)
	}
	for i, steps := range [2][]int{{0, 2, 4, 5, 7, 9, 11}, {0, 2, 3, 5, 7, 8, 10, 11}} {
		for _, s := range steps {
			m.own[i][s] = true
		}
	}
	return m
}

// reading is what a span is taken for.
type reading struct {
	root, bass pitch.Class
	typ        chord.Type // None for silence
	score      float64
}

// span is what sounds in a stretch of cells.
type span struct {
	share  [12]float64 // of the sound, adds up to 1
	upper  [12]float64 // of it, without the bass
	beats  float64     // of sound
	before reading     // the span before
	change float64     // cost of a new chord here
	bass   [12]float64 // of the bass, in beats
	key    pitch.Key
	sure   float64
}

// rootLeast is the share of the sound a root needs to be thought of.
const rootLeast = 0.02

// best is the likeliest reading of a span.
func (m *model) best(s *span) reading {
	out := reading{score: math.Inf(-1)}
	tonic, mode := s.key.Tonic.Class(), 0
	if s.key.Minor {
		mode = 1
	}
	own := &m.own[mode]
	var non [12]float64 // log of the share of each class outside the chord
	base := 0.0
	for c := range non {
		p := passingAlien
		if own[pitch.Class(c).Above(tonic)] {
			p = passing
		}
		non[c] = math.Log(p)
		base += s.share[c] * non[c]
	}
	keyWeight := min(1, 0.4+4*s.sure)
	for root := range 12 {
		if s.share[root] < rootLeast && s.bass[root] == 0 {
			continue
		}
		for i := range m.kinds {
			k := &m.kinds[i]
			fit, cost := base, k.prior
			for _, t := range k.tones {
				c := (root + t.above) % 12
				fit += s.share[c] * (t.log - non[c])
				if s.share[c] < enough {
					cost += t.lack * (1 - s.share[c]/enough)
				}
				if !own[pitch.Class(c).Above(tonic)] {
					cost += k.foreign * keyWeight
				}
			}
			score := evidence*s.beats*fit - cost
			if score+slashMost*evidence*s.beats <= out.score {
				continue // the bass cannot make up for it
			}
			if b := m.bassOf(s, pitch.Class(root), k, &non); score+b.score > out.score {
				b.score += score
				out = b
			}
		}
	}
	return out
}

// How the bass moves within one chord: mostly on its own note, else to the
// root or the fifth, seldom elsewhere (walking, approach notes). Shares.
const (
	bassStays  = 0.66
	bassRoot   = 0.16
	bassFifth  = 0.20
	bassTone   = 0.06
	bassWalks  = 0.02
	bassWeight = 1.0 // nats a beat for a likelihood of 1/e
)

// What a bass other than the root costs, in nats a span.
const (
	overThird   = 1.2
	overFifth   = 1.7
	overSeventh = 1.8
	overBelow   = 3.2 // a seventh or second that the chord above has not: Am/G, F/G
	overOther   = 5.0
	// slashShare is how much of the sound a foreign bass takes at most, and
	// slashMost what that can be worth.
	slashShare = 0.2
	slashMost  = slashShare * 3.2
	// overSixth is what a sixth chord costs over anything but its root: C6/G
	// is Am7/G, or Am/G.
	overSixth = 4.0
	// onlyBass is what a seventh costs that only the bass plays: Am/G, which
	// is Am with a walking bass, before Am7/G.
	onlyBass = 2.5
)

// What it costs to go on from the span before.
const (
	// goesOn is what the same chord again costs: a long chord is found in
	// pieces.
	goesOn = 0.3
	// rocks is what the same chord on another of root and fifth costs beyond a
	// change: the left hand alternates, and the chord is one.
	rocks = 2.5
)

// bassOf is the likeliest bass of a chord, with its score and what the step
// from the chord before costs. A bass foreign to the chord explains itself.
func (m *model) bassOf(s *span, root pitch.Class, k *modelKind, non *[12]float64) reading {
	best := reading{root, root, k.typ, m.bassScore(s, root, root, k)}
	for c := range s.bass {
		if s.bass[c] == 0 || pitch.Class(c) == root {
			continue
		}
		v := m.bassScore(s, root, pitch.Class(c), k)
		if above := pitch.Class(c).Above(root); !k.set.Has(pitch.Class(above)) && isSlash(above) {
			own := min(max(s.share[c]-s.upper[c], 0), slashShare)
			v += evidence * s.beats * own * (math.Log(slashShare) - non[c])
		}
		if v > best.score {
			best.bass, best.score = pitch.Class(c), v
		}
	}
	return best
}

// step is what it costs to go on with a chord after the span before.
func (s *span) step(root, bass pitch.Class, typ chord.Type) float64 {
	b := &s.before
	if b.typ != typ || b.root != root {
		return s.change
	}
	if b.bass == bass {
		return min(s.change, goesOn)
	}
	if fifth := root.Up(7); (b.bass == root || b.bass == fifth) && (bass == root || bass == fifth) {
		return s.change + rocks
	}
	return s.change
}

func (m *model) bassScore(s *span, root, bass pitch.Class, k *modelKind) float64 {
	above := bass.Above(root)
	v := -overCost(above, k) - s.step(root, bass, k.typ)
	if above >= 9 && k.set.Has(pitch.Class(above)) && s.upper[bass] < enough {
		v -= onlyBass
	}
	for c, w := range s.bass {
		if w == 0 {
			continue
		}
		p := bassWalks
		switch {
		case pitch.Class(c) == bass:
			p = bassStays
		case pitch.Class(c) == root:
			p = bassRoot
		case pitch.Class(c).Above(root) == 7:
			p = bassFifth
		case k.set.Has(pitch.Class(pitch.Class(c).Above(root))):
			p = bassTone
		}
		v += bassWeight * w * math.Log(p)
	}
	return v
}

func overCost(above int, k *modelKind) float64 {
	has := k.set.Has(pitch.Class(above))
	switch {
	case above == 0:
		return 0
	case has && (k.typ == chord.Sixth || k.typ == chord.MinorSixth):
		return overSixth
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
