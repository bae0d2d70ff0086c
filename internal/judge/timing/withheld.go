package timing

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
)

// withheld keeps mistakes that were found while the place was in doubt: what seems
// a stroke left out may be one that comes early, and a wrong chord the beginning of
// another bar. The next onsets say which.
type withheld struct {
	list []finding.Finding
	age  int // onsets since the first was put there
}

// hold keeps a finding. They are few: after patience nothing is told until the place
// is known, and then they are told or dropped.
func (w *withheld) hold(f *finding.Finding) { w.list = append(w.list, *f) }

// grow counts one more onset.
func (w *withheld) grow() {
	if len(w.list) > 0 {
		w.age++
	}
}

// dropUnasked drops strokes that nothing seemed to ask for, and reports whether
// there were any.
func (w *withheld) dropUnasked() bool {
	kept := w.list[:0]
	for _, f := range w.list {
		if f.Kind != finding.Extra || f.Want >= 0 {
			kept = append(kept, f)
		}
	}
	dropped := len(kept) < len(w.list)
	w.list = kept
	return dropped
}

func (w *withheld) drop() { w.list, w.age = w.list[:0], 0 }

// release tells what was kept: the place has proved right.
func (k *Lead) release(at time.Duration) {
	w := &k.withheld
	for i := range w.list {
		w.list[i].At = at
		k.judge.Say(&w.list[i])
	}
	w.drop()
}

// takeBack takes back that the onset before stood for nothing, where the player
// has gone on as if it had been a stroke, only out of time.
func (k *Lead) takeBack(est *follow.Estimate) {
	if est.Before <= k.place.at || est.Before >= est.At {
		return
	}
	aFree := k.sep.Hands[0].Free() || k.sep.Hands[1].Free() // and may have got what was meant for the other
	if !k.withheld.dropUnasked() && !aFree && k.confirms(est) {
		return
	}
	for _, h := range k.sep.Hands {
		if j := h.StrokeAt(est.Pass, est.Before); j >= 0 {
			h.Stroke(j).Judged = true
		}
	}
}
