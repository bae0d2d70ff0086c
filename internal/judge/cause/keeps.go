package cause

import (
	"time"

	"undersong/internal/judge/finding"
)

// astray is how far strokes come of late from where another tempo than the click's has
// them: nobody keeps it as a click does.
type astray struct {
	since time.Duration // when the tempo was measured
	n     int           // strokes since then
	mean  float64       // nanoseconds: of the latest
}

// take takes a stroke that came so much late.
func (a *astray) take(late time.Duration) {
	a.n++
	a.mean += (float64(late) - a.mean) / float64(min(a.n, latestAstray))
}

// keepUp follows a player who keeps another tempo: it is measured anew where strokes come
// late or early again and again. It reports that what is played is judged anew from this
// stroke on.
func (j *Judge) keepUp(f *finding.Finding) bool {
	a := &j.astray
	if j.reading.pace == 0 || j.led != nil || !timed(f.Kind) || f.Part > finding.RightHand {
		return false
	}
	a.take(f.Offset)
	at := j.wantedAt(f)
	if a.n < latestAstray || max(a.mean, -a.mean) < float64(leastAstray) || at <= a.since+j.barLasts() {
		return false
	}
	r := j.reading
	turned := j.inScore(&r, a.since)
	r.pace *= 1 - a.mean/float64(at-a.since)
	r.late += a.since - j.sounds(&r, turned)
	enter := at + time.Duration(a.mean) - j.close()/2
	r.change = change{leave: enter, enter: enter}
	j.reading, j.astray = r, astray{since: at}
	j.doubt.since, j.doubt.tell, j.fresh, j.found = enter, enter, [2]bool{}, true
	j.heard, _ = j.judge(&r, stretch{r.pass, 0, len(j.Score.Bars) - 1}, j.options.Loop)
	return true
}
