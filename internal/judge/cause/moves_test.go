package cause

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
)

// Ten strokes in time, and then three a beat late: that comes before moves for which more notes
// speak, all of them together; in another key too.
func TestWhatExplainsMostIsTriedFirst(t *testing.T) {
	for _, up := range []int{0, 1, 5} {
		j := judgeOf(t, false)
		j.told = true
		ev := strokesAt(j, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6.5, 7, 7.5)
		ev.present.up = up
		for i := range ev.struck {
			s := &ev.struck[i]
			s.key += pitch.Num(up)
			s.known = j.explains(&ev.present, s)
		}
		all := j.moved(&ev, 4*j.barLasts())
		if !assert.NotEmpty(t, all) {
			return
		}
		first := &all[0]
		assert.Equal(t, 13, first.explained, "%d up", up)
		assert.Equal(t, sec(0.5), first.r.late, "%d up", up)
		assert.Equal(t, finding.LateStart, first.r.causes[when].Kind, "%d up", up)
		for i := range all {
			assert.LessOrEqual(t, all[i].explained, all[max(0, i-1)].explained, "%d up: move %d", up, i)
		}
	}
}

// What is 90 ms off is a move, what is less is where the music is.
func TestALittleOffIsNoMove(t *testing.T) {
	for off, want := range map[float64]bool{0.09: true, -0.09: true, 0.089: false, -0.089: false} {
		j := judgeOf(t, false)
		var times []float64
		for i := range 8 {
			times = append(times, 1+0.5*float64(i)+off)
		}
		ev := strokesAt(j, times...)
		found := false
		for _, c := range j.moved(&ev, j.barLasts()) {
			found = found || c.r.late == sec(off)
		}
		assert.Equal(t, want, found, "%g s", off)
	}
}

// Who begins within the score, with nothing struck before that is in doubt, has not gone back;
// who begins two bars on has left them out.
func TestWhereTheFirstStrokeInDoubtMayLead(t *testing.T) {
	for late, want := range map[float64]finding.CauseKind{-4: finding.Skipped, 4: finding.NoCause, 0: finding.NoCause} {
		j := judgeOf(t, false)
		j.told, j.doubt.since = true, sec(5)
		ev := strokesAt(j, 5, 5.5, 6)
		r := reading{late: sec(late)}
		c, ok := j.leapt(&r, &ev, 0)
		assert.Equal(t, want != finding.NoCause, ok, "%g seconds late", late)
		assert.Equal(t, want, c.Kind, "%g seconds late", late)
	}
}

// Whole bars are left out, and not some beats.
func TestHowMuchIsLeftOut(t *testing.T) {
	for early, want := range map[float64]bool{1: false, 1.5: false, 2: true, 2.5: true} {
		j := judgeOf(t, false)
		j.told = true
		ev := strokesAt(j, 1, 1.5, 2)
		r := reading{late: sec(-early)}
		_, ok := j.leapt(&r, &ev, 2)
		assert.Equal(t, want, ok, "%g seconds early", early)
	}
}
