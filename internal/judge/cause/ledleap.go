package cause

import (
	"slices"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/flow"
	"undersong/internal/music/meter"
)

// away is a way on to another place than the next, until it is sure that the player went
// there: the follower may have misheard.
type away struct {
	on                 bool
	way                flow.Break
	wrongBars          int // bars in which anything was wrong
	wrongBar           int // the last of them
	right, wrong       int // what was told since
	bar, bars          int // the last bar in which anything was right since, and how many there were
	looked             int // bars when it was looked at last: it is looked at once a bar
	harmony, harmonies int // the same of harmonies
}

// count counts what was told under the new place.
func (l *away) count(f *finding.Finding, harmony int) {
	switch {
	case !l.on:
	case f.Kind == finding.Right:
		if l.right++; f.Bar != l.bar {
			l.bar = f.Bar
			l.bars++
		}
		if harmony != l.harmony {
			l.harmony = harmony
			l.harmonies++
		}
	default:
		if l.wrong++; f.Bar != l.wrongBar || l.wrong == 1 {
			l.wrongBar = f.Bar
			l.wrongBars++
		}
		l.on = l.wrong <= l.right+fewestThere
	}
}

// clean reports that the player plays on there so well that little else need tell for it.
func (l *away) clean() bool {
	return l.bars > barsThere && l.harmonies > barsThere && timesClean*l.wrongBars <= l.bars
}

// sure reports that the player plays on there.
func (l *away) sure() bool {
	return l.right >= fewestThere && l.right >= timesThere*l.wrong && l.bars >= barsThere && l.harmonies >= barsThere &&
		(l.wrongBars <= mostWrongBars || l.clean())
}

// leaping reports a leap that is not sure yet.
func (j *Judge) leaping() bool { return j.led != nil && j.led.away.on }

// broke takes the breaks in the order of what is played. One that leads to where the player
// would be without the last one shows that there was none.
func (j *Judge) broke(all []flow.Break) {
	l := &j.led.away
	for i := range all {
		b := all[i]
		if l.on = l.on && b.Known <= l.way.Known+sameLeap*j.ledBar(); l.on {
			gone := meter.Ticks(float64(b.Since-l.way.Left) / float64(j.heard.Leader().Beat()) * float64(j.Score.Meter.Beat()))
			off := j.placeOf(b.ToPass, b.To) - j.placeOf(l.way.Pass, l.way.At) - gone
			if max(off, -off) <= j.Score.Meter.Bar() {
				*l = away{}
				continue
			}
			b.Pass, b.At, b.Bar, b.Left = l.way.Pass, l.way.At, l.way.Bar, l.way.Left
			b.Silent = max(b.Silent, l.way.Silent)
		}
		*l = away{on: l.on || j.goesElsewhere(&b), way: b, bar: -1, harmony: -1}
	}
}

// goesElsewhere reports a break after which the player may be elsewhere: any but a way back
// from the end.
func (j *Judge) goesElsewhere(b *flow.Break) bool {
	return b.Kind != finding.WentBack || b.At < j.Score.Wants[len(j.Score.Wants)-1].At
}

// wentAway tells of a leap that is sure, in place of the mistakes that it explains: those of
// the place that was left.
func (j *Judge) wentAway(over bool) {
	l := &j.led.away
	if j.led.open.at > l.way.Known+longestLeap*j.ledBar() {
		l.on = false
	}
	switch last := over && l.right >= fewestWrong && l.wrong == 0; {
	case !l.on, !last && (!l.sure() || l.bars == l.looked):
		return
	case !last && j.options.Patient && l.bars <= barsThere:
		return
	}
	l.looked = l.bars
	r, ok := j.route(&l.way, l.clean())
	if !ok {
		return
	}
	l.on = false
	j.tellLeap(&r)
	d := &j.doubt
	d.held = slices.DeleteFunc(d.held, func(f finding.Finding) bool {
		gone := (mistaken(f.Kind) || f.Kind == finding.Lost) && f.At > r.before && f.At <= l.way.Known
		if gone && mistaken(f.Kind) {
			d.wrong--
		}
		return gone
	})
}

// tellLeap tells what a way was.
func (j *Judge) tellLeap(r *route) {
	left, to := &j.led.moments[r.left], &j.led.moments[r.to]
	c := finding.Cause{
		Kind: finding.Restarted, Bar: j.printed(left.bar), ToBar: j.printed(to.bar), Pass: j.led.away.way.Pass + j.reading.pass,
		At: j.led.open.at, Hand: finding.BothHands, Pause: r.pause,
	}
	if to.place > left.place {
		if to.bar < left.bar+2 {
			return
		}
		c.Kind, c.Bar, c.ToBar, c.Pause = finding.Skipped, j.printed(left.bar+1), j.printed(to.bar-1), 0
	}
	j.causes, j.all = append(j.causes, c), append(j.all, c)
}

func (j *Judge) printed(bar int) int { return j.Score.Bars[bar].Number }
