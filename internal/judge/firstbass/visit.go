package firstbass

import (
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// struck is a key as it was struck.
type struck struct {
	key pitch.Num
	at  time.Duration
	seq int // counted from 0
}

// placedBass is a bass as struck, and what stands on it.
type placedBass struct {
	struck
	pos   meter.Ticks
	chord int         // of the primary chords, whose root it is; -1 for none
	reach meter.Ticks // how far it fits
	fifth bool
	third bool // below the tune
	high  bool // the third, above the tune
}

// visit is one time of playing a bar.
type visit struct {
	bar     int
	turn    int
	full    bool // from its beginning
	held    bool // the tune only holds a note in it
	at      time.Duration
	closeAt time.Duration // when it is over; 0 while that is not known
	basses  []placedBass
	carried *placedBass   // the bass of the bar before, held on
	heldTo  time.Duration // when that was let go; 0 while it is held
	moving  time.Duration // when the tune left the last bass behind; 0 for never
	told    bool          // a correction
	right   bool          // was told
}

// last is the bass that stands, or nil.
func (v *visit) last() *placedBass {
	if n := len(v.basses); n > 0 {
		return &v.basses[n-1]
	}
	return nil
}

// before is the last bass, or the one held on from the bar before; nil for none.
func (v *visit) before(keys *keyboard.Keys) *placedBass {
	if f := v.last(); f != nil {
		return f
	}
	if v.carried != nil && keys.Down.Has(v.carried.key) {
		return v.carried
	}
	return nil
}

// heldOut reports that the bass held on from the bar before was held until the bar
// line, or nearly.
func (v *visit) heldOut(now time.Duration) bool {
	line := now
	if v.closeAt > 0 {
		line = v.closeAt - grace
	}
	return v.heldTo == 0 || v.heldTo > line-grace
}

func (l *Listener) barEnd(bar int) meter.Ticks {
	b := &l.s.Bars[bar]
	return b.At + b.Len
}

// open begins a visit.
func (l *Listener) open(bar int, full bool, at time.Duration) {
	v := &visit{bar: bar, turn: l.turn, full: full, held: l.first[bar] == 0, at: at}
	if before := l.here; before != nil && full {
		if f := before.last(); f != nil && f.chord >= 0 && l.keys.Down.Has(f.key) {
			carried := *f
			carried.fifth, carried.third, carried.high = false, false, false
			v.carried = &carried
		}
	}
	l.here = v
}

// sync takes up where the tune is now.
func (l *Listener) sync(now time.Duration) {
	j := l.tr.position()
	if j == 0 {
		return
	}
	bar, was := l.s.Melody[j-1].Bar, l.heard
	l.heard = j
	fresh := l.tr.best().at > l.at // else what was heard before is heard in another way now
	if at := l.tr.best().at; at != l.at {
		l.earlier, l.at, l.from = l.at, at, was
	}
	if l.here == nil {
		if !fresh { // the end of the last time
			return
		}
		l.open(bar, l.first[bar] == j, now)
	} else if j != was {
		l.goTo(bar, was, fresh && l.first[bar] == j, now)
	}
	l.resolve(now)
	l.watch(j, now)
}

// goTo goes with the tune from another note, was, to the one heard now, in a bar
// that is full where it begins with it.
func (l *Listener) goTo(bar, was int, full bool, now time.Duration) {
	if bar == l.here.bar && l.heard >= was-heardAgain {
		if l.heard > was {
			l.closeBefore(now)
		}
		return
	}
	if l.before != nil && bar == l.before.bar && l.heard >= was-heardAgain {
		l.takeBack()
		return
	}
	if bar == l.after(l.here.bar) && l.heard > was {
		l.goOn(bar, true, now)
		return
	}
	l.leap(bar, was, full, now)
}

// goOn goes to a later bar; the one before is judged a little later.
func (l *Listener) goOn(bar int, full bool, now time.Duration) {
	l.closeBefore(now)
	l.before = l.here
	l.before.closeAt = now + grace
	l.open(bar, full, now)
}

// after is the next bar in which a note of the tune begins; -1 after the last.
func (l *Listener) after(bar int) int {
	for b := bar + 1; b < len(l.first); b++ {
		if l.first[b] > 0 {
			return b
		}
	}
	return -1
}

// takeBack returns to a bar that was thought to be over.
func (l *Listener) takeBack() {
	v := l.before
	for _, f := range l.here.basses {
		moved := l.placedBass(f.struck, l.onBeat(v.bar, l.barEnd(v.bar)-1))
		moved.fifth, moved.third, moved.high = f.fifth, f.third, f.high
		v.basses = append(v.basses, moved)
	}
	v.closeAt = 0
	l.here, l.before = v, nil
}

// leap goes to another place of the tune. The bar that was left is judged where
// it was played to its end.
func (l *Listener) leap(bar, was int, full bool, now time.Duration) {
	l.closeBefore(now)
	if l.here != nil && (l.here.held || was == l.lastIn[l.here.bar]) {
		l.close(l.here, now)
	}
	if l.heard <= was {
		l.turn++
	}
	l.early = nil
	l.here = nil
	l.open(bar, full, now)
}

// watch notes when the tune has gone on over a bass that does not fit there, and
// when its end is near.
func (l *Listener) watch(j int, now time.Duration) {
	n := &l.s.Melody[j-1]
	v := l.here
	if f := v.last(); f != nil && f.chord >= 0 && v.moving == 0 && n.At >= f.reach && f.reach < l.barEnd(v.bar) {
		v.moving = now + grace
	}
	l.endAt = 0
	if j == len(l.s.Melody) {
		l.endAt = now + time.Duration(float64(n.Dur)*l.tr.perTick) + grace
	}
}
