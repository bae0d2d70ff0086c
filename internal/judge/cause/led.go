package cause

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// led is what is known besides of a player who leads. There is no time at which anything
// is wanted, so that a stretch in doubt is a stretch of what was struck, and how well a
// reading fits is a matter of the notes that it explains.
type led struct {
	onsets
	ring        [mostRecent]recent // the latest onsets that are over, by their numbers
	ups         []transposition    // the readings that were judged under, by time
	wants       []int              // the strokes of a hand that is judged alone, by their places in the score; nil for all
	low, high   pitch.Num          // its reach
	again, look int                // keys beyond it, and how many there must be for the other to be looked for
	returned    time.Duration      // when the first of these was struck
	middle      int                // a key between the hands
	moments     []moment           // of the score; nil until they are asked for
	alone       []moment           // the same of the hand that plays, where the other is silent
	away        away
	leapt       time.Duration        // when the player played on after the latest leap
	beat, due   time.Duration        // how long a beat lasts, and how long it is until the next moment
	rests       [2]rest              // by hand
	leftAt      [2]rest              // the same when the present reading was taken
	looks       bool                 // causes are to be looked for now
	anchors     [mostAnchored]anchor // the latest bars that were sure, by their numbers
	anchored    int                  // how many there were
	steady      steady
}

// transposition is from when on what was played was taken to lie elsewhere.
type transposition struct {
	from time.Duration
	up   int    // semitones: all
	lift [2]int // octaves: by hand
}

// transposed is how what was played at a time was taken.
func (l *led) transposed(at time.Duration) transposition {
	for i := len(l.ups) - 1; i >= 0; i-- {
		if at >= l.ups[i].from {
			return l.ups[i]
		}
	}
	return transposition{}
}

// key is where a key that was struck under one reading lies under another. Which hand it
// was of is a matter of where it lies as it is written.
func (l *led) key(key int, was, is transposition) int {
	for h := range was.lift {
		written := key - was.up - 12*was.lift[h]
		if (written >= l.middle) == (h == int(pattern.Right)) {
			return written + is.up + 12*is.lift[h]
		}
	}
	return key - was.up + is.up
}

// middleOf is a key between those of the hands.
func middleOf(s *score.Score) int {
	var sum, n [2]int
	for i := range s.Wants {
		w := &s.Wants[i]
		for _, key := range w.Keys() {
			sum[w.Hand] += int(key)
			n[w.Hand]++
		}
	}
	left, right := sum[pattern.Left]/max(1, n[pattern.Left]), sum[pattern.Right]/max(1, n[pattern.Right])
	switch {
	case n[pattern.Left] == 0:
		return 0
	case n[pattern.Right] == 0:
		return 128
	}
	return (left + right) / 2
}

// strikes takes an event that was heard: where it began an onset and nothing was told of
// the one before, that one fits nowhere.
func (j *Judge) strikes(ev event.Event, begins bool) {
	if !ev.IsNoteOn() {
		return
	}
	j.returns(pitch.Num(ev.Data1), ev.At)
	if begins {
		j.unexplained(ev.At)
		j.halted()
	}
	j.broke(j.heard.Breaks())
	if begins {
		j.wentAway(false)
	}
	j.timed()
	j.waits()
}

// unexplained looks at the onset that is over: where nothing was told of it, and of some
// others of late, something is wrong.
func (j *Judge) unexplained(now time.Duration) {
	l, d := j.led, &j.doubt
	if l.n == 1 {
		return
	}
	l.ring[l.n%mostRecent] = recent{l.before.at, l.strange()}
	if !l.strange() {
		return
	}
	if n, since := l.strangers(); !d.on && (n >= fewestStrange || j.options.Patient) {
		d.begin(max(0, since-keyboard.Together), now)
		d.wrong, d.pass = n-1, j.heard.Leader().Estimate().Pass+j.reading.pass
		j.mayLeap(d.since, now, false)
	}
	if !d.on {
		return
	}
	d.wrong++
	d.any = true
	if j.resolve(d.looks(), now); j.found {
		j.judgeAnew(now)
	}
}

// recent is one of the latest onsets.
type recent struct {
	at      time.Duration
	strange bool
}

// strangers counts the strange onsets since two in a row were none, and tells when the
// first of them was struck.
func (l *led) strangers() (n int, since time.Duration) {
	known := 0
	for i := l.n; i > max(1, l.n-mostRecent) && known < 2; i-- {
		if r := &l.ring[i%mostRecent]; r.strange {
			n, since, known = n+1, r.at, 0
		} else {
			known++
		}
	}
	return n, since
}

// heed takes what was told.
func (l *led) heed(f *finding.Finding, s *score.Score) {
	l.onsets.heed(f)
}

// ledBar is how long a bar of the player's lasts; nearly as long as it is written where
// the place is lost.
func (j *Judge) ledBar() time.Duration {
	beats := float64(j.Score.Meter.Bar()) / float64(j.Score.Meter.Beat())
	written := j.Score.Tempo.Duration(j.Score.Meter.Bar(), j.Score.Meter)
	return min(max(time.Duration(beats*float64(j.heard.Leader().Beat())), written/2), 2*written)
}

// ledSince is since for a player who leads.
func (j *Judge) ledSince(f *finding.Finding) time.Duration {
	if !j.told {
		return 0
	}
	since := j.led.open.at
	if f.Kind != finding.Lost {
		since = min(since, j.timeOf(f))
	}
	if n, first := j.led.strangers(); n > 0 {
		since = min(since, first)
	}
	return max(0, since-keyboard.Together)
}

// timeOf is when the place of a finding sounded.
func (j *Judge) timeOf(f *finding.Finding) time.Duration {
	return j.heard.Leader().TimeOf(f.Pass-j.reading.pass, placeIn(j.Score, f))
}

// placesOf are how far through all passes a place is.
func (j *Judge) placeOf(pass int, at meter.Ticks) meter.Ticks {
	return at + meter.Ticks(pass)*j.Score.Length
}

// unplayed tells, once, that nothing was played at all since the beginning, where that is
// long enough ago.
func (j *Judge) unplayed(now, longest time.Duration) {
	if j.led.n > 0 || j.options.Heard || len(j.all) > 0 || now < j.Click.Start+longest {
		return
	}
	c := finding.Cause{Kind: finding.Silent, Bar: j.printed(0), ToBar: j.printed(len(j.Score.Bars) - 1), At: now, Hand: finding.BothHands}
	j.causes, j.all = append(j.causes, c), append(j.all, c)
}

// overLed takes that nobody plays on.
func (j *Judge) overLed(at time.Duration) {
	j.wentAway(true)
	if j.options.Patient {
		j.unplayed(at, 0)
	}
}
