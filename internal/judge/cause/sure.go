package cause

import (
	"math"
	"slices"
	"time"

	"undersong/internal/judge/finding"
)

// measured reports that strokes enough tell of a reading's time, and measures a delay.
func (j *Judge) measured(r *reading, w *weight, now time.Duration) bool {
	if r.is(finding.OtherChart) {
		return w.foreign(0) && w.wrong >= fewestWrongs && now-j.doubt.since >= fewestForeign*j.barLasts()
	}
	if r.score != nil {
		return j.enoughInstead(r, w, now) && float64(w.right) >= leastInstead*float64(w.right+w.wrong)
	}
	if !r.moves() || r.causes[when] == j.reading.causes[when] {
		return true
	}
	if !w.steady() {
		return false
	}
	c := &r.causes[when]
	if r.pace > nearSlower && r.pace < nearFaster && w.right < fewestEven {
		return false
	}
	if r.pace != 0 {
		return math.Abs(r.tempo()-j.reading.tempo())*float64(now-max(r.change.enter, j.Click.Start)) >= farthestDrift*float64(j.Click.Beat())
	}
	if c.Kind != finding.Delay {
		return true
	}
	if !w.even() || j.told && now-r.change.enter < barsEven*j.barLasts() {
		return false
	}
	r.late += w.mean()
	c.Offset = r.late
	return max(r.late, -r.late) >= leastShift
}

// certain reports that strokes enough tell that the music is elsewhere: over some
// harmonies, which may come by chance once, and over more where the bars stay in time.
func (j *Judge) certain(r *reading, w *weight, anew, found []placed) bool {
	if w.right < fewestCertain || float64(w.right) < leastCertain*float64(w.right+w.wrong) {
		return false
	}
	if !j.inTime(r) {
		return false
	}
	harmonies := map[chordOf]bool{}
	for i := range anew {
		f := &anew[i]
		known := slices.ContainsFunc(found, func(g placed) bool {
			return g.Kind == finding.Right && max(g.at-f.at, f.at-g.at) <= j.close()
		})
		if f.Kind == finding.Right && !known {
			harmonies[chordOf{f.Pass, f.Bar, f.harmony}] = true
		}
	}
	return len(harmonies) >= j.fewestHarmonies(r, w)
}

// fewestHarmonies is how many bars and harmonies must tell that music is elsewhere: more where
// it is off by whole bars, so that only its notes tell, or where nobody stopped who went back.
func (j *Judge) fewestHarmonies(r *reading, w *weight) int {
	bars := float64(r.late) / float64(j.barLasts())
	inBars := math.Abs(bars-math.Round(bars))*float64(j.barLasts()) <= float64(j.close())
	c := &r.causes[when]
	switch {
	case inBars && j.options.Patient && w.wrong == 0 && w.right >= 2*fewestCertain:
		return fewestFaultless
	case inBars, c.Kind == finding.Restarted && c.Pause < j.Click.Beat():
		return fewestInBars
	}
	return fewestHarmonies
}

// inTime reports that music which is elsewhere goes on with a beat of the click's, as
// where bars are left out, or after a pause.
func (j *Judge) inTime(r *reading) bool {
	beat := j.Click.Beat()
	off := (r.late - j.reading.late) % beat
	off = min(max(off, -off), beat-max(off, -off))
	return off <= j.close() || r.causes[when].Pause > beat*3/2
}

// enoughInstead reports that strokes enough show that something else is played, or bars
// enough where it has few; not before all accompaniments were looked at.
func (j *Judge) enoughInstead(r *reading, w *weight, now time.Duration) bool {
	if r.is(finding.SwappedHands) {
		return w.right >= fewestSwapped
	}
	long := now-max(r.change.enter, j.Click.Start) >= barsInstead*j.barLasts() && w.right >= fewestSparse
	return len(j.left) == 0 && (w.right >= fewestInstead || long)
}
