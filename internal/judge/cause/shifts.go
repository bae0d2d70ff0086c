package cause

import (
	"math"
	"slices"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
)

// shifts are the readings of music that is played earlier or later: by the distances in
// time between what is struck and where the same notes are wanted, those that are most
// frequent.
func (j *Judge) shifts(ev *evidence) []reading {
	all := j.moved(ev, farthestLeap*j.barLasts())
	var few []reading
	for i := range all[:min(len(all), likeliestShifts)] {
		few = append(few, all[i].r)
	}
	return few
}

// moved are the readings of the present one so much earlier or later, within a distance,
// those first that explain most.
func (j *Judge) moved(ev *evidence, within time.Duration) []candidate {
	votes := newVotes(within)
	for i := ev.doubted; i < len(ev.struck); i++ {
		s := &ev.struck[i]
		far := j.inScore(&ev.present, s.at)
		first, last := around(j.places, far-votes.most, far+votes.most)
		for _, p := range j.places[first:last] {
			if p.classes.Has(pitch.ClassOf(int(s.key) - ev.present.up)) {
				votes.add(far - p.far)
			}
		}
	}
	var all []candidate
	for _, off := range votes.frequent() {
		if ev.present.pace == 0 && max(off, -off) < leastShift {
			continue // where it is already
		}
		r := ev.present
		r.late += time.Duration(float64(off) / r.tempo())
		from, explained := j.split(&r, ev)
		all = append(all, candidate{j.shifted(r, ev, from), explained})
	}
	slices.SortStableFunc(all, func(a, b candidate) int { return b.explained - a.explained })
	return all
}

// candidate is a reading and how many strikes it explains, with the present one before it.
type candidate struct {
	r         reading
	explained int
}

// votes are for distances in time, by bins.
type votes struct {
	most time.Duration
	bins []bin
}

type bin struct {
	n   int
	sum time.Duration
}

func newVotes(most time.Duration) votes {
	return votes{most, make([]bin, 2*int(most/binOfShift)+5)}
}

func (v *votes) add(off time.Duration) {
	b := &v.bins[len(v.bins)/2+int(math.Round(float64(off)/float64(binOfShift)))]
	b.n++
	b.sum += off
}

// frequent are the few distances with most votes, the neighbours' counted, and nearest
// ones first where they have as many.
func (v *votes) frequent() []time.Duration {
	with := func(n int) int { return v.bins[n-1].n + 2*v.bins[n].n + v.bins[n+1].n }
	var order []int
	for n := 1; n < len(v.bins)-1; n++ {
		if v.bins[n].n > 0 {
			order = append(order, n)
		}
	}
	middle := len(v.bins) / 2
	far := func(n int) int { return max(n-middle, middle-n) }
	slices.SortFunc(order, func(a, b int) int {
		if with(a) != with(b) {
			return with(b) - with(a)
		}
		if far(a) != far(b) {
			return far(a) - far(b)
		}
		return a - b
	})
	var few []int
	var offs []time.Duration
	for _, n := range order {
		if slices.ContainsFunc(few, func(f int) bool { return n-f >= -2 && n-f <= 2 }) {
			continue
		}
		if few = append(few, n); len(few) > likelyBins {
			break
		}
		before, at, after := &v.bins[n-1], &v.bins[n], &v.bins[n+1]
		offs = append(offs, (before.sum+at.sum+after.sum)/time.Duration(before.n+at.n+after.n))
	}
	return offs
}

// shifted is a reading that is later or earlier than the present one from a strike on,
// with its cause.
func (j *Judge) shifted(r reading, ev *evidence, from int) reading {
	r.change = j.leap(ev, from)
	if r.pace == 0 && max(r.late, -r.late) < leastShift { // back in time with the click
		r.late, r.causes[when] = 0, finding.Cause{}
		return r
	}
	if r.pace == 0 {
		r.late = j.onBeat(r.late)
	}
	if off := r.late - ev.present.late; r.pace != 0 && max(off, -off) < j.Click.Beat()/2 {
		return r // a tempo that is known a bit better
	}
	c, ok := j.leapt(&r, ev, j.seam(&r, ev, from))
	if !ok {
		c = j.offBeat(r.late)
	}
	r.causes[when] = c
	return r
}

// onBeat is how late music is that is beats off: where it is so near to a beat of the click,
// or a half, it is on that.
func (j *Judge) onBeat(late time.Duration) time.Duration {
	half := j.Click.Beat() / 2
	nearest := late.Round(half)
	if float64(max(late, -late)) >= mostDelay*float64(j.Click.Beat()) && max(late-nearest, nearest-late) <= nearBeat {
		return nearest
	}
	return late
}

// offBeat is the cause of all that comes so late: beats, or a delay.
func (j *Judge) offBeat(late time.Duration) finding.Cause {
	beats := float64(late) / float64(j.Click.Beat())
	halves := math.Round(2 * beats)
	switch {
	case math.Abs(beats) < mostDelay:
		return finding.Cause{Kind: finding.Delay, Offset: late, Hand: finding.BothHands}
	case beats < 0:
		return finding.Cause{Kind: finding.EarlyStart, Beats: halves / 2, Hand: finding.BothHands}
	}
	return finding.Cause{Kind: finding.LateStart, Beats: halves / 2, Hand: finding.BothHands}
}
