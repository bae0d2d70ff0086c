package mistakes

import (
	"math/rand/v2"

	"undersong/internal/music/meter"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
)

// planter bends one take.
type planter struct {
	take    *performer.Take
	s       *score.Score
	h       performer.Habits
	plan    Plan
	seed    uint64
	touched []bool // wants that bear a fault
	made    []made
}

func newPlanter(s *score.Score, h performer.Habits, plan Plan, seed uint64) *planter {
	course := performer.Course{Start: plan.Start, Tempo: plan.Tempo, Fermatas: plan.Fermatas}
	return &planter{
		take: performer.NewTake(s, h, course, seed),
		s:    s, h: h, plan: plan, seed: seed, touched: make([]bool, len(s.Wants)),
	}
}

// What chance is drawn for, beside what a take draws for.
const (
	forFaults = 3
	forSowing = 4
)

// random is the stream for a purpose and two numbers that tell its place.
func (t *planter) random(purpose, a, b int) *rand.Rand {
	return performer.Chance(t.seed, purpose, a, b)
}

// try finds out whether a mistake can be made on a want: how to make it, or the
// reason why not.
func (t *planter) try(item Item, r *rand.Rand) (apply func(), reason string) {
	i := item.Want
	if t.touched[i] {
		return nil, "there is a mistake on this stroke already"
	}
	switch item.Kind {
	case WrongChord:
		return t.wrongChord(i, r)
	case WrongInversion:
		return t.wrongInversion(i, r)
	case WrongBass:
		return t.wrongBass(i, r)
	case WrongNote:
		return t.wrongNote(i, r)
	case Missing:
		return t.missing(i)
	case MissingNote:
		return t.missingNote(i, r)
	case Extra:
		return t.extra(i)
	case ExtraNote:
		return t.extraNote(i, r)
	case Early:
		return t.displace(i, -1, r)
	case Late:
		return t.displace(i, 1, r)
	case Short:
		return t.short(i)
	case Blurred:
		return t.blurred(i)
	case Balance:
		return t.balance(i)
	case Pause, Restart, Stumble:
		return t.falter(item, r)
	case RepeatBar, SkipBar, Jump:
		return t.stray(item, r)
	}
	return nil, "there is no such kind of mistake"
}

// onset lists the wants struck together with want i, itself first.
func (t *planter) onset(i int) []int {
	all := []int{i}
	at := t.s.Wants[i].At
	for j := i - 1; j >= 0 && t.s.Wants[j].At == at; j-- {
		all = append(all, j)
	}
	for j := i + 1; j < len(t.s.Wants) && t.s.Wants[j].At == at; j++ {
		all = append(all, j)
	}
	return all
}

// barOf is a bar from its start to its end.
func (t *planter) barOf(i int) (from, to meter.Ticks) {
	b := &t.s.Bars[t.s.Wants[i].Bar]
	return b.At, b.At + b.Len
}

// between lists the wants from one place to before another.
func (t *planter) between(from, to meter.Ticks) []int {
	var all []int
	for i := range t.s.Wants {
		if at := t.s.Wants[i].At; at >= from && at < to {
			all = append(all, i)
		}
	}
	return all
}

// pick chooses one of some values; it must not be empty.
func pick[T any](r *rand.Rand, from []T) T { return from[r.IntN(len(from))] }
