package mistakes

import (
	"math/rand/v2"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// leastDetour is how much farther than the nearest inversion a wrong one is, in
// semitones of all fingers together.
const leastDetour = 3

func (t *planter) wrongInversion(i int, r *rand.Rand) (func(), string) {
	w, st := &t.s.Wants[i], &t.take.Strokes[i]
	if w.Role == score.Melody {
		return t.buried(i, r)
	}
	if !w.Whole || w.Inversion == pattern.AnyInversion {
		return nil, "this stroke may lie in any inversion"
	}
	var choices [][]pitch.Num
	for _, keys := range chord.Turned(close(st.Keys)) {
		if t.take.Clear(i, keys) && keys[0].Class() != st.Keys[0].Class() && t.detour(i, keys) {
			choices = append(choices, keys)
		}
	}
	if len(choices) == 0 {
		return nil, "no other inversion is far enough or within reach"
	}
	keys := pick(r, choices)
	return func() {
		st.Keys = keys
		t.put(Fault{Kind: WrongInversion, Keys: keys, Detail: t.names(keys[:1]) + " lowest in " + w.Chord.String()}, i)
	}, ""
}

// buried puts another note of a stroke over the tune's.
func (t *planter) buried(i int, r *rand.Rand) (func(), string) {
	w, st := &t.s.Wants[i], &t.take.Strokes[i]
	tune := w.Tones[len(w.Tones)-1].Accept
	var choices [][]pitch.Num
	for _, keys := range chord.Turned(st.Keys) {
		if top := keys[len(keys)-1]; len(keys) > 1 && !tune.Has(top.Class()) && t.take.Clear(i, keys) {
			choices = append(choices, keys)
		}
	}
	if len(choices) == 0 {
		return nil, "no note under the tune can lie above it"
	}
	keys := pick(r, choices)
	return func() {
		st.Keys = keys
		top := keys[len(keys)-1:]
		t.put(Fault{Kind: WrongInversion, Keys: keys, Detail: t.names(top) + " over the tune's " + w.Tune.Note.String()}, i)
	}, ""
}

// close takes the doubled note off a chord.
func close(keys []pitch.Num) []pitch.Num {
	if n := len(keys); n > 1 && keys[n-1]-keys[0] == 12 {
		return keys[:n-1]
	}
	return keys
}

// detour reports an inversion that is wrong: any other than a named one, and a
// longer way where the nearest is wanted.
func (t *planter) detour(i int, keys []pitch.Num) bool {
	w := &t.s.Wants[i]
	if w.Inversion != pattern.NearestInversion {
		return keys[0].Class() != w.Bottom
	}
	for j := i - 1; j >= 0; j-- {
		if p := &t.s.Wants[j]; p.Hand == w.Hand {
			from := t.take.Strokes[j].Keys
			return p.Whole && chord.Motion(from, keys) >= chord.Motion(from, t.take.Strokes[i].Keys)+leastDetour
		}
	}
	return false
}

// reach is how far a slip in the bass goes, in semitones.
const reach = 5

func (t *planter) wrongBass(i int, r *rand.Rand) (func(), string) {
	w, st := &t.s.Wants[i], &t.take.Strokes[i]
	switch {
	case w.Role != score.Bass || len(st.Keys) != 1:
		return nil, "this is no bass note"
	case w.Approach:
		return nil, "an approach note is no chord's bass"
	}
	var choices []pitch.Num
	for k := st.Keys[0] - reach; k <= st.Keys[0]+reach; k++ {
		if chord.Scale(t.s.Key).Has(k.Class()) && !w.Allowed.Has(k.Class()) && t.take.Clear(i, []pitch.Num{k}) {
			choices = append(choices, k)
		}
	}
	if len(choices) == 0 {
		return nil, "no note of the key near it is foreign to " + w.Chord.String()
	}
	k := pick(r, choices)
	return func() {
		detail := t.names([]pitch.Num{k}) + " for " + t.names(st.Keys)
		st.Keys = []pitch.Num{k}
		t.put(Fault{Kind: WrongBass, Keys: st.Keys, Detail: detail}, i)
	}, ""
}
