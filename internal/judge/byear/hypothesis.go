package byear

import (
	"cmp"
	"slices"
	"time"

	"undersong/internal/music/pitch"
)

// step is what a hypothesis makes of the key that was struck last.
type step uint8

const (
	right   step = iota
	octave       // right, in another octave
	begin        // the first note of a phrase, not in its turn
	retry        // the last note found, once more
	back         // an earlier note of the phrase
	skipped      // right, with a note left out before it
	wrong
)

// found reports steps that find a note.
func (s step) found() bool { return s != wrong }

// hypothesis is one way to understand all that was played.
type hypothesis struct {
	cost  int // above the best hypothesis
	pos   int // the note found last
	shift int // keys above the written ones
	step  step
	tries int // wrong ones since a note was found
	spent search
	pass  pass
	done  completion
}

// search is a search for a note that is over.
type search struct {
	pos   int // the note
	tries int // wrong ones
	ended int // with which strike, from 1; 0: there was none
}

// ends ends the search for the note after pos with a strike.
func (k *hypothesis) ends(s strike) {
	if k.tries > 0 {
		k.spent = search{k.pos + 1, k.tries, s.n}
	}
	k.tries = 0
}

// pass is a way through a phrase, from its first note.
type pass struct {
	entire bool // no note was left out
	notes  int  // found so far, those tried again not counted
	force  int  // sum of their velocities
}

// completion is a phrase that was played to its end.
type completion struct {
	strike int // number of the key that ended it, from 1; 0: there was none
	at     time.Duration
	phrase int
	shift  int
	pass   pass
	clean  bool // and nothing else between its notes
}

// strike is a key that was struck.
type strike struct {
	n        int // from 1
	key      int
	velocity int
	at       time.Duration
}

// hypotheses are the ways to understand what was played, the best first.
type hypotheses struct {
	tune   *Tune
	kept   []hypothesis // costs from 0 up
	fresh  []hypothesis // room
	asked  bool         // the tune is to begin on start
	start  pitch.Class
	struck []int // the last keys struck, as many as the longest phrase has, the nth at n modulo that
}

func newHypotheses(t *Tune) hypotheses {
	longest := 0
	for p := range t.Phrases() {
		longest = max(longest, t.Len(p))
	}
	return hypotheses{tune: t, kept: make([]hypothesis, 0, mostHypotheses), fresh: make([]hypothesis, 0, 16*mostHypotheses), struck: make([]int, longest)}
}

// best is the likeliest hypothesis; nil before the first key.
func (r *hypotheses) best() *hypothesis {
	if len(r.kept) == 0 {
		return nil
	}
	return &r.kept[0]
}

// agree reports that every hypothesis within a margin of the best one passes.
func (r *hypotheses) agree(margin int, passes func(*hypothesis) bool) bool {
	for i := range r.kept {
		if r.kept[i].cost > margin {
			break
		}
		if !passes(&r.kept[i]) {
			return false
		}
	}
	return len(r.kept) > 0
}

// strike takes a key into account. expected is the phrase that a tune begun now
// most likely begins with.
func (r *hypotheses) strike(s strike, expected int) {
	r.struck[s.n%len(r.struck)] = s.key
	r.fresh = r.fresh[:0]
	for i := range r.kept {
		r.goOn(&r.kept[i], s)
	}
	r.elsewhere(s, expected)
	r.keep()
}

// keep takes over the best of the fresh hypotheses, one for each place and
// transposition.
func (r *hypotheses) keep() {
	slices.SortFunc(r.fresh, func(a, b hypothesis) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.pos, b.pos), cmp.Compare(a.shift, b.shift), cmp.Compare(a.step, b.step))
	})
	r.kept = r.kept[:0]
	least := r.fresh[0].cost
	for i := range r.fresh {
		f := &r.fresh[i]
		f.cost -= least
		if f.cost > tooFar || len(r.kept) == mostHypotheses {
			break
		}
		if !slices.ContainsFunc(r.kept, func(k hypothesis) bool { return k.pos == f.pos && k.shift == f.shift }) {
			r.kept = append(r.kept, *f)
		}
	}
}

// elsewhere begins phrases out of their turn: at the transposition of the best
// hypothesis, or on any key.
func (r *hypotheses) elsewhere(s strike, expected int) {
	var base hypothesis
	if b := r.best(); b != nil {
		base = *b
	}
	for q := range r.tune.Phrases() {
		next := base
		next.ends(s)
		next.pos = r.tune.starts[q]
		next.shift = s.key - r.tune.keys[next.pos]
		next.cost += costBetween * abs(q-expected)
		switch moved := (next.shift-base.shift)%12 != 0; {
		case len(r.kept) == 0 && q == expected:
		case q == 0 && r.asked && pitch.ClassOf(s.key) == r.start:
			next.cost += costAgain
		case len(r.kept) > 0 && moved:
			next.cost += costPhrase + costKey
		default:
			next.cost += costPhrase
		}
		r.begin(next, s)
	}
}

// begin adds a hypothesis in which the key begins the phrase at pos.
func (r *hypotheses) begin(next hypothesis, s strike) {
	next.step = begin
	next.pass = pass{entire: true}
	r.add(next, s)
}

// add adds a hypothesis that found the note at pos.
func (r *hypotheses) add(next hypothesis, s strike) {
	next.pass.notes++
	next.pass.force += s.velocity
	if r.tune.ends(next.pos) && next.pass.entire {
		p := r.tune.phrase[next.pos]
		next.done = completion{s.n, s.at, p, next.shift, next.pass, r.justPlayed(p, next.shift, s.n)}
	}
	r.fresh = append(r.fresh, next)
}

// justPlayed reports that the last keys struck, up to the nth, are those of a
// phrase and nothing else.
func (r *hypotheses) justPlayed(phrase, shift, n int) bool {
	keys := r.tune.of(phrase)
	if n < len(keys) {
		return false
	}
	for i, k := range keys {
		if r.struck[(n-len(keys)+1+i)%len(r.struck)] != k+shift {
			return false
		}
	}
	return true
}

func abs(n int) int { return max(n, -n) }
