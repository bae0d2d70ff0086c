package cause

import (
	"math"
	"slices"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
)

// paces are the readings of music at another tempo: by straight lines through a stroke
// where the tempo may have changed and one of the latest, those that explain most.
func (j *Judge) paces(ev *evidence) []reading {
	onsets := ev.onsets()
	if len(onsets) < fewestOnsets {
		return nil
	}
	var all []candidate
	sample := sampled(onsets)
	for a := range min(mostAnchors, len(onsets)-fewestOnsets+1) {
		for b := max(a+fewestOnsets-1, len(onsets)-mostAnchors); b < len(onsets); b++ {
			all = j.lines(all, ev, &ev.struck[onsets[a]], &ev.struck[onsets[b]], sample, b-a)
		}
	}
	slices.SortStableFunc(all, func(a, b candidate) int { return b.explained - a.explained })
	var few []reading
	for i := range all {
		r, ok := j.straightened(all[i].r, ev)
		if ok && !slices.ContainsFunc(few, func(f reading) bool { return math.Abs(f.pace/r.pace-1) < snap }) {
			few = append(few, r)
		}
		if len(few) == likeliestPaces || i == mostLines {
			break
		}
	}
	return few
}

// onsets are the strikes that open an onset, from some that come before what is in doubt.
func (ev *evidence) onsets() (all []int) {
	before := 0
	for i := range ev.struck {
		if ev.struck[i].opens {
			all = append(all, i)
			if i < ev.doubted {
				before++
			}
		}
	}
	return all[max(0, before-sureOnsets):]
}

// sampled are some of the onsets, evenly.
func sampled(onsets []int) (few []int) {
	n := min(len(onsets), mostSampled)
	for i := range n {
		few = append(few, onsets[i*len(onsets)/n])
	}
	return few
}

// lines adds the lines through two strikes that fall on places where they are wanted: the
// first not far from where it would be at the present tempo. So many onsets lie between.
func (j *Judge) lines(all []candidate, ev *evidence, from, to *strike, sample []int, between int) []candidate {
	far, reach := j.inScore(&ev.present, from.at), time.Duration(farthestTurn*float64(j.Click.Beat()))
	first, last := around(j.places, far-reach, far+reach)
	for a := first; a < last; a++ {
		if !j.wants(&ev.present, a, from) {
			continue
		}
		for b := a + 1; b < len(j.places); b++ {
			way := j.places[b].far - j.places[a].far
			pace := float64(way) / float64(to.at-from.at)
			if pace > fastest {
				break
			}
			if pace < 1/fastest || pace > slowerBy && pace < fasterBy || !j.wants(&ev.present, b, to) {
				continue
			}
			r := ev.present
			r.pace = pace
			r.late = from.at - time.Duration(float64(j.places[a].far)/pace) - j.Click.PassStart(r.pass)
			c := candidate{r, -max(0, b-a-between)}
			for _, i := range sample {
				if j.explains(&r, &ev.struck[i]) {
					c.explained++
				}
			}
			all = append(all, c)
		}
	}
	return all
}

// wants reports that something like a key is wanted at a place.
func (j *Judge) wants(r *reading, at int, s *strike) bool {
	return j.places[at].classes.Has(pitch.ClassOf(int(s.key) - r.up))
}

// straightened is a line laid anew through all strikes that it explains, from where it
// crosses the present one.
func (j *Judge) straightened(r reading, ev *evidence) (reading, bool) {
	for range 2 {
		j.fit(&r, ev)
	}
	if r.pace > slowerBy && r.pace < fasterBy {
		return r, false
	}
	if whole := whole(r.pace); whole != r.pace { // turned about its middle
		middle := ev.struck[(ev.doubted+len(ev.struck))/2].at
		far := j.inScore(&r, middle)
		r.pace = whole
		r.late += middle - j.sounds(&r, far)
	}
	r.causes[when] = finding.Cause{Kind: finding.HalfTempo, Ratio: r.pace, Hand: finding.BothHands}
	if r.pace > 1 {
		r.causes[when].Kind = finding.DoubleTempo
	}
	r.change = j.crossing(&r, ev)
	return r, true
}

// fit lays a straight line through the strikes that a reading explains, and the places
// nearest to them.
func (j *Judge) fit(r *reading, ev *evidence) {
	var n, sx, sy, sxx, sxy float64
	start := ev.struck[ev.doubted].at
	for i := ev.doubted; i < len(ev.struck); i++ {
		s := &ev.struck[i]
		if !s.opens || !j.explains(r, s) {
			continue
		}
		at := j.spotAt(r, s.at)
		x, y := float64(s.at-start), float64(j.places[at.place].far+time.Duration(at.pass-r.pass)*j.Click.Pass())
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	along := n*sxx - sx*sx
	if n < fewestOnsets || along <= 0 {
		return
	}
	pace := (n*sxy - sx*sy) / along
	if pace <= 0 {
		return
	}
	r.pace = pace
	far := time.Duration((sy - pace*sx) / n)
	r.late += start - j.sounds(r, far)
}

// crossing is where the line of a reading leaves the present one: where they cross, if
// that is in the stretch.
func (j *Judge) crossing(r *reading, ev *evidence) change {
	since := j.doubt.since
	p := &ev.present
	t := since
	if turn := r.tempo() - p.tempo(); turn != 0 {
		t = time.Duration((float64(j.begins(r))*r.tempo() - float64(j.begins(p))*p.tempo()) / turn)
	}
	if !j.told || t < since || t > ev.struck[len(ev.struck)-1].at {
		return change{leave: since, enter: since}
	}
	far := j.inScore(p, t) - j.close()
	return change{leave: j.sounds(p, far), enter: j.sounds(r, far)}
}

// whole is half or twice the tempo where a pace is near it.
func whole(pace float64) float64 {
	for _, n := range []float64{0.5, 2} {
		if math.Abs(pace-n) <= snap*n {
			return n
		}
	}
	return pace
}
