package capture

import (
	"math"
	"math/bits"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// token is what a cell strikes, as far as repetitions are compared by it: as
// degrees of the chord, as semitones over its root, as notes whatever the chord is
// (a pedal point), and as a way to the next root. Repetitions are alike where one of
// these is.
type token struct {
	notes   int
	low     int       // the lowest key where one chord lies under all; else as in degrees
	degrees uint16    // chord tones by their order in the chord
	above   chord.Set // the classes over the root
	classes chord.Set
	leads   bool // the lowest note, alone or apart, is a half or whole step from the next root
	byKey   bool
	bass    pitch.Num // the lowest note, where it lies apart from the others; 0 where none does
	over    int       // the bass's semitones over the root
	order   int       // and its place in the chord, as ordinal has it
}

func (t *take) tokenOf(g group, bar int) token {
	c := t.chordIn(bar)
	k := token{notes: len(g.notes), byKey: t.oneChord(), low: -1}
	for _, n := range g.notes {
		above := n.key.Class().Above(c.Root.Class())
		order := ordinal(c, above)
		if order >= 0 {
			k.degrees |= 1 << order
		}
		if k.low < 0 {
			k.low = order
		}
		k.above = k.above.With(pitch.Class(above))
		k.classes = k.classes.With(n.key.Class())
	}
	if n := len(g.notes); n > 1 && (g.notes[1].key-g.notes[0].key >= apart || g.notes[n-1].key-g.notes[0].key > widest) {
		k.bass, k.over = g.notes[0].key, g.notes[0].key.Class().Above(c.Root.Class())
		k.order = ordinal(c, k.over)
	}
	step := g.notes[0].key.Class().Above(t.chordIn(bar + 1).Root.Class())
	k.leads = (k.notes == 1 || k.bass > 0) && (step == 1 || step == 2 || step == 10 || step == 11)
	if k.byKey {
		k.low = int(g.notes[0].key)
	}
	return k
}

// ordinal numbers the chord's tones from the root; -1 is foreign.
func ordinal(c chord.Chord, above int) int {
	for i, t := range c.Type.Tones() {
		if t.Interval.Semitones%12 == above {
			return i
		}
	}
	return -1
}

func (k token) none() bool { return k.notes == 0 }

// triad are the first three tones of a chord.
const triad = 7

// like reports tokens that mean the same. Of many notes one may be missing, a
// seventh more or less is the chord's own, and the inversion is the player's.
func (k token) like(o token) bool {
	switch {
	case k.none() || o.none():
		return k.none() == o.none()
	case k.notes > 2 && o.notes > 2 && !k.sameBass(o):
		return false
	case k.notes > 2 && o.notes > 2:
		return bits.OnesCount16((k.degrees^o.degrees)&triad) <= 1 && (k.degrees&triad == triad || k.alike(o)) || k.alike(o)
	case k.byKey && o.byKey:
		return k.low == o.low && k.above == o.above
	case k.notes != o.notes:
		return false
	}
	return k.low >= 0 && k.low == o.low && k.degrees == o.degrees || k.alike(o) || k.notes == 1 && k.leads && o.leads
}

// sameBass compares the notes that lie apart under chords: over one chord as keys.
func (k token) sameBass(o token) bool {
	switch {
	case k.bass == 0 || o.bass == 0 || k.byKey:
		return k.bass == o.bass
	}
	return k.order >= 0 && k.order == o.order || k.over == o.over || k.bass.Class() == o.bass.Class() || k.leads && o.leads
}

// alike compares by semitones over the root, or as notes.
func (k token) alike(o token) bool {
	return k.above == o.above || !k.byKey && k.classes == o.classes
}

// merge is two groups on one cell.
func (k token) merge(o token) token {
	if k.none() {
		return o
	}
	k.low = min(k.low, o.low)
	k.notes += o.notes
	k.degrees |= o.degrees
	k.above |= o.above
	k.classes |= o.classes
	k.leads = false
	return k
}

// fold finds the length in bars after which the playing repeats.
func (r *interpretation) fold(t *take) {
	bars := r.tokens(t)
	best := math.Inf(1)
	for length := 1; length <= min(MostBars, r.bars); length++ {
		medoid, slips := vote(bars, length)
		told := describe(medoid)
		cost := told + perSlip*float64(slips) + r.broken(length)
		if cost < best {
			best, r.length, r.slips, r.halves = cost, length, slips, halvesAlike(medoid)
			r.aspects[description], r.aspects[slip] = told, float64(slips)
		}
	}
}

// broken is how odd it is to play a pattern of so many bars for as long as was
// played: once though it is long, or to the middle.
func (r *interpretation) broken(length int) float64 {
	if r.bars%length != 0 || length > 2 && r.bars < 2*length {
		return perBroken
	}
	return 0
}

func (r *interpretation) tokens(t *take) [][]token {
	bars := make([][]token, r.bars)
	for i := range bars {
		bars[i] = make([]token, r.perBar)
	}
	for i, g := range r.counted(t) {
		bar, cell := r.at(i)
		k := &bars[bar][cell]
		*k = k.merge(t.tokenOf(g, bar))
	}
	return bars
}

// vote lays the bars over each other and takes what most have.
func vote(bars [][]token, length int) (medoid [][]token, slips int) {
	medoid = make([][]token, length)
	for phase := range medoid {
		medoid[phase] = make([]token, len(bars[0]))
		for cell := range medoid[phase] {
			var kinds []kind
			all := 0
			for b := phase; b < len(bars); b += length {
				kinds = sorted(kinds, bars[b][cell])
				all++
			}
			best := kinds[0]
			for _, k := range kinds {
				if k.n > best.n {
					best = k
				}
			}
			medoid[phase][cell] = best.token
			slips += all - best.n
		}
	}
	return medoid, slips
}

// kind is tokens that are alike, and how many there are.
type kind struct {
	token token
	n     int
}

func sorted(kinds []kind, k token) []kind {
	for i := range kinds {
		if kinds[i].token.like(k) {
			kinds[i].n++
			return kinds
		}
	}
	return append(kinds, kind{k, 1})
}

// describe is what it takes to write the bars down.
func describe(bars [][]token) float64 {
	cost := 0.0
	for i, bar := range bars {
		if i == 0 {
			cost += describeBar(bar)
			continue
		}
		least := math.Inf(1)
		for _, before := range bars[:i] {
			least = min(least, perChange*float64(changes(bar, before)))
		}
		cost += perBar + min(least, perOther+describeBar(bar))
	}
	return cost
}

// describeBar writes a bar down stroke by stroke, or its second half like the
// first: so bars of any length weigh alike.
func describeBar(bar []token) float64 {
	cost := perStroke * float64(strokes(bar))
	if half := len(bar) / 2; len(bar)%2 == 0 && half > 0 {
		again := perHalf + perChange*float64(changes(bar[:half], bar[half:]))
		if again < cost {
			cost = min(cost, describeBar(bar[:half])+again)
		}
	}
	return cost
}

func changes(a, b []token) int {
	n := 0
	for i := range a {
		if !a[i].like(b[i]) {
			n++
		}
	}
	return n
}

func strokes(bar []token) int {
	n := 0
	for _, k := range bar {
		if !k.none() {
			n++
		}
	}
	return n
}

// halvesAlike reports bars whose halves are all alike.
func halvesAlike(bars [][]token) bool {
	for _, b := range bars {
		if h := len(b) / 2; len(b)%2 > 0 || changes(b[:h], b[h:]) > 0 {
			return false
		}
	}
	return true
}
