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
	list [mostWithheld]finding.Finding
	n    int
	age  int // onsets since the first was put there
}

// hold keeps a finding; where there is no room it is dropped.
func (w *withheld) hold(f *finding.Finding) {
	if w.n < len(w.list) {
		w.list[w.n] = *f
		w.n++
	}
}

// grow counts one more onset.
func (w *withheld) grow() {
	if w.n > 0 {
		w.age++
	}
}

// dropUnasked drops strokes that nothing seemed to ask for.
func (w *withheld) dropUnasked() {
	kept := w.list[:0]
	for _, f := range w.list[:w.n] {
		if f.Kind != finding.Extra || f.Want >= 0 {
			kept = append(kept, f)
		}
	}
	w.n = len(kept)
}

func (w *withheld) drop() { w.n, w.age = 0, 0 }

// release tells what was kept: the place has proved right.
func (k *Lead) release(at time.Duration) {
	w := &k.withheld
	for i := range w.list[:w.n] {
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
	k.withheld.dropUnasked()
	for _, h := range k.sep.Hands {
		if j := h.StrokeAt(est.Pass, est.Before); j >= 0 {
			h.Stroke(j).Judged = true
		}
	}
}
