package cause

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/sheet/score"
)

// mistaken reports a kind that a cause may explain. How long and how loud a note is
// has causes of its own.
func mistaken(k finding.Kind) bool {
	return k == finding.Early || k == finding.Late || k == finding.Extra || k >= finding.Missing && k < finding.Lost
}

// alone reports a mistake that is none of many with one cause: one wrong note of a chord.
func alone(f *finding.Finding, s *score.Score) bool {
	return f.Kind == finding.WrongNote && f.OctavesOff() == 0 && f.Want >= 0 && s.Wants[f.Want].Role == score.Block
}

// doubt is a stretch that went wrong, and of which nobody knows yet why.
type doubt struct {
	on     bool
	likely bool          // a cause is better than none, but not by so much that it is sure
	near   bool          // one is better by enough, and too little tells of it yet
	looked time.Duration // when causes were last looked for
	vain   bool          // causes were looked for in vain: nothing is kept back any more
	since  time.Duration // when what is in doubt began to sound
	began  time.Duration // when that was known
	tell   time.Duration // up to when it was told, for all that
	held   []finding.Finding
	pass   int // in which it began

	right, wrong int
	run          int     // of right strokes, the latest
	missing      int     // of strokes that did not come, the latest
	look         int     // mistakes at which causes are looked for next
	pause        int     // and how many more until the look after that
	any          bool    // a right stroke is due, of any hand
	due          [2]bool // and of this one
}

func (d *doubt) begin(since, now time.Duration) {
	*d = doubt{on: true, since: since, began: now, tell: since, held: d.held[:0], look: fewestWrong, pause: everyWrong}
}

func (d *doubt) end() { d.on, d.vain, d.held = false, false, d.held[:0] }

// count counts a finding, and reports that causes are to be looked for.
func (d *doubt) count(f *finding.Finding, due bool) (look bool) {
	switch {
	case f.Kind == finding.Right:
		d.right++
		d.run++
		d.missing = 0
		d.any = false
		d.due[f.Part] = false
	case mistaken(f.Kind):
		d.wrong++
		d.run = 0
		d.any = true
		if due {
			d.due[f.Part] = true
		}
		if d.missing++; f.Kind != finding.Missing {
			d.missing = 0
		}
		return d.looks()
	}
	return false
}

// looks reports that causes are to be looked for, and puts off the next time: where it
// was in vain, for longer than before, so that playing without any sense does not keep
// the program busy. Where nothing comes any more it is looked at anew.
func (d *doubt) looks() bool {
	silent := d.missing >= manyMissing
	if d.missing == manyMissing {
		d.look, d.pause = d.wrong, everyWrong
	}
	if d.wrong < d.look {
		return false
	}
	if d.vain && !d.likely && !silent {
		d.pause = longer(d.pause)
	}
	d.look = d.wrong + d.pause
	return true
}

// longer is how many mistakes pass until the next look, after so many were in vain.
func longer(pause int) int { return min(pause+pause/2, seldomWrong) }

// over reports that things are going right again: as often as they went wrong, and some
// times more, some of them in a row; or, after much that had no cause, many in a row.
func (d *doubt) over(more, row int) bool {
	return !d.any && d.due == [2]bool{} && (d.right >= d.wrong+more && d.run >= row || d.vain && d.run >= manyRight)
}

// resolve looks for causes where that is due, or ends the doubt. It reports that all that
// was kept back is dealt with.
func (j *Judge) resolve(look bool, now time.Duration) bool {
	d := &j.doubt
	over := d.over(j.calm(), j.inARow()) && !j.leaping()
	look = look || over && d.near && now >= d.looked+j.barLasts()
	switch {
	case look && j.consider(now, false):
		return true
	case over && !d.near:
		vain := d.vain
		j.release()
		return !vain
	case !d.vain && now > d.began+j.patience() && !(j.options.Patient && j.leaping()):
		if d.likely && j.consider(now, true) {
			return true
		}
		j.release()
		d.vain = !j.options.Patient || j.led != nil || d.right < d.wrong+j.calm()
		d.on = d.vain // else what goes wrong next is in doubt for itself
		return true
	}
	return false
}

// doubts reports a mistake that may be one of many with one cause. In a recording any may.
func (j *Judge) doubts(f *finding.Finding) bool {
	again := f.Kind == finding.Missing && f.Part <= finding.RightHand && j.missed[f.Part]
	if j.options.Patient && j.led == nil {
		return true
	}
	return (j.options.Patient || !j.told || j.slipped || again) && !alone(f, j.Score)
}

// patience is how long findings are kept back.
func (j *Judge) patience() time.Duration {
	bars := time.Duration(longestDoubt)
	if j.doubt.likely {
		bars = likelyDoubt
	}
	if j.options.Patient {
		bars *= patientDoubt
	}
	return bars * j.barLasts()
}

// calm is how many strokes more must be right than were wrong: one may be by chance, where
// there is time to wait for another.
func (j *Judge) calm() int {
	switch {
	case j.options.Patient && !j.told:
		return firstRight
	case j.options.Patient:
		return patientRight
	}
	return 0
}

// inARow is how many strokes in a row must be right: where there is time to wait, what goes
// wrong between right strokes may have one cause yet.
func (j *Judge) inARow() int {
	if j.options.Patient && j.led == nil {
		return manyRight
	}
	return 0
}

// due reports that a mistake may be one of a hand alone, so that the other's right strokes
// say nothing about it.
func (j *Judge) due(f *finding.Finding) bool {
	if f.Part > finding.RightHand {
		return false
	}
	return j.never[f.Part] || f.OctavesOff() != 0 || f.Kind == finding.Missing && (j.options.Patient || j.missed[f.Part])
}
