// Package chordid names what sounds: from a set of pitch classes and a bass
// to ranked candidates, and from a candidate to a name spelled in a key.
package chordid

import (
	"math/bits"
	"sort"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// Cost is how far-fetched a candidate is, in tenths of a point; less is likelier.
type Cost int

// Candidate is one way to hear what sounds.
type Candidate struct {
	Root    pitch.Class
	Type    chord.Type // None for a single note or an interval that implies no chord
	Bass    pitch.Class
	Missing chord.Set // tones of the type that do not sound
	Added   chord.Set // classes that sound and are foreign to the chord, its bass left out
	Cost    Cost
}

// Named reports whether the candidate is a chord.
func (r Candidate) Named() bool { return r.Type != chord.None }

// Chord is the candidate spelled in a key.
func (r Candidate) Chord(k pitch.Key) chord.Chord {
	if !r.Named() {
		return chord.Chord{}
	}
	root := spellRoot(r.Root, r.Type, k)
	c := chord.New(root, r.Type)
	return c.Over(c.Spell(r.Bass, k))
}

// spellRoot spells a root as its degree in the key. Diminished chords stand on
// leading notes, so their roots are raised, not lowered, degrees (Open Music
// Theory v1, "Applied chords").
func spellRoot(root pitch.Class, t chord.Type, k pitch.Key) pitch.Note {
	switch t {
	case chord.Diminished, chord.DiminishedSeventh, chord.HalfDiminished:
		return k.SpellRaised(root)
	}
	return k.Spell(root)
}

// template is a chord type made ready for comparing.
type template struct {
	typ      chord.Type
	set      chord.Set // above the root
	optional chord.Set
	cost     Cost
	overs    [12]Cost // what a bass so many semitones above the root costs; -1 foreign
}

// Recognizer names sounding notes. It remembers what it has worked out, so a
// set of notes met again costs a look-up and allocates nothing. Use one for
// each stream; it is not safe for two goroutines at once.
type Recognizer struct {
	templates []template
	memo      []uint16 // by set and bass: which template on which root, counted from 1; 0 is not yet known
}

// New makes a Recognizer for every chord type of package chord.
func New() *Recognizer {
	return &Recognizer{templates: templates, memo: make([]uint16, 4096*12)}
}

// templates are those of every chord type; no recognizer changes them.
var templates = func() (all []template) {
	for _, t := range chord.Types() {
		c := template{typ: t, set: t.Set(), optional: t.Optional(), cost: typeCost[t]}
		for above := range c.overs {
			c.overs[above] = overCost(t, above)
		}
		all = append(all, c)
	}
	return all
}()

// overCost is the price of a bass some semitones above the root.
func overCost(t chord.Type, above int) Cost {
	if above == 0 {
		return 0
	}
	if !t.Set().Has(pitch.Class(above)) {
		return foreignBass
	}
	switch t {
	case chord.Sixth, chord.MinorSixth, chord.SixNine, chord.MinorSixNine:
		return sixthOver
	case chord.Sus2, chord.Sus4, chord.Power:
		return colourOver
	case chord.Augmented, chord.DiminishedSeventh:
		return symmetric
	}
	for _, tone := range t.Tones() {
		if tone.Degree > 7 && int(pitch.ClassOf(tone.Interval.Semitones)) == above {
			return colourOver
		}
	}
	return triadOver
}

// Best is the likeliest candidate of the sounding classes over a bass, without
// any context. The bass must be one of them; an empty set reads as no chord.
func (r *Recognizer) Best(sounding chord.Set, bass pitch.Class) Candidate {
	sounding = sounding & 0xFFF
	i := int(sounding)*12 + int(bass)
	if r.memo[i] == 0 {
		r.memo[i] = 1 + r.work(sounding, bass)
	}
	if which := int(r.memo[i] - 1); which < 12*len(r.templates) {
		got, _ := r.templates[which/12].match(sounding, pitch.Class(which%12), bass)
		return got
	}
	return Candidate{Root: bass, Bass: bass, Cost: tooFar}
}

// work is the number of the best template, times twelve, and its root; beyond all
// templates where none is near.
func (r *Recognizer) work(sounding chord.Set, bass pitch.Class) uint16 {
	which, least := 12*len(r.templates), tooFar
	for root := pitch.Class(0); root < 12; root++ {
		if !sounding.Has(root) {
			continue
		}
		for i := range r.templates {
			c := &r.templates[i]
			if c.cost+c.overs[bass.Above(root)] >= least {
				continue // what is missing or foreign can only add to it
			}
			if got, ok := c.match(sounding, root, bass); ok && got.Cost < least {
				which, least = 12*i+int(root), got.Cost
			}
		}
	}
	return uint16(which)
}

// match is the reading of the sounding classes as this type on root. It is not
// one where a tone that cannot be left out is missing.
func (c *template) match(sounding chord.Set, root, bass pitch.Class) (Candidate, bool) {
	if bits.OnesCount16(uint16(sounding)) < 2 {
		return Candidate{}, false
	}
	tones := c.set.Up(int(root))
	missing := tones &^ sounding
	if missing&^c.optional.Up(int(root)) != 0 {
		return Candidate{}, false
	}
	cost := c.cost + c.overs[bass.Above(root)]
	cost += missingFifth * Cost(bits.OnesCount16(uint16(missing)))
	added := sounding &^ tones &^ (1 << uint(bass))
	cost += foreignTone * Cost(bits.OnesCount16(uint16(added)))
	return Candidate{Root: root, Type: c.typ, Bass: bass, Missing: missing, Added: added, Cost: cost}, true
}

// All lists every candidate that is not too far-fetched, likeliest first.
func (r *Recognizer) All(sounding chord.Set, bass pitch.Class) []Candidate {
	var all []Candidate
	for root := pitch.Class(0); root < 12; root++ {
		if !sounding.Has(root) {
			continue
		}
		for i := range r.templates {
			if got, ok := r.templates[i].match(sounding, root, bass); ok && got.Cost < tooFar {
				all = append(all, got)
			}
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].Cost < all[j].Cost })
	return all
}
