package timing

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/handsep"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// Lead is the time of a player who leads. A place that was passed makes what was
// not played there missing; nothing is missing by time alone, and nothing early or
// late.
type Lead struct {
	score    *score.Score
	follower *follow.Follower
	judge    Judge
	sep      *handsep.Separator
	options  LeadOptions

	place place
	begun bool
	lost  bool // the place is lost, and that was told
	bar   int  // that is played, counted through all passes

	// The other hand, where it is not followed.
	joined bool          // it plays, too,
	other  time.Duration // and was heard last then

	// The open onset.
	settled  bool // its place is taken for known
	unsure   bool // it may yet turn out to stand elsewhere
	doubtful bool // so much so that its mistakes wait for the next
	mute     bool // it may be misplaced: only what is right is told

	trial, trialBefore trial           // what the open onset is judged as, and the one before was
	here, hereBefore   follow.Position // where each stands by the tempo alone
	second             bool            // the one before was too early for what both are judged as

	doubts   int // onsets in a row that leave the place in doubt
	trials   int // the same, with those of which one cannot say whether the player has gone on
	withheld withheld
}

// place is where the player is.
type place struct {
	pass    int
	at      meter.Ticks   // what sounds
	since   time.Duration // when it was first struck
	harmony int           // index into the score's harmonies; -1 where nothing came before
}

// trial is a place at which an onset is judged, where ok.
type trial struct {
	pass int
	at   meter.Ticks
	ok   bool
}

// LeadOptions say how a player who leads is listened to.
type LeadOptions struct {
	Loop bool // after the end the score begins again
	// Waits, where not nil, reports notes that nothing asked for and that are right
	// while a singer is waited for.
	Waits     func(*finding.Finding) bool
	Low, High pitch.Num // keys under and over these are those of a hand that is not followed
}

// NewLead makes the time of a player whom f follows through s.
func NewLead(s *score.Score, f *follow.Follower, o LeadOptions, j Judge) *Lead {
	k := &Lead{score: s, follower: f, judge: j, options: o}
	k.sep = handsep.New(s, k.Lasts)
	for _, h := range k.sep.Hands {
		h.Loops = o.Loop
	}
	return k
}

// Separator is where the onset and the hands stand.
func (k *Lead) Separator() *handsep.Separator { return k.sep }

// Strike takes a key struck: it follows the player with it.
func (k *Lead) Strike(key pitch.Num, velocity uint8, at time.Duration) bool {
	if key < k.options.Low || key > k.options.High {
		k.other, k.joined = at, true
		return false
	}
	here := k.byTempo(at)
	k.follower.Strike(key, velocity, at)
	est := k.follower.Estimate()
	if est.Event < 0 {
		return false
	}
	o := &k.sep.Onset
	if !o.Active() {
		o.Start = at
		k.settled, k.mute, k.second = false, false, false
		k.trialBefore, k.trial = k.trial, trial{}
		k.hereBefore, k.here = k.here, here
		k.withheld.grow()
	}
	if !o.Told() { // what was told of it stands
		k.hear(&est, at)
	}
	k.see()
	return true
}

// hear takes the place that is likeliest with one note more. Where it was jumped to,
// the rest of the onset has to confirm it.
func (k *Lead) hear(est *follow.Estimate, at time.Duration) {
	if !k.begun || !est.Lost && !est.Jumped && est.Confidence >= surely {
		k.settle(est, at)
		return
	}
	k.unsure, k.doubtful = true, est.Lost || est.Confidence < likely
	if !k.settled {
		k.attempt(est)
	}
}

// Settle takes that the onset is over, and finds a place for it where it stood in
// doubt until now.
func (k *Lead) Settle(at time.Duration) bool {
	if !k.settled && !k.sep.Onset.Told() {
		if !k.conclude(at) {
			return false
		}
		k.see()
		k.sep.Assign()
		return true
	}
	k.see()
	return true
}

// see tells the onset what depends on the place.
func (k *Lead) see() {
	o := &k.sep.Onset
	o.Place = k.byTempo(o.Start).At
	o.Alone = !k.joined || o.Start-k.other >= company*k.follower.Beat()
}

// Finish ends the performance: what belongs to the place where the player was last
// is over, too.
func (k *Lead) Finish(at time.Duration) {
	k.judge.Advance(max(at, k.sep.Onset.Ends()+1))
	if !k.begun || k.lost {
		return
	}
	k.release(at)
	k.unsure, k.doubtful = false, false
	k.closeBefore(k.place.pass, k.place.at+1, at)
	k.judge.EndBar(k.bar, at)
}

// Position is the place of an onset that stands for nothing, counted by the tempo
// from the place before it. Of two that were taken for the same it is the first,
// where that was too early.
func (k *Lead) Position(at time.Duration) follow.Position {
	if k.second && at == k.sep.Onset.Start {
		return k.hereBefore
	}
	return k.byTempo(at)
}

func (k *Lead) byTempo(at time.Duration) follow.Position {
	elapsed := float64(max(0, at-k.place.since)) / float64(k.follower.Beat()) * float64(k.score.Meter.Beat())
	ticks := meter.Ticks(k.score.Ahead(k.place.at, elapsed))
	p := follow.Position{Pass: k.place.pass, At: min(k.place.at+ticks, k.score.Length-1)}
	p.Bar = k.score.BarAt(p.At)
	p.Beat = k.score.Meter.BeatAt(p.At - k.score.Bars[p.Bar].At)
	return p
}

// Lasts is how long a stretch of the score takes in the player's tempo.
func (k *Lead) Lasts(from, to meter.Ticks) time.Duration {
	return time.Duration(float64(k.follower.Beat()) * (k.score.Elapsed(to) - k.score.Elapsed(from)) / float64(k.score.Meter.Beat()))
}

// Closes is never.
func (k *Lead) Closes(*handsep.Hand) time.Duration { return rules.Never }

// BarEnds is never.
func (k *Lead) BarEnds(int) time.Duration { return rules.Never }

// NextChange is not known: the player makes it.
func (k *Lead) NextChange(int, int) (rules.Change, bool) { return rules.Change{}, false }

// Off is 0.
func (k *Lead) Off(*handsep.Hand, int, time.Duration) time.Duration { return 0 }

// Tolerance has no meaning here.
func (k *Lead) Tolerance(*handsep.Hand, int) (time.Duration, bool) { return 0, false }

// Unsure reports that the open onset may yet turn out to stand elsewhere.
func (k *Lead) Unsure() bool { return k.unsure }

// Admit keeps mistakes back while the place is in doubt.
func (k *Lead) Admit(f *finding.Finding) bool {
	if k.options.Waits != nil && k.options.Waits(f) {
		return false
	}
	if f.Kind < finding.Extra || f.Kind >= finding.Lost {
		return true
	}
	if !k.mute && k.doubtful {
		k.withheld.hold(f)
	}
	return !k.mute && !k.doubtful
}
