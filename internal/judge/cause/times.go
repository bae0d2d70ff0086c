package cause

import (
	"math"
	"slices"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// shifts are the readings of music that comes early or late as a whole: by the distances
// in time between what is struck and where the same notes are wanted, those that are most
// frequent.
func (j *Judge) shifts(struck []strike, at stretch) []reading {
	beat := j.Click.Beat()
	far := time.Duration(farthestShift * float64(beat))
	votes := map[int]int{}
	sums := map[int]time.Duration{}
	for i := range struck {
		j.near(at, struck[i].at, far, func(w *score.Want, off time.Duration) {
			if accepts(w, struck[i].key) {
				n := int(math.Round(float64(off) / float64(binOfShift)))
				votes[n]++
				sums[n] += off
			}
		})
	}
	var all []reading
	if j.reading.pace != 0 {
		return nil
	}
	for _, n := range mostFrequent(votes) {
		if off := j.reading.late + meanAround(votes, sums, n); max(off, -off) >= leastShift {
			all = append(all, shifted(off, beat))
		}
	}
	return all
}

// near calls f for the strokes of a stretch that are wanted near a time, with how late
// that is for them.
func (j *Judge) near(at stretch, t, far time.Duration, f func(w *score.Want, off time.Duration)) {
	for i := range j.Score.Wants {
		w := &j.Score.Wants[i]
		if w.Bar < at.first || w.Bar > at.last {
			continue
		}
		if off := t - j.heard.Click.TimeOf(at.pass-j.reading.pass, w.At); max(off, -off) <= far {
			f(w, off)
		}
	}
}

// accepts reports a key that some note of a stroke may be.
func accepts(w *score.Want, key pitch.Num) bool {
	for t := range w.Tones {
		if w.Tones[t].Accept.Has(key.Class()) {
			return true
		}
	}
	return false
}

// mostFrequent are the few with most votes, each with its neighbours'.
func mostFrequent(votes map[int]int) []int {
	var all []int
	for n := range votes {
		all = append(all, n)
	}
	with := func(n int) int { return votes[n-1] + 2*votes[n] + votes[n+1] }
	slices.SortFunc(all, func(a, b int) int {
		if with(a) != with(b) {
			return with(b) - with(a)
		}
		return a - b
	})
	var few []int
	for _, n := range all {
		if len(few) < likeliest && !slices.ContainsFunc(few, func(f int) bool { return n-f >= -2 && n-f <= 2 }) {
			few = append(few, n)
		}
	}
	return few
}

func meanAround(votes map[int]int, sums map[int]time.Duration, n int) time.Duration {
	return (sums[n-1] + sums[n] + sums[n+1]) / time.Duration(votes[n-1]+votes[n]+votes[n+1])
}

// shifted is the reading of a distance in time: beats where it is some half beats, else
// a delay.
func shifted(off, beat time.Duration) reading {
	r := reading{late: off, cause: finding.Cause{Kind: finding.Delay, Offset: off, Hand: finding.BothHands}}
	if max(off, -off) < time.Duration(mostDelay*float64(beat)) {
		return r
	}
	halves := math.Round(2 * float64(off) / float64(beat))
	r.cause = finding.Cause{Kind: finding.LateStart, Beats: halves / 2, Hand: finding.BothHands}
	if off < 0 {
		r.cause.Kind = finding.EarlyStart
	}
	return r
}

// paces are the readings of music at another tempo, from the first stroke of the stretch
// on, or from the one before it: by the median of how long it is from stroke to stroke,
// and then the straight line through the times at which they come.
func (j *Judge) paces(at stretch, now time.Duration) []reading {
	places, from := j.wanted(at)
	var all []reading
	for _, first := range []int{from, from - 1} {
		if first < 0 || first >= len(places) {
			continue
		}
		begins := places[first]
		slope, middle, start, ok := line(j.onsets(begins-j.reach(), now), places[first:], j.reading.pace != 0)
		if pace := whole(j.pace() / slope); ok && (pace <= slowerBy || pace >= fasterBy) {
			passes := j.heard.Click.PassStart(at.pass - j.reading.pass)
			slope = j.pace() / pace
			all = append(all, j.paced(pace, start-time.Duration(slope*float64(middle-passes)), at.pass))
		}
	}
	return all
}

// pace is the present reading's.
func (j *Judge) pace() float64 {
	if j.reading.pace == 0 {
		return 1
	}
	return j.reading.pace
}

// wanted are the times at which something is wanted in a stretch by the click, and the
// first of them that is in doubt.
func (j *Judge) wanted(at stretch) (places []time.Duration, from int) {
	for i := range j.Score.Wants {
		w := &j.Score.Wants[i]
		if w.Bar < at.first || w.Bar > at.last || i > 0 && j.Score.Wants[i-1].At == w.At && len(places) > 0 {
			continue
		}
		t := j.heard.Click.TimeOf(at.pass-j.reading.pass, w.At)
		if t < j.doubt.since {
			from++
		}
		places = append(places, t)
	}
	return places, from
}

// onsets are the times at which something is struck.
func (j *Judge) onsets(from, now time.Duration) []time.Duration {
	var all []time.Duration
	j.kept.each(from, now, func(ev event.Event) {
		if ev.IsNoteOn() && (len(all) == 0 || ev.At > all[len(all)-1]+keyboard.Together) {
			all = append(all, ev.At)
		}
	})
	return all
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

// line finds how many times longer than wanted it is from onset to onset, and when the
// place in the middle sounds then. near says that about as long as wanted is meant.
func line(onsets, places []time.Duration, near bool) (slope float64, middle, sounds time.Duration, ok bool) {
	n := min(len(onsets), len(places))
	if n < fewestOnsets {
		return 0, 0, 0, false
	}
	slope, start := 1.0, float64(places[0])
	if !near {
		var gaps []float64
		for i := 1; i < n; i++ {
			gaps = append(gaps, float64(onsets[i]-onsets[i-1])/float64(places[i]-places[i-1]))
		}
		slices.Sort(gaps)
		slope, start = gaps[len(gaps)/2], float64(onsets[0])
	}
	for range 3 {
		slope, start = fit(onsets, places, slope, start)
	}
	middle = places[n/2]
	return slope, middle, time.Duration(start + slope*float64(middle-places[0])), slope > 0
}

// fit is the straight line through onsets and the places that are nearest by another.
func fit(onsets, places []time.Duration, slope, start float64) (float64, float64) {
	var n, sx, sy, sxx, sxy float64
	i := 0
	time := func(i int) float64 { return start + slope*float64(places[i]-places[0]) }
	for _, o := range onsets {
		for i+1 < len(places) && math.Abs(time(i+1)-float64(o)) < math.Abs(time(i)-float64(o)) {
			i++
		}
		x, y := float64(places[i]-places[0]), float64(o)
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	along := n*sxx - sx*sx
	if along <= 0 {
		return slope, start
	}
	slope = (n*sxy - sx*sy) / along
	return slope, (sy - slope*sx) / n
}

// paced is the reading of a pace in which a pass begins at a time.
func (j *Judge) paced(pace float64, begins time.Duration, pass int) reading {
	r := reading{pass: pass, pace: pace, cause: finding.Cause{Kind: finding.HalfTempo, Ratio: pace, Hand: finding.BothHands}}
	if pace > 1 {
		r.cause.Kind = finding.DoubleTempo
	}
	r.late = begins - j.Click.PassStart(pass)
	return r
}
