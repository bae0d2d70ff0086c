package chordid

import (
	"math/bits"
	"sort"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// Context is what a listener knows beside the notes that sound. The zero value
// knows nothing.
type Context struct {
	Key    *pitch.Key  // the key of the piece, written or found
	Wanted chord.Chord // what the chart has here; no chord where there is none
	Before Candidate   // the chord before; unnamed where there was none
	Lately chord.Set   // classes that sounded a moment ago and are heard in the mind still
}

// Reason is one thing that speaks for or against a candidate.
type Reason uint8

// The reasons, in the order in which they are told.
const (
	ByType     Reason = iota // how plain the type is
	ByBass                   // which tone is in the bass
	ByMissing                // tones left out
	ByAdded                  // tones foreign to it
	ByKey                    // how its tones fit the key
	ByFunction               // a symmetric chord named from the leading note
	ByWanted                 // what the chart has
	ByBefore                 // the chord before goes on
	ByRootless               // its root is only remembered
	reasonCount
)

// Weighed is a candidate with the cost of each reason.
type Weighed struct {
	Candidate
	Parts [reasonCount]Cost
}

// InContext is the likeliest candidate of the sounding classes over a bass, given
// what else is known. It allocates nothing and takes a few microseconds.
func (r *Recognizer) InContext(sounding chord.Set, bass pitch.Class, x *Context) Candidate {
	best := Weighed{Candidate: Candidate{Root: bass, Bass: bass, Cost: tooFar}}
	r.weighAll(sounding, bass, x, &best, nil)
	return best.Candidate
}

// Explain lists the candidates that are not too far-fetched, likeliest first,
// each with what spoke for and against it.
func (r *Recognizer) Explain(sounding chord.Set, bass pitch.Class, x *Context) []Weighed {
	var all []Weighed
	r.weighAll(sounding, bass, x, &Weighed{Candidate: Candidate{Cost: tooFar}}, &all)
	sort.SliceStable(all, func(i, j int) bool { return all[i].Cost < all[j].Cost })
	return all
}

// weighAll leaves the likeliest candidate in best, where one is likelier than
// that, and adds all that are not too far-fetched to all, where it is not nil.
func (r *Recognizer) weighAll(sounding chord.Set, bass pitch.Class, x *Context, best *Weighed, all *[]Weighed) {
	sounding &= 0xFFF
	if bits.OnesCount16(uint16(sounding)) < 2 {
		return
	}
	scale := scaleOf(x.Key)
	var w Weighed
	for root := pitch.Class(0); root < 12; root++ {
		if !sounding.Has(root) && !x.rootRemembered(sounding, root) {
			continue
		}
		for i := range r.templates {
			if !r.templates[i].weigh(sounding, root, bass, x, scale, &w) || w.Cost >= tooFar {
				continue
			}
			if w.Cost < best.Cost {
				*best = w
			}
			if all != nil {
				*all = append(*all, w)
			}
		}
	}
}

// rootRemembered allows a chord whose root does not sound: three other notes
// must, and the root was heard a moment ago or is wanted.
func (x *Context) rootRemembered(sounding chord.Set, root pitch.Class) bool {
	if bits.OnesCount16(uint16(sounding)) < 3 {
		return false
	}
	return x.Lately.Has(root) || !x.Wanted.IsNone() && x.Wanted.Root.Class() == root
}

// scaleOf is the notes at home in a key: the scale, and in minor its raised
// sixth and seventh too. Without a key every note is.
func scaleOf(k *pitch.Key) chord.Set {
	if k == nil {
		return 0xFFF
	}
	s := chord.Scale(*k)
	if k.Minor {
		s = s.With(k.Tonic.Class().Up(9)).With(k.Tonic.Class().Up(11))
	}
	return s
}

func (c *template) weigh(sounding chord.Set, root, bass pitch.Class, x *Context, scale chord.Set, w *Weighed) bool {
	tones := c.set.Up(int(root))
	missing := tones &^ sounding
	added := sounding &^ tones &^ (1 << uint(bass))
	going := x.continues(c.typ, root, sounding)
	rootless := !sounding.Has(root)
	spare := c.optional.Up(int(root))
	if rootless {
		spare = spare.With(root)
	}
	if missing&^spare != 0 && !going {
		return false
	}
	*w = Weighed{Candidate: Candidate{Root: root, Type: c.typ, Bass: bass, Missing: missing, Added: added}}
	p := &w.Parts
	if rootless {
		missing &^= 1 << uint(root)
		if x.Lately.Has(root) {
			p[ByRootless] = remembered
			w.Bass = root // the bass that is remembered is the bass
		}
	}
	p[ByType] = c.cost
	p[ByBass] = c.overs[w.Bass.Above(root)]
	p[ByMissing] = missingCost(missing, going)
	p[ByAdded] = foreignTone * Cost(bits.OnesCount16(uint16(added)))
	p[ByKey] = outsideKey * Cost(bits.OnesCount16(uint16(tones&^scale)))
	p[ByFunction] = function(c.typ, root, x.Key)
	p[ByWanted] = x.wantedCost(c.typ, root, w.Bass)
	if x.Before.Named() && x.Before.Root == root && x.Before.Type == c.typ && added == 0 {
		p[ByBefore] = wantedRoot
	}
	for _, v := range p {
		w.Cost += v
	}
	return true
}

func missingCost(missing chord.Set, going bool) Cost {
	n := Cost(bits.OnesCount16(uint16(missing)))
	if going && n > 0 {
		return subset
	}
	return missingFifth * n
}

// continues reports that all that sounds belongs to the chord before, root
// included.
func (x *Context) continues(t chord.Type, root pitch.Class, sounding chord.Set) bool {
	b := &x.Before
	return b.Named() && b.Type == t && b.Root == root && sounding.Has(root) && sounding&^t.Set().Up(int(root)) == 0
}

// function favours the root that a symmetric chord has in the key: the leading
// note of a diminished seventh, the dominant or else the tonic of an augmented
// triad (common practice, no source).
func function(t chord.Type, root pitch.Class, k *pitch.Key) Cost {
	if k == nil {
		return 0
	}
	above := root.Above(k.Tonic.Class())
	if t == chord.DiminishedSeventh {
		return favour(above, 11, 6)
	}
	if t == chord.Augmented {
		return favour(above, 7, 0)
	}
	return 0
}

// favour is what a root some semitones above the tonic gains where its chord is
// first looked for, half of it where it is looked for next.
func favour(above, first, next int) Cost {
	if above == first {
		return byFunction
	}
	if above == next {
		return byFunction / 2
	}
	return 0
}

func (x *Context) wantedCost(t chord.Type, root, bass pitch.Class) Cost {
	if x.Wanted.IsNone() || x.Wanted.Root.Class() != root {
		return 0
	}
	if x.Wanted.Type != t {
		return wantedRoot
	}
	if x.Wanted.Bass.Class() != bass {
		return wantedChord
	}
	return wantedExactly
}
