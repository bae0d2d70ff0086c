package mistakes

import (
	"math/bits"
	"math/rand/v2"
	"slices"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
)

// change is other keys for the stroke of a want.
type change struct {
	want int
	keys []pitch.Num
}

// fits reports whether all changes together leave each hand in its place.
func (t *planter) fits(changes []change) bool {
	was := make([][]pitch.Num, len(changes))
	for i, c := range changes {
		was[i] = t.take.Strokes[c.want].Keys
		t.take.Strokes[c.want].Keys = c.keys
	}
	ok := true
	for _, c := range changes {
		ok = ok && t.take.Clear(c.want, c.keys)
	}
	for i, c := range changes {
		t.take.Strokes[c.want].Keys = was[i]
	}
	return ok
}

func (t *planter) wrongChord(i int, r *rand.Rand) (func(), string) {
	wants, reason := t.chordStrokes(i)
	if reason != "" {
		return nil, reason
	}
	wanted := t.s.Wants[i].Chord
	others := t.otherChords(wanted)
	r.Shuffle(len(others), func(a, b int) { others[a], others[b] = others[b], others[a] })
	for _, other := range others {
		for _, octave := range []pitch.Num{0, 12, -12} {
			changes := t.counterparts(wants, other, octave)
			if changes == nil || !t.fits(changes) {
				continue
			}
			return func() {
				for _, c := range changes {
					t.take.Strokes[c.want].Set(c.keys)
				}
				t.put(Fault{Kind: WrongChord, Keys: changes[0].keys, Detail: other.String() + " for " + wanted.String()}, wants...)
			}, ""
		}
	}
	return nil, "no other chord of the key is far enough from " + wanted.String()
}

// chordStrokes lists the wants by which the chord at want i is heard.
func (t *planter) chordStrokes(i int) ([]int, string) {
	w := &t.s.Wants[i]
	if len(w.Tones) >= 3 {
		wants := t.withoutTune(t.onset(i))
		if !t.untouched(wants) {
			return nil, "there is a mistake at this onset already"
		}
		return wants, ""
	}
	if len(w.Tones) == 2 {
		return nil, "two notes do not tell a chord"
	}
	return t.brokenChord(i)
}

// withoutTune leaves out notes of the tune that stand alone in their hand: they
// tell no chord.
func (t *planter) withoutTune(wants []int) []int {
	var kept []int
	for _, i := range wants {
		if w := &t.s.Wants[i]; w.Role != score.Melody || len(w.Tones) > 1 {
			kept = append(kept, i)
		}
	}
	return kept
}

// brokenChord lists the single notes of the harmony in the bar, where they
// begin with want i and tell a whole chord.
func (t *planter) brokenChord(i int) ([]int, string) {
	w := &t.s.Wants[i]
	var wants []int
	var heard chord.Set
	for j := range t.s.Wants {
		o := &t.s.Wants[j]
		if o.Bar != w.Bar || o.Harmony != w.Harmony || o.Role == score.Melody {
			continue // a tune tells no chord
		}
		if len(o.Tones) > 1 {
			return nil, "plant it on the chord, not on a single note"
		}
		if o.Approach || o.Tones[0].Accept == o.Allowed {
			return nil, "free notes tell no chord"
		}
		wants = append(wants, j)
		heard = heard.With(o.Tones[0].Key.Class())
	}
	switch {
	case len(wants) == 0:
		return nil, "a tune tells no chord"
	case wants[0] != i:
		return nil, "plant it on the first note of the broken chord"
	case bits.OnesCount16(uint16(heard)) < 3:
		return nil, "these notes tell no chord"
	case !t.untouched(wants):
		return nil, "there is a mistake in this broken chord already"
	}
	return wants, ""
}

// otherChords lists the major and minor triads of the key that share at most
// one note with a chord.
func (t *planter) otherChords(wanted chord.Chord) []chord.Chord {
	scale := chord.Scale(t.s.Key)
	var all []chord.Chord
	for _, n := range t.s.Key.Scale() {
		for _, kind := range []chord.Type{chord.Major, chord.Minor} {
			c := chord.New(n, kind)
			if c.Set()&^scale == 0 && bits.OnesCount16(uint16(c.Set()&wanted.Set())) <= 1 {
				all = append(all, c)
			}
		}
	}
	return all
}

// counterparts moves the wants' strokes to another chord. A whole chord that
// would lack notes of it is taken in the nearest close position; of other blocks
// it is nil then.
func (t *planter) counterparts(wants []int, other chord.Chord, octave pitch.Num) []change {
	var changes []change
	for _, i := range wants {
		var st performer.Stroke
		st.Set(counterpart(t.take.Strokes[i].Keys, t.s.Wants[i].Chord, other, octave))
		var set chord.Set
		for _, k := range st.Keys {
			set = set.With(k.Class())
		}
		if w := &t.s.Wants[i]; len(w.Tones) >= 3 && set != other.Set() {
			if !w.Whole {
				return nil
			}
			old := t.take.Strokes[i].Keys
			st.Keys = chord.Nearest(old, other.HandTones(3), slices.Min(old)+octave-6)
		}
		changes = append(changes, change{i, st.Keys})
	}
	return changes
}

// counterpart moves keys of one chord to a triad: root to root, third to third,
// fifth to fifth. What stands above goes to the root where that is missing, and
// is else left out; notes foreign to the chord move with the root.
func counterpart(keys []pitch.Num, from, to chord.Chord, octave pitch.Num) []pitch.Num {
	shift := pitch.Num(to.Root.Class().Above(from.Root.Class()))
	if shift > 6 {
		shift -= 12
	}
	shift += octave
	rooted := false
	for _, k := range keys {
		rooted = rooted || k.Class() == from.Root.Class()
	}
	var out []pitch.Num
	for _, k := range keys {
		above := k.Class().Above(from.Root.Class())
		switch degree := lowDegree(from, above); {
		case degree == 0:
			out = append(out, k+shift)
		case degree <= 5:
			out = append(out, k+shift+pitch.Num(to.Degree(degree).Semitones-above))
		case !rooted || len(keys) == 1:
			rooted = true
			out = append(out, k+shift+pitch.Num(12*((above+6)/12)-above))
		}
	}
	return out
}

// lowDegree is 1, 3 or 5 for a tone that has a counterpart in a triad, 7 for
// another tone of the chord, 0 for a foreign one.
func lowDegree(c chord.Chord, above int) int {
	for _, tone := range c.Type.Tones() {
		if tone.Interval.Semitones%12 != above {
			continue
		}
		switch tone.Degree {
		case 1, 3, 5:
			return tone.Degree
		case 2, 4: // suspended
			return 3
		}
		return 7
	}
	return 0
}
