package byear

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

// Help is how much of the answer is told unasked.
type Help uint8

// The helps.
const (
	NoHelp Help = iota
	HelpContour
	HelpNote // the contour too
)

func (h Help) String() string { return [...]string{"", "contour", "note"}[h] }

// Options say what is listened for.
type Options struct {
	Help Help
	Task Task
}

// Ear follows one student. It reads no clock and does no I/O; it is not safe for
// two goroutines at once. Times must not run backwards.
type Ear struct {
	Tune *Tune
	o    Options

	keys   keyboard.Keys
	heard  hypotheses
	last   strike
	now    time.Duration // of what is told
	out    []finding.Finding
	told   int // the strike of the last completion that was told
	place  Place
	remark remark
	tally  tally
	hints  hints
	round  round
}

// Place is where in the tune the student is, as far as it is known.
type Place struct {
	Phrase int
	Found  int  // notes of the phrase, in this pass through it
	Shift  int  // keys above the written ones
	Known  bool // by the last key; what is not known is the place before it
}

// NewEar makes an ear for a tune.
func NewEar(t *Tune, o Options) *Ear {
	return &Ear{Tune: t, o: o, heard: newHypotheses(t), tally: newTally(t), hints: newHints(t), remark: remark{pos: -1}, round: round{asked: o.Task}}
}

// Place is the place after the last key.
func (e *Ear) Place() Place { return e.place }

// Begin tells what is to be told before anything is played. The slice is good
// until the next call.
func (e *Ear) Begin(at time.Duration) []finding.Finding {
	e.out = e.out[:0]
	if e.o.Task.Asks() && e.o.Task.Known {
		e.beginTask(at)
	}
	e.helpPhrase(at, 0)
	e.helpNote(at)
	return e.out
}

// Feed takes an event and returns what it brought to light, with all that was due
// before it. The slice is good until the next call.
func (e *Ear) Feed(ev event.Event) []finding.Finding {
	e.out = e.out[:0]
	e.pauses(ev.At)
	if ev.Channel() == event.Percussion || e.keys.Feed(ev) != keyboard.Struck {
		return e.out
	}
	s := strike{n: e.last.n + 1, key: int(ev.Data1 & 0x7F), velocity: int(ev.Data2), at: ev.At}
	if e.last.n > 0 && (s.key-e.last.key)%12 == 0 && s.at-e.last.at < keyboard.Together {
		return e.out // the same note, played with both hands
	}
	e.strike(s)
	return e.out
}

func (e *Ear) strike(s strike) {
	e.last, e.now = s, s.at
	e.heard.strike(s, e.expected())
	e.round.force.add(s.velocity)
	best := e.heard.best()
	e.tally.strike(best)
	e.settlePlace()
	e.settle(s.at, false)
	e.startNote(best)
	e.say(false)
	e.helpNote(s.at)
}

// expected is the phrase that comes next, where the phrases go on in turn.
func (e *Ear) expected() int {
	best := e.heard.best()
	if best == nil {
		return 0
	}
	if e.Tune.ends(best.pos) {
		return (e.Tune.phrase[best.pos] + 1) % e.Tune.Phrases()
	}
	return e.Tune.phrase[best.pos]
}

// Tick lets time pass up to now.
func (e *Ear) Tick(now time.Duration) []finding.Finding {
	e.out = e.out[:0]
	e.pauses(now)
	return e.out
}

// Due is when something may be told without a key struck; false for never.
func (e *Ear) Due() (time.Duration, bool) {
	return e.last.at + pause, e.last.n > 0 && !e.remark.paused
}

// pauses tells what was due before now.
func (e *Ear) pauses(now time.Duration) {
	due, waits := e.Due()
	if !waits || now < due {
		return
	}
	e.now = due
	e.settle(due, true)
	e.tuneFound(due, false)
	e.say(true)
	e.remark.paused = true
}

// Silence forgets every held key, as when a cable is pulled.
func (e *Ear) Silence() { e.keys.Silence() }

// Finish ends listening and returns the last findings.
func (e *Ear) Finish(at time.Duration) []finding.Finding {
	e.out = e.out[:0]
	e.pauses(at)
	e.settle(at, true)
	e.tuneFound(at, false)
	return e.out
}

// settlePlace takes over the place where the likely hypotheses agree on it.
func (e *Ear) settlePlace() {
	best := e.heard.best()
	note := func(k *hypothesis) int { return e.Tune.canonical(k.pos) }
	e.place.Known = e.heard.agree(sure, func(k *hypothesis) bool { return note(k) == note(best) && k.shift == best.shift })
	if e.place.Known {
		p := e.Tune.phrase[best.pos]
		e.place.Phrase, e.place.Found, e.place.Shift = p, best.pos+1-e.Tune.starts[p], best.shift
	}
}

// settle tells of a phrase that was played to its end, as soon as the likely
// hypotheses agree on it, or when it must be decided.
func (e *Ear) settle(at time.Duration, now bool) {
	best := e.heard.best()
	if best == nil || best.done.strike <= e.told {
		return
	}
	d := best.done
	same := func(k *hypothesis) bool {
		return k.done.strike == d.strike && e.Tune.alike[k.done.phrase] == e.Tune.alike[d.phrase]
	}
	if !now && !e.heard.agree(sure, same) {
		return
	}
	e.told = d.strike
	e.complete(at, d)
}

func (e *Ear) complete(at time.Duration, d completion) {
	kind, f := finding.PhraseFound, finding.TuneDetail{Phrase: d.phrase, Ended: d.at, Shift: d.shift}
	whole := e.tally.complete(d)
	if d.clean {
		kind, f.Row = finding.PhraseRight, e.tally.row
	}
	e.remark.once = false
	if e.round.on {
		done := e.judge(&f, d)
		e.add(kind, at, f)
		if done {
			e.tell(finding.TaskDone, at, d)
		}
		return
	}
	e.add(kind, at, f)
	if whole {
		e.tally.wholeTold = true
		e.tell(finding.TuneRight, at, d)
	}
	e.tuneFound(at, e.tally.through > 0)
	if !e.round.on {
		e.helpPhrase(at, (d.phrase+1)%e.Tune.Phrases())
	}
}

func (e *Ear) tell(k finding.Kind, at time.Duration, d completion) {
	e.add(k, at, finding.TuneDetail{Phrase: d.phrase, Shift: d.shift})
}

// tuneFound tells that every phrase was found, and begins the task where there is
// one. A student who is about to play it all in turn is not told before the end.
func (e *Ear) tuneFound(at time.Duration, underWay bool) {
	if e.round.begun {
		return
	}
	if !e.tally.wholeTold {
		if underWay || !e.tally.whole() {
			return
		}
		e.tally.wholeTold = true
		e.tell(finding.TuneFound, at, e.heard.best().done)
	}
	if e.o.Task.Asks() {
		e.beginTask(at)
	}
}

// startNote tells once that a task's tune begins on another note.
func (e *Ear) startNote(best *hypothesis) {
	r := &e.round
	if !r.on || !r.from.Asked || r.startTold || r.want > 0 || best.step != begin || best.pos != 0 {
		return
	}
	if pitch.ClassOf(e.last.key) != r.from.Note.Class() {
		r.startTold = true
		e.add(finding.StartNote, e.last.at, finding.TuneDetail{From: r.from})
	}
}
