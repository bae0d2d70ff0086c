package timing

import (
	"time"

	"undersong/internal/judge/rules"
	"undersong/internal/listen/follow"
	"undersong/internal/music/meter"
)

// settle takes the follower's place for the open onset.
func (k *Lead) settle(est *follow.Estimate, at time.Duration) {
	first := !k.settled
	k.settled = true
	k.unsure, k.doubtful = est.Confidence < surely, est.Confidence < likely
	moved := !k.begun || est.Pass != k.place.pass || est.At != k.place.at
	back := est.Pass < k.place.pass || est.Pass == k.place.pass && est.At < k.place.at
	k.second = !est.Extra && !est.Jumped && est.Before != est.At && k.trialBefore == trial{est.Pass, est.At, true}
	fromTop := !k.begun && est.Pass == 0 && est.At < k.score.Meter.Bar()
	switch {
	case fromTop:
		k.begin(&follow.Estimate{}) // perhaps with its first stroke left out
		k.goOn(est, at)
	case !k.begun || k.lost || back || est.Jumped && (moved || first):
		k.begin(est)
	case moved:
		k.takeBack(est)
		if k.confirms(est) {
			k.place.at, k.doubts = est.Before, 0
		}
		k.goOn(est, at)
	}
	k.doubts, k.trials = 0, 0
	if !k.doubtful || k.withheld.age > longestWithheld {
		k.release(at)
	}
	k.mute = est.Jumped && est.Confidence < sure
	if moved && !est.Extra {
		k.place.since = k.sep.Onset.Start
	}
	k.place.at, k.place.pass, k.begun, k.lost = est.At, est.Pass, true, false
	aim, ok := est.At, true
	if est.Extra {
		aim, ok = k.next()
	}
	k.aim(est.Pass, aim, ok)
	k.enter(est, moved, at)
}

// begin begins anew at a place: what lies open elsewhere is dropped.
func (k *Lead) begin(est *follow.Estimate) {
	k.withheld.drop()
	k.restart(est)
	k.judge.Begin()
	k.bar = est.Pass*len(k.score.Bars) + est.Bar
	k.place.harmony = -1
}

func (k *Lead) restart(est *follow.Estimate) {
	for _, h := range k.sep.Hands {
		h.Restart(est.Pass, est.At)
	}
}

// goOn goes on to a later place: strokes that lie before it and were not played
// are missing, and bars before it are over. Where the place was in doubt, or lies
// more than a bar ahead, nobody can say what was left out.
func (k *Lead) goOn(est *follow.Estimate, at time.Duration) {
	ahead := est.At - k.place.at + meter.Ticks(est.Pass-k.place.pass)*k.score.Length
	far := ahead > k.score.Meter.Bar()
	if far {
		k.withheld.drop() // it was this place all along
	}
	if k.doubts > 0 && !k.second || far {
		k.restart(est)
	}
	k.closeBefore(est.Pass, est.At, at)
	bar := est.Pass*len(k.score.Bars) + est.Bar
	for ; k.bar < bar; k.bar++ {
		k.judge.EndBar(k.bar, at)
	}
}

// confirms reports that the one onset whose place was in doubt stood where it was
// tried.
func (k *Lead) confirms(est *follow.Estimate) bool {
	return k.trials == 1 && !est.Jumped && k.trialBefore == trial{est.Pass, est.Before, true}
}

// closeBefore ends the time of every stroke that lies before a place.
func (k *Lead) closeBefore(pass int, place meter.Ticks, now time.Duration) {
	for _, h := range k.sep.Hands {
		for h.Before(pass, place) {
			k.judge.Close(h, now)
		}
	}
}

// enter notes the harmony of a place.
func (k *Lead) enter(est *follow.Estimate, moved bool, at time.Duration) {
	h := k.score.HarmonyAt(est.At)
	if moved && k.place.harmony >= 0 && h != k.place.harmony {
		k.judge.Expect(rules.Change{Harmony: h, Pass: est.Pass, At: at, Beat: k.follower.Beat()})
	}
	k.place.harmony = h
}
