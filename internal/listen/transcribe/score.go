package transcribe

import (
	"math"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// A span is weighed as a chord as if each moment of sound in it were drawn from
// the chord's own tones, with a little left for passing notes. Scores are
// natural logarithms of likelihoods; what is said of one beat counts evidence,
// since the notes of a beat are anything but independent.

// profile is a chord type as it sounds.
type profile struct {
	typ       chord.Type
	share     map[int]float64 // of the sound, of each tone by semitones above the root
	prior     float64         // cost in nats, once a span
	essential chord.Set       // tones without which it is another chord
	outOfKey  float64         // cost in nats of each tone outside the key
}

// noTones is the empty set.
const noTones = chord.Set(0)

// tone is a profile's tone made ready for adding up.
type tone struct {
	above     int
	log       float64 // of its share
	essential bool
}

type model struct {
	kinds                    []preparedProfile
	own                      [2][12][12]bool // classes of each major and minor key, raised seventh in
	passing, passingOutOfKey float64         // logarithms
}

type preparedProfile struct {
	profile
	tones []tone
	set   chord.Set
	bass  [12]bassLine
}

func newModel() *model {
	m := &model{passing: math.Log(passingShare), passingOutOfKey: math.Log(passingOutOfKeyShare)}
	for _, k := range profiles {
		mk := preparedProfile{profile: k, set: k.typ.Set()}
		for above := range 12 {
			if share, ok := k.share[above]; ok {
				mk.tones = append(mk.tones, tone{above, math.Log(share), k.essential.Has(pitch.Class(above))})
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

// candidate is what a span is taken for.
type candidate struct {
	root, bass pitch.Class
	typ        chord.Type // None for silence
	score      float64
}

// span is what sounds in a stretch of cells.
type span struct {
	share  [12]float64   // of the sound, adds up to 1
	upper  [12]float64   // of it, without the bass
	beats  float64       // of sound
	before candidate     // the span before
	change float64       // cost of a new chord here
	bass   [12]float64   // of the bass, in beats
	basses []pitch.Class // those with a weight
	key    pitch.Key
	sure   float64
}

// best is the likeliest candidate for a span.
func (m *model) best(s *span) candidate {
	out := candidate{score: math.Inf(-1)}
	own := m.ownOf(s.key)
	non, base := m.outside(s, own)
	keyWeight := min(1, keyLeast+keySure*s.sure)
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
				if t.essential && s.share[c] < essentialShare {
					cost += lacksEssential * (1 - s.share[c]/essentialShare)
				}
				if !own[c] {
					cost += k.outOfKey * keyWeight
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
		non[c] = m.passingOutOfKey
		if own[c] {
			non[c] = m.passing
		}
		base += s.share[c] * non[c]
	}
	return non, base
}
