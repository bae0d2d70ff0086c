package timing

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/handsep"
	"undersong/internal/music/meter"
)

// doubtful reports a place that is no better known than that which was expected.
func doubtful(est *follow.Estimate) bool {
	return est.Lost || est.Confidence < sure || est.Jumped && est.Confidence < surely
}

// still reports that the place is where the player was already.
func (k *Lead) still(est *follow.Estimate) bool {
	return !k.lost && est.Pass == k.place.pass && est.At == k.place.at
}

// undecided reports a place that is doubtful, or that the player may have gone on from.
func (k *Lead) undecided(est *follow.Estimate) bool {
	return doubtful(est) || k.still(est) && est.Confidence < likely
}

// attempt takes the open onset for a try at the likeliest place or, where that is
// in doubt, at the next one, if it comes at its time, or else for one stroke more where
// the player is. The player's place stays where it was.
func (k *Lead) attempt(est *follow.Estimate) bool {
	if !est.Extra && !k.undecided(est) {
		k.aim(est.Pass, est.At, true)
		return true
	}
	next, ok := k.next()
	ok = ok && !k.lost && k.doubts <= patience
	still := k.still(est)
	if !ok && still && !est.Extra {
		next, ok = est.At, true
	}
	k.aim(k.place.pass, next, ok)
	return ok || still
}

// conclude finds a place for an onset that is over and stood in doubt until now. It
// reports whether the onset is to be judged.
func (k *Lead) conclude(at time.Duration) bool {
	est := k.follower.Estimate()
	if !k.undecided(&est) {
		k.settle(&est, at)
		return true
	}
	if doubtful(&est) {
		k.doubts++
	}
	k.trials++
	k.doubtful = true
	if est.Lost && k.doubts > patience {
		k.lose(&est, at)
		return false
	}
	if !k.attempt(&est) { // the next onset may say where it belongs; until then nothing is told
		k.mute = true
		for _, h := range k.sep.Hands {
			h.Unsettle()
		}
	}
	return true
}

// aim takes the open onset for the strokes of a place, or for none.
func (k *Lead) aim(pass int, at meter.Ticks, ok bool) {
	k.trial = trial{pass, at, ok}
	for i, h := range k.sep.Hands {
		k.sep.Onset.Open[i] = handsep.Nothing
		if ok {
			k.sep.Onset.Open[i].Stroke = h.StrokeAt(pass, at)
		}
	}
}

// next is the next place where anything is wanted, where the onset comes at its
// time.
func (k *Lead) next() (meter.Ticks, bool) {
	next := k.score.Length
	for _, h := range k.sep.Hands {
		if i := h.FirstFrom(k.place.at + 1); i < h.Len() {
			next = min(next, h.Want(i).At)
		}
	}
	if next == k.score.Length {
		return 0, false
	}
	gap := k.Lasts(k.place.at, next)
	off := k.sep.Onset.Start - k.place.since - gap
	return next, float64(max(off, -off)) <= inTime*float64(gap)
}

// lose drops an onset that nobody can place, and tells once that the place is lost.
func (k *Lead) lose(est *follow.Estimate, at time.Duration) {
	k.sep.Onset.End()
	k.withheld.drop()
	if k.lost {
		return
	}
	k.lost = true
	k.judge.Tell(finding.Finding{
		Kind: finding.Lost, Part: finding.BothHands, Bar: est.Bar, Pass: est.Pass,
		Beat: k.score.Meter.BeatAt(est.At - k.score.Bars[est.Bar].At), At: at, Want: -1, Second: -1,
	})
}
