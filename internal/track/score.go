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
	kinds          []modelKind
	own            [2][12][12]bool // classes of each major and minor key, raised seventh in
	passing, alien float64         // logarithms
}

type modelKind struct {
	kind
	tones []tone
	set   chord.Set
	bass  [12]bassLine
}

func newModel() *model {
	m := &model{passing: math.Log(passing), alien: math.Log(passingAlien)}
	for _, k := range kinds {
		mk := modelKind{kind: k, set: k.typ.Set()}
		for above := range 12 {
			if share, ok := k.share[above]; ok {
				mk.tones = append(mk.tones, tone{above, math.Log(share), k.lacks[above]})
			}
		}
		for bass := range mk.bass {
			mk.bass[bass] = newBassLine(bass, &mk)
		}
		m.kinds = append(m.kinds, mk)
	}
	for i, steps := range [2][]int{{0, 2, 4, 5, 7, 9, 11}, {0, 2, 3, 5, 7, 8, 10, 11}} {
		for tonic := range 12 {
			for _, s := range steps {
				m.own[i][tonic][(tonic+s)%12] = true
			}
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
	share  [12]float64   // of the sound, adds up to 1
	upper  [12]float64   // of it, without the bass
	beats  float64       // of sound
	before reading       // the span before
	change float64       // cost of a new chord here
	bass   [12]float64   // of the bass, in beats
	basses []pitch.Class // those with a weight
	key    pitch.Key
	sure   float64
}

// rootLeast is the share of the sound a root needs to be thought of.
const rootLeast = 0.04

// best is the likeliest reading of a span.
func (m *model) best(s *span) reading {
	out := reading{score: math.Inf(-1)}
	own := m.ownOf(s.key)
	non, base := m.outside(s, own)
	keyWeight := min(1, 0.4+4*s.sure)
	for root := range 12 {
		if s.share[root] < rootLeast && s.bass[root] == 0 {
			continue
		}
		for i := range m.kinds {
			k := &m.kinds[i]
			fit, cost := base, k.prior
			for _, t := range k.tones {
				c := wrap(root + t.above)
				fit += s.share[c] * (t.log - non[c])
				if s.share[c] < enough {
					cost += t.lack * (1 - s.share[c]/enough)
				}
				if !own[c] {
					cost += k.foreign * keyWeight
				}
			}
			score := evidence*s.beats*fit - cost
			if score+slashMost*evidence*s.beats <= out.score {
				continue // the bass cannot make up for it
			}
			if b := k.bassOf(s, pitch.Class(root), &non); score+b.score > out.score {
				b.score += score
				out = b
			}
		}
	}
	return out
}

// ownOf marks the classes of a key.
func (m *model) ownOf(key pitch.Key) *[12]bool {
	mode := 0
	if key.Minor {
		mode = 1
	}
	return &m.own[mode][key.Tonic.Class()]
}

// outside is the logarithm of the share that each class has where it is no tone
// of the chord, and the score of a chord without any tones.
func (m *model) outside(s *span, own *[12]bool) (non [12]float64, base float64) {
	for c := range non {
		non[c] = m.alien
		if own[c] {
			non[c] = m.passing
		}
		base += s.share[c] * non[c]
	}
	return non, base
}
