package transcribe

import (
	"math"
	"slices"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// A span is weighed as a chord as if each moment of sound in it were drawn from
// the chord's own tones, with a little left for passing notes. Scores are
// natural logarithms of likelihoods; what is said of one beat counts evidence,
// since the notes of a beat are anything but independent.

// kind is a chord type as it sounds.
type kind struct {
	typ chord.Type
	// share is how much of the sound each tone takes, by semitones above the
	// root; what is left, 7 to 9 parts in a hundred, goes to other tones. The
	// root and third speak loudest, fifths and sevenths are often one voice
	// (common practice, no source). Only rough: a seventh of .25 instead of
	// .18 hears C7 in each C with a B flat in passing.
	share map[int]float64
	prior float64 // cost in nats, once a span
	signs []int   // tones without which it is another chord
	alien float64 // cost in nats of each tone outside the key
}

// kinds are the chords that pop annotations use. The prior says how seldom a
// type is written: major and minor nearly always, sevenths where the seventh
// stays, the others where nothing else fits (common practice, no source). With
// sus4 at 0 each C with a fourth in passing becomes a suspension; with the
// sevenths at 3 a seventh of half a bar is lost.
var kinds = []kind{
	{chord.Major, map[int]float64{0: .36, 4: .30, 7: .26}, 0, nil, keyCost},
	{chord.Minor, map[int]float64{0: .36, 3: .30, 7: .26}, 0, nil, keyCost},
	{chord.Dominant, map[int]float64{0: .30, 4: .25, 7: .20, 10: .18}, 1.2, []int{10}, keyCost},
	{chord.MinorSeventh, map[int]float64{0: .29, 3: .25, 7: .21, 10: .18}, 1.2, []int{10}, keyCost},
	{chord.MajorSeventh, map[int]float64{0: .29, 4: .25, 7: .21, 11: .18}, 1.4, []int{11}, keyCost},
	{chord.Sus4, map[int]float64{0: .34, 5: .30, 7: .28}, 1.8, []int{5}, keyCost},
	{chord.Sus2, map[int]float64{0: .34, 2: .29, 7: .29}, 2.4, []int{2}, keyCost},
	{chord.DominantSus4, map[int]float64{0: .30, 5: .24, 7: .20, 10: .19}, 2.4, []int{5, 10}, keyCost},
	{chord.Diminished, map[int]float64{0: .31, 3: .31, 6: .30}, 2.2, []int{3, 6}, leadingCost},
	{chord.HalfDiminished, map[int]float64{0: .26, 3: .25, 6: .23, 10: .19}, 2.4, []int{3, 6, 10}, keyCost},
	{chord.DiminishedSeventh, map[int]float64{0: .25, 3: .23, 6: .23, 9: .22}, 2.6, []int{3, 6, 9}, leadingCost},
	{chord.Augmented, map[int]float64{0: .32, 4: .31, 8: .29}, 3.0, []int{4, 8}, keyCost},
	{chord.Sixth, map[int]float64{0: .28, 4: .25, 7: .20, 9: .20}, 3.2, []int{9}, keyCost},
	{chord.MinorSixth, map[int]float64{0: .28, 3: .25, 7: .20, 9: .20}, 3.2, []int{9}, keyCost},
}

const (
	// evidence is what a full beat of sound says, in nats for a likelihood of
	// 1/e. At 10, approach notes and early chords become chords of their own;
	// at 2, a suspension of half a bar is run together with its resolution.
	evidence = 5.0
	// keyCost is what each tone outside the key costs a chord, in nats a span.
	// At 0, open fifths on the second and sixth degree come out major.
	keyCost = 0.6
	// leadingCost is that of chords which lead from outside the key by nature.
	leadingCost = 0.3
	// noSign is what a chord pays for the tone that makes it (the seventh of
	// C7, the fourth of Csus4) where it takes none of the sound, in nats a
	// span, and enough the share of the sound from which it pays nothing. At
	// 0.03 a seventh touched once in a bar is written down.
	noSign = 6.0
	enough = 0.15

	// passing and passingAlien are the share of the sound that each tone
	// outside the chord takes, in the key and out of it. With 0.06 in the key,
	// sevenths pass for passing notes; with 0.003 out of it, a chromatic
	// approach note is a chord.
	passing      = 0.020
	passingAlien = 0.012
)

// tone is a kind's tone made ready for adding up.
type tone struct {
	above int
	log   float64 // of its share
	sign  bool
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
				mk.tones = append(mk.tones, tone{above, math.Log(share), slices.Contains(k.signs, above)})
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

// rootLeast is the share of the sound a root needs to be thought of, for speed;
// a bass note is thought of at any share.
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
				if t.sign && s.share[c] < enough {
					cost += noSign * (1 - s.share[c]/enough)
				}
				if !own[c] {
					cost += k.alien * keyWeight
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
