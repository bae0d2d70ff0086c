package mistakes

import (
	"math/rand/v2"
	"slices"
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
)

// slips are how a finger misses: a semitone or a step.
var slips = []pitch.Num{-1, 1, -2, 2}

// names spells keys in the score's key.
func (t *planter) names(keys []pitch.Num) string {
	words := make([]string, len(keys))
	for i, k := range keys {
		words[i] = k.Spell(t.s.Key.Spell(k.Class())).String()
	}
	return strings.Join(words, " ")
}

func (t *planter) wrongNote(i int, r *rand.Rand) (func(), string) {
	w, st := &t.s.Wants[i], &t.take.Strokes[i]
	switch {
	case w.Approach:
		return nil, "an approach note may be a semitone or a step off"
	case w.Role == score.Bass:
		return nil, "this is a bass note; plant a wrong bass"
	}
	type choice struct {
		at int
		k  pitch.Num
	}
	var choices []choice
	for at := range st.Keys {
		for _, by := range slips {
			k := st.Keys[at] + by
			keys := append(without(st.Keys, at), k)
			if t.foreign(i, k) && t.take.Clear(i, keys) && !(len(keys) > 1 && t.tellsChord(i, keys)) {
				choices = append(choices, choice{at, k})
			}
		}
	}
	if len(choices) == 0 {
		return nil, "every slip near it makes another chord or leaves the hand's place"
	}
	c := pick(r, choices)
	return func() {
		detail := t.names([]pitch.Num{c.k}) + " for " + t.names(st.Keys[c.at:c.at+1])
		st.Set(append(without(st.Keys, c.at), c.k))
		t.put(Fault{Kind: WrongNote, Keys: []pitch.Num{c.k}, Detail: detail}, i)
	}, ""
}

// foreign reports a key that cannot belong to want i.
func (t *planter) foreign(i int, k pitch.Num) bool {
	w := &t.s.Wants[i]
	if w.Allowed.Has(k.Class()) || w.Chord.Set().Has(k.Class()) {
		return false
	}
	for _, tone := range w.Tones {
		if tone.Accept.Has(k.Class()) {
			return false
		}
	}
	for _, old := range t.take.Strokes[i].Keys {
		if old == k {
			return false
		}
	}
	return true
}

// tellsChord reports whether keys in place of want i's are the notes of some
// chord, alone or with what the other hand sounds.
func (t *planter) tellsChord(i int, keys []pitch.Num) bool {
	var alone chord.Set
	for _, k := range keys {
		alone = alone.With(k.Class())
	}
	all := alone
	for _, j := range t.take.Around(i) {
		if o := &t.take.Strokes[j]; o.Hand != t.take.Strokes[i].Hand && o.Pos <= t.take.Strokes[i].Pos {
			for _, k := range o.Keys {
				all = all.With(k.Class())
			}
		}
	}
	return isChord(alone) || isChord(all) || isChord(all.With(t.s.Wants[i].Chord.Bass.Class()))
}

// isChord reports a set that is a chord of the table, with or without the notes
// that players leave out.
func isChord(set chord.Set) bool { return chordSets[set] }

var chordSets = func() (known [1 << 12]bool) {
	for _, kind := range chord.Types() {
		full := kind.Set()
		for root := range 12 {
			known[full.Up(root)] = true
			known[(full &^ kind.Optional()).Up(root)] = true
		}
	}
	return known
}()

func (t *planter) missing(i int) (func(), string) {
	st := &t.take.Strokes[i]
	return func() {
		st.Silent = true
		t.put(Fault{Kind: Missing, Keys: st.Keys, Detail: "without " + t.names(st.Keys)}, i)
	}, ""
}

func (t *planter) missingNote(i int, r *rand.Rand) (func(), string) {
	st := &t.take.Strokes[i]
	if len(st.Keys) < 2 {
		return nil, "this is a single note; leave out the stroke"
	}
	var choices []int
	for at, k := range st.Keys {
		if t.needed(i, k) {
			choices = append(choices, at)
		}
	}
	if len(choices) == 0 {
		return nil, "every note of it may be left out or is doubled"
	}
	at := pick(r, choices)
	return func() {
		gone := []pitch.Num{st.Keys[at]}
		st.Keys = without(st.Keys, at)
		t.put(Fault{Kind: MissingNote, Keys: gone, Detail: "without " + t.names(gone)}, i)
	}, ""
}

// needed reports a key of want i's stroke whose class is struck once, and which
// neither the score nor the manner of the chord lets out.
func (t *planter) needed(i int, k pitch.Num) bool {
	w := &t.s.Wants[i]
	times := 0
	for _, o := range t.take.Strokes[i].Keys {
		if o.Class() == k.Class() {
			times++
		}
	}
	if times > 1 || w.Whole && w.Chord.Type.Optional().Up(int(w.Chord.Root.Class())).Has(k.Class()) {
		return false
	}
	for _, tone := range w.Tones {
		if tone.Key.Class() == k.Class() {
			return !tone.Optional
		}
	}
	return false
}

func (t *planter) extra(i int) (func(), string) {
	st := t.take.Strokes[i]
	_, after := t.take.Gaps(st.Pos)
	after = min(after, t.s.Length-st.Pos)
	if t.s.Tempo.Duration(after/2, t.s.Meter) < leastExtraGap {
		return nil, "the next stroke comes too soon for one in between"
	}
	extra := performer.Stroke{Want: -1, Hand: st.Hand, Pos: st.Pos + after/2, Dur: after - after/2, Keys: st.Keys, Gain: st.Gain}
	return func() {
		t.addExtra(i, extra)
	}, ""
}

func (t *planter) addExtra(i int, extra performer.Stroke) {
	t.put(Fault{Kind: Extra, Keys: extra.Keys, Detail: t.names(extra.Keys) + " once more"}, i)
	m := &t.made[len(t.made)-1]
	m.pos, m.until, m.stroke = extra.Pos, extra.Pos+1, len(t.take.Strokes)
	m.fault.Want, m.fault.Also = -1, nil
	m.fault.Bar, m.fault.Beat = t.beatOf(extra.Pos)
	t.take.Strokes = append(t.take.Strokes, extra)
}

// widest is the widest that a slipping hand opens, in semitones: a ninth.
const widest = 14

func (t *planter) extraNote(i int, r *rand.Rand) (func(), string) {
	st := &t.take.Strokes[i]
	if len(st.Keys) < 2 {
		return nil, "this is a single note, no block"
	}
	var choices []pitch.Num
	for _, near := range st.Keys {
		for _, by := range slips {
			k := near + by
			keys := append(append([]pitch.Num(nil), st.Keys...), k)
			if t.foreign(i, k) && slices.Max(keys)-slices.Min(keys) <= widest && t.take.Clear(i, keys) && !t.tellsChord(i, keys) {
				choices = append(choices, k)
			}
		}
	}
	if len(choices) == 0 {
		return nil, "every note beside it makes another chord or leaves the hand's place"
	}
	k := pick(r, choices)
	return func() {
		st.Set(append(append([]pitch.Num(nil), st.Keys...), k))
		t.put(Fault{Kind: ExtraNote, Keys: []pitch.Num{k}, Detail: t.names([]pitch.Num{k}) + " added"}, i)
	}, ""
}

func without(keys []pitch.Num, at int) []pitch.Num {
	return slices.Delete(slices.Clone(keys), at, at+1)
}
