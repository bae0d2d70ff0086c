package firstbass

import (
	"sort"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// Options say what is practised.
type Options struct {
	Voicing Voicing
	Basses  int // to choose from, 2 or 3
}

// Listener follows the tune of a score and judges what is put under it.
type Listener struct {
	s    *score.Score
	o    Options
	th   *Theory
	tr   *tracker
	keys keyboard.Keys

	first, lastIn []int // for each bar, its first and last note of the tune, counted from 1; 0 for none

	now     time.Duration
	count   int      // keys struck
	waiting []struck // not judged yet

	early    []struck    // late in a bar: perhaps the next one's
	earlyPos meter.Ticks // where they seem to be by the tempo

	heard        int           // notes of the tune
	at, earlier  time.Duration // of the last of them and of the one heard before
	from         int           // that one, counted from 1
	turn         int
	here, before *visit // the bar being played; the one before, until it is judged
	endAt        time.Duration
	ended        time.Duration // when the tune was over; 0 while it is not
	lost         bool

	memory  map[fault]int
	summary tally
	found   []finding.Finding
}

// New makes a listener for the tune of s, which must have one.
func New(s *score.Score, o Options) *Listener {
	l := &Listener{s: s, o: o, th: NewTheory(s, o.Basses), tr: newTracker(s), memory: map[fault]int{}, at: -1}
	l.first, l.lastIn = make([]int, len(s.Bars)), make([]int, len(s.Bars))
	for i, n := range s.Melody {
		if l.first[n.Bar] == 0 {
			l.first[n.Bar] = i + 1
		}
		l.lastIn[n.Bar] = i + 1
	}
	return l
}

// Feed takes an event. The findings are good until the next call.
func (l *Listener) Feed(e event.Event) []finding.Finding {
	l.found = l.found[:0]
	l.pass(e.At)
	if e.Channel() == event.Percussion {
		return l.found
	}
	key := pitch.Num(e.Data1 & 0x7F)
	switch l.keys.Feed(e) {
	case keyboard.Struck:
		l.tr.strike(key, l.now)
		l.waiting = append(l.waiting, struck{key, l.now, l.count})
		l.count++
		l.ended = 0
	case keyboard.Released, keyboard.Silenced:
		l.letGo()
	}
	return l.found
}

// letGo notes until when a bass was held on from the bar before.
func (l *Listener) letGo() {
	if v := l.here; v != nil && v.carried != nil && v.heldTo == 0 && !l.keys.Down.Has(v.carried.key) {
		v.heldTo = l.now
	}
}

// Tick lets time pass.
func (l *Listener) Tick(now time.Duration) []finding.Finding {
	l.found = l.found[:0]
	l.pass(now)
	return l.found
}

// Finish ends the playing. A bar that was not finished is not judged.
func (l *Listener) Finish(now time.Duration) []finding.Finding {
	l.found = l.found[:0]
	l.pass(now)
	for len(l.waiting) > 0 {
		l.settle(l.now)
	}
	l.place(l.early, l.now)
	l.early = nil
	l.closeBefore(l.now)
	if v := l.here; v != nil && (v.held || l.heard == l.lastIn[v.bar]) {
		l.close(v, l.now)
	}
	l.here = nil
	return l.found
}

// Silence forgets every key that is held, as when a cable is pulled.
func (l *Listener) Silence() { l.keys.Silence() }

// Ended reports when the tune was over, with nothing played since; 0 before.
func (l *Listener) Ended() time.Duration { return l.ended }

// Bar is the bar being played, an index into the score's bars; -1 before the
// first.
func (l *Listener) Bar() int {
	if l.here == nil {
		return -1
	}
	return l.here.bar
}

// never is later than anything.
const never = time.Duration(1<<63 - 1)

// Due is when something may be told without a key struck; false for never.
func (l *Listener) Due() (time.Duration, bool) {
	due := l.due()
	return due, due < never
}

func (l *Listener) due() time.Duration {
	due := never
	at := func(t time.Duration, is bool) {
		if is && t < due {
			due = t
		}
	}
	if len(l.waiting) > 0 {
		at(l.waiting[0].at+settling, true)
	}
	if len(l.early) > 0 {
		at(l.early[0].at+longEnough, true)
	}
	if l.before != nil {
		at(l.before.closeAt, true)
	}
	if l.here != nil {
		at(l.here.moving, l.here.moving > 0 && l.here.moving != never)
	}
	at(l.endAt, l.endAt > 0)
	return due
}

// pass does all that is due until now, in order.
func (l *Listener) pass(now time.Duration) {
	now = max(now, l.now)
	for due := l.due(); due <= now; due = l.due() {
		l.now = max(l.now, due)
		l.come(due)
	}
	l.now = now
}

// come does the first thing that is due.
func (l *Listener) come(due time.Duration) {
	if len(l.waiting) > 0 && l.waiting[0].at+settling <= due {
		l.settle(due)
		return
	}
	if len(l.early) > 0 && l.early[0].at+longEnough <= due {
		early := l.early
		l.early = nil
		l.place(early, due)
		return
	}
	if l.before != nil && l.before.closeAt <= due {
		l.closeBefore(due)
		return
	}
	if v := l.here; v != nil && v.moving > 0 && v.moving <= due {
		l.left(v, due)
		return
	}
	l.endAt = 0
	l.end(due)
}

// end is the end of the tune.
func (l *Listener) end(now time.Duration) {
	l.closeBefore(now)
	if l.here != nil {
		l.here.closeAt = now
		l.close(l.here, now)
		l.here = nil
	}
	l.heard = 0
	l.ended = now
	l.turn++
}

// settle judges the keys that were struck together with the oldest that waits.
func (l *Listener) settle(now time.Duration) {
	first := l.waiting[0].at
	var group []struck
	n := 0
	for _, k := range l.waiting {
		if k.at > first+keyboard.Together {
			break
		}
		n++
		if r, known := l.tr.role(l.count - 1 - k.seq); known && r == other {
			group = append(group, k)
		}
	}
	l.waiting = l.waiting[n:]
	if l.doubtful(now) {
		return
	}
	l.sync(now)
	if len(group) > 0 && l.here != nil {
		sort.SliceStable(group, func(i, j int) bool { return group[i].key < group[j].key })
		l.under(group, now)
	}
}

// doubtful reports that the tune is not recognized, and tells it once.
func (l *Listener) doubtful(now time.Duration) bool {
	sure := l.tr.sure()
	if !sure && !l.lost && l.here != nil {
		f := wrong(finding.Lost, -1, 0, 0, nil)
		f.Bar, f.Beat, f.Pass, f.At = l.here.bar, 1, l.turn, now
		l.found = append(l.found, f)
		l.summary.totals[finding.Lost].Count++
		l.before, l.here, l.early, l.heard, l.endAt = nil, nil, nil, 0, 0
	}
	l.lost = !sure
	return !sure
}

// under finds the place of keys struck together under the tune, low to high.
func (l *Listener) under(group []struck, now time.Duration) {
	at := group[0].at
	n := &l.s.Melody[l.heard-1]
	since := at - l.tr.best().at
	if since <= settling {
		l.judge(l.here, group, n.At, now)
		return
	}
	next := l.nextAt()
	pos := min(n.At+meter.Ticks(float64(since)/l.tr.perTick), next)
	l.holdOn(pos+l.s.Meter.Beat()/2, now)
	if end := l.barEnd(l.here.bar); next >= end && next < l.s.Length && pos > end-l.s.Meter.Beat() {
		l.early, l.earlyPos = append(l.early, group...), pos
		return
	}
	l.judge(l.here, group, l.onBeat(l.here.bar, pos), now)
}

// holdOn goes to a bar in which the tune only holds its note, where the time has
// come.
func (l *Listener) holdOn(pos meter.Ticks, now time.Duration) {
	if bar := l.s.BarAt(min(pos, l.s.Length-1)); bar > l.here.bar && l.first[bar] == 0 {
		l.goOn(bar, false, now)
	}
}

// nextAt is where the tune's next note stands; its end after the last.
func (l *Listener) nextAt() meter.Ticks {
	if l.heard < len(l.s.Melody) {
		return l.s.Melody[l.heard].At
	}
	return l.s.Length
}

// onBeat is the beat of a bar nearest to a place.
func (l *Listener) onBeat(bar int, pos meter.Ticks) meter.Ticks {
	b := &l.s.Bars[bar]
	beat := l.s.Meter.Beat()
	before := l.s.Meter.Bar() - b.Len
	inBar := (pos - b.At + before + beat/2) / beat * beat
	return min(max(b.At, b.At+inBar-before), b.At+b.Len-1)
}

// resolve gives keys that came late in a bar to it or to the next one, now that
// the tune's next note tells the time.
func (l *Listener) resolve(now time.Duration) {
	if len(l.early) == 0 || l.before == nil || l.from < 1 || l.from >= l.heard {
		return
	}
	m := l.s.Melody
	from, to := m[l.from-1], m[l.heard-1]
	end := l.barEnd(l.before.bar)
	span := l.tr.best().at - l.earlier
	early := l.early
	l.early = nil
	for len(early) > 0 {
		k := 1
		for k < len(early) && early[k].at <= early[0].at+keyboard.Together {
			k++
		}
		group := early[:k]
		early = early[k:]
		share := 1.0
		if span > 0 {
			share = min(1, max(0, float64(group[0].at-l.earlier)/float64(span)))
		}
		pos := from.At + meter.Ticks(share*float64(to.At-from.At))
		if pos >= end-l.s.Meter.Beat()/2 {
			l.judge(l.here, group, l.onBeat(l.here.bar, max(pos, l.s.Bars[l.here.bar].At)), now)
		} else {
			l.judge(l.before, group, l.onBeat(l.before.bar, pos), now)
		}
	}
}

// place gives keys to a bar by the tempo alone.
func (l *Listener) place(keys []struck, now time.Duration) {
	if len(keys) == 0 || l.here == nil {
		return
	}
	if next := l.after(l.here.bar); next > 0 && l.earlyPos >= l.barEnd(l.here.bar)-l.s.Meter.Beat()/2 {
		l.goOn(next, true, now)
	}
	l.judge(l.here, keys, l.onBeat(l.here.bar, l.earlyPos), now)
}

// Down is the keys held by fingers.
func (l *Listener) Down() keyboard.Set { return l.keys.Down }
