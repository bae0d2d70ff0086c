package byear

import (
	"slices"

	"undersong/internal/judge/finding"
)

// canonical is the note that stands for pos: the same note of the first phrase
// that is alike.
func (t *Tune) canonical(pos int) int {
	p := t.phrase[pos]
	return t.starts[t.alike[p]] + pos - t.starts[p]
}

// tally counts what is found.
type tally struct {
	tune      *Tune
	phrases   []phraseTally // by Alike; the others stay empty
	misses    []int         // wrong tries before each note was found, by canonical
	searched  int           // the strike with which the last search ended that is counted
	class     int           // of the last completion, by Alike
	row       int           // right ones of that class in a row
	through   int           // phrases right in turn, from the first
	wholeTold bool
}

type phraseTally struct {
	found, right bool
	passes       int // begun, until it was found
	wrong        int // tries
}

func newTally(t *Tune) tally {
	return tally{tune: t, phrases: make([]phraseTally, t.Phrases()), misses: make([]int, len(t.keys))}
}

// strike counts passes and wrong tries as the best hypothesis has them.
func (t *tally) strike(best *hypothesis) {
	p := &t.phrases[t.tune.alike[t.tune.phrase[best.pos]]]
	switch best.step {
	case right, octave, skipped, begin:
		if best.pass.notes == min(begun, t.tune.Len(t.tune.phrase[best.pos])) && !p.found {
			p.passes++
		}
	}
	if best.spent.ended > t.searched {
		t.searched = best.spent.ended
		t.miss(best.spent.pos, best.spent.tries)
	}
}

// miss counts wrong tries for a note; after the last there is none.
func (t *tally) miss(pos, tries int) {
	if pos < len(t.tune.keys) {
		t.phrases[t.tune.alike[t.tune.phrase[pos]]].wrong += tries
		t.misses[t.tune.canonical(pos)] += tries
	}
}

// complete counts a phrase that was played to its end. It reports that with it
// the whole tune was right in turn.
func (t *tally) complete(d completion) (whole bool) {
	class := t.tune.alike[d.phrase]
	p := &t.phrases[class]
	p.found = true
	p.right = p.right || d.clean
	if class != t.class {
		t.row = 0
	}
	t.class = class
	if !d.clean {
		t.row, t.through = 0, 0
		return false
	}
	t.row++
	switch {
	case t.tune.alike[t.through] == class:
		t.through++
	case class == 0:
		t.through = 1
	default:
		t.through = 0
	}
	whole = t.through == t.tune.Phrases()
	if whole {
		t.through = 0
	}
	return whole
}

// whole reports that every phrase was found.
func (t *tally) whole() bool {
	for _, class := range t.tune.alike {
		if !t.phrases[class].found {
			return false
		}
	}
	return true
}

// Summary sums up so far.
func (e *Ear) Summary() finding.Summary {
	sum := e.tally
	if best := e.heard.best(); best != nil && best.tries > 0 { // a search that is not over
		sum.phrases, sum.misses = slices.Clone(sum.phrases), slices.Clone(sum.misses)
		sum.miss(best.pos+1, best.tries)
	}
	s := finding.TuneSummary{Hardest: -1, Whole: e.tally.whole(), Task: e.round.summary()}
	for p, t := range sum.phrases {
		if e.Tune.alike[p] != p {
			continue
		}
		s.Phrases = append(s.Phrases, finding.PhraseSummary{Phrase: p, Found: t.found, Right: t.right, Tries: t.passes, Wrong: t.wrong})
		if t.found {
			s.Found++
		}
	}
	for pos, n := range sum.misses {
		if pos > 0 && n > s.HardestMiss {
			s.Hardest, s.HardestMiss = pos, n
		}
	}
	return finding.Summary{Tune: s}
}

// Found reports that a phrase, or one like it, was found; and Right that it was
// right.
func (e *Ear) Found(phrase int) (found, right bool) {
	p := e.tally.phrases[e.Tune.alike[phrase]]
	return p.found, p.right
}
