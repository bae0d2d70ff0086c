package cause

import (
	"slices"
	"time"

	"undersong/internal/sheet/score"
)

// cost is what something costs to describe that belongs to a time.
type cost struct {
	at   time.Duration
	nats float64
}

// begin lets a reading of what is struck take the place of the present one later in the
// stretch, where that saves one mistake more; found is what the present one makes of it.
func (j *Judge) begin(r *reading, ev *evidence, w, was *weight, anew, found []placed) {
	if r.moves() || r.change.leaps || r.change.enter != j.doubt.since {
		return
	}
	at := cut(costs(found, &ev.present, was.score), costs(anew, r, w.score), r.change.enter)
	if at == r.change.enter {
		return
	}
	r.change = change{leave: at, enter: at}
	from := weight{chords: map[chordOf]bool{}, score: w.score}
	for i := range anew {
		if anew[i].at >= at {
			from.add(&anew[i].Finding, r, w.score)
		}
	}
	for i := ev.doubted; i < len(ev.struck); i++ {
		if ev.struck[i].at >= at-j.reach() {
			from.notes++
			from.struck++
		}
	}
	*w = from
}

// costs is what each finding costs under a reading, in nats, in the order of their places.
// Where a chord is mistaken the first stroke of it costs most.
func costs(found []placed, r *reading, s *score.Score) []cost {
	w := weight{chords: map[chordOf]bool{}}
	all := make([]cost, len(found))
	for i := range found {
		was := w.nats
		w.add(&found[i].Finding, r, s)
		all[i] = cost{found[i].at, w.nats - was}
	}
	slices.SortStableFunc(all, func(a, b cost) int { return int(a.at - b.at) })
	return all
}

// cut is from when on a reading costs less than the present one, all told: since the
// beginning of the stretch, unless later saves a mistake more.
func cut(present, other []cost, since time.Duration) time.Duration {
	at, saved, best := since, 0.0, 0.0
	for p, o := 0, 0; p < len(present) || o < len(other); {
		// Up to and without what comes next, the present reading takes the place of the other.
		next := since
		switch {
		case o == len(other) || p < len(present) && present[p].at <= other[o].at:
			next = present[p].at
		default:
			next = other[o].at
		}
		if saved > best && next > since {
			at, best = next, saved
		}
		for ; p < len(present) && present[p].at == next; p++ {
			saved -= present[p].nats
		}
		for ; o < len(other) && other[o].at == next; o++ {
			saved += other[o].nats
		}
	}
	if best < ofMistake {
		return since
	}
	return at
}
