package cause

import (
	"slices"
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Judge judges one performance, and explains mistakes by causes. It is fed as an engine
// is, reads no clock and does no I/O, and is not safe for two goroutines at once. Where
// somebody sings it explains nothing.
type Judge struct {
	Score *score.Score
	Click *follow.Click

	options Options
	plain   *engine.Engine // of the score as it is written: it has the place and the keys, too
	heard   *engine.Engine // that findings are taken from
	reading reading        // under which
	current [2]int         // which of all causes those of the reading are
	fresh   [2]bool        // and which of them were found just now
	places  []place        // of the score; nil before they are needed

	left    []*pattern.Pattern // accompaniments that were not laid over the bars yet
	laid    []instead          // those that were
	crossed []*score.Score     // with each hand's part in the other; nil before they are needed
	awaited []finding.Finding  // while something else is played: the latest, right
	row     int                // strokes among them
	slipped bool               // the last stroke that was told was wrong

	kept   kept
	missed [2]bool // by hand: its last stroke was missing
	never  [2]bool // by hand: no stroke of it was right yet
	doubt  doubt
	often  often
	astray astray
	damper damper
	led    *led          // nil with a click
	told   bool          // anything
	toldAt time.Duration // when the latest of it was found
	back   int           // strokes in a row of a hand that is silent
	retold bool          // it is that under which was judged before, heard better
	evenly int           // strokes told under a delay
	found  bool          // a reading was taken, and what was played is not judged under it yet

	out    []finding.Finding
	causes []finding.Cause // told, but not taken yet
	all    []finding.Cause
	tally  finding.Tally
}

// Options say how a judge listens.
type Options struct {
	engine.Options
	// Patient keeps back the first mistake of all that may have one cause until the next
	// stroke, as for a recording. Else a mistake among right strokes is told at once, while
	// its keys are still held, and the second is the first that is kept back.
	Patient bool
	// Patterns are the accompaniments that may be played in place of the score's.
	Patterns []*pattern.Pattern
	// Heard is true where something was played before: where nothing comes from a player
	// who leads, that one is resting.
	Heard bool
}

// New makes a judge for a score.
func New(s *score.Score, o Options) *Judge {
	e := engine.New(s, o.Options)
	j := &Judge{Score: e.Score, Click: &e.Click, options: o, plain: e, heard: e, tally: finding.NewTally(e.Score)}
	j.never = [2]bool{true, true}
	j.left = o.Patterns
	if o.Led {
		j.led = &led{middle: middleOf(e.Score)}
	}
	return j
}

// Position is the place in the score at a time not before the last event, where the player
// is: by the click, or where another tempo or another place is known.
func (j *Judge) Position(now time.Duration) follow.Position {
	if j.led == nil && (j.options.Loop || !j.reading.moves()) {
		return j.plain.Position(now)
	}
	p := j.heard.Position(now)
	if p.Pass >= 0 {
		p.Pass += j.reading.pass
	}
	return p
}

// Ends is when a place of the first pass comes by the click, or by the tempo and from the
// place that the player is known to have.
func (j *Judge) Ends(at meter.Ticks) time.Duration {
	if j.options.Loop || !j.reading.moves() {
		return j.Click.TimeOf(0, at)
	}
	return j.heard.Click.TimeOf(-j.reading.pass, at)
}

// Leader follows a player who leads as it is written, so that it is lost where all is
// played in another key and nothing goes with that; nil by a click.
func (j *Judge) Leader() *follow.Follower { return j.plain.Leader() }

// Holding reports that a key is held.
func (j *Judge) Holding() bool { return j.plain.Keys.Down != (keyboard.Set{}) }

// Tempo is the tempo of the music: the click's, or the player's own.
func (j *Judge) Tempo() meter.Tempo {
	if j.led == nil {
		return j.plain.Tempo()
	}
	return j.heard.Tempo()
}

// Feed takes an event and returns what it brought to light, with all that was due
// before it. Times must not run backwards. The slice is good until the next call.
func (j *Judge) Feed(ev event.Event) []finding.Finding {
	if j.options.Sung {
		return j.plain.Feed(ev)
	}
	j.out = j.out[:0]
	j.kept.add(ev)
	if j.heard != j.plain {
		j.plain.Feed(ev)
	}
	begins := j.led != nil && ev.IsNoteOn() && j.led.strike(ev)
	j.take(j.heard.Feed(ev), ev.At)
	if j.led != nil {
		j.strikes(ev, begins)
	}
	if j.damper.moved(j.plain.Keys.PedalIsDown(), ev.At) {
		j.lift()
	}
	return j.out
}

// Tick lets time pass up to now.
func (j *Judge) Tick(now time.Duration) []finding.Finding {
	if j.options.Sung {
		return j.plain.Tick(now)
	}
	j.out = j.out[:0]
	j.take(j.heard.Tick(now), now)
	if j.led != nil {
		j.unplayed(now, longestWait)
	}
	return j.out
}

// Finish ends the performance at a time and returns the last findings.
func (j *Judge) Finish(at time.Duration) []finding.Finding {
	if j.options.Sung {
		return j.plain.Finish(at)
	}
	j.out = j.out[:0]
	j.take(j.heard.Finish(at), at)
	if j.doubt.on && j.consider(at, true) {
		j.judgeAnew(at)
		j.take(j.heard.Finish(at), at)
	}
	if j.led != nil {
		j.overLed(at)
	}
	j.release()
	j.lift()
	return j.out
}

// Pending is the first finding that is kept back; ok is false where none is.
func (j *Judge) Pending() (f finding.Finding, ok bool) {
	if len(j.doubt.held) == 0 {
		return f, false
	}
	return j.doubt.held[0], true
}

// Release ends what is in doubt, and returns what was kept back: nobody will play on.
func (j *Judge) Release() []finding.Finding {
	j.out = j.out[:0]
	j.release()
	return j.out
}

// Up is how many semitones higher than the score is written the player is judged, who
// plays it in another key.
func (j *Judge) Up() int { return j.reading.up }

// Causes hands over the causes that were found since the last call. They belong before
// what was found with them.
func (j *Judge) Causes() []finding.Cause {
	told := j.causes
	j.causes = nil
	return told
}

// Unplugged forgets every held note, as when the cable is pulled.
func (j *Judge) Unplugged() {
	j.plain.Unplugged()
	if j.heard != j.plain {
		j.heard.Unplugged()
	}
}

// Summary sums up the performance so far, the causes first.
func (j *Judge) Summary() finding.Summary {
	if len(j.all) == 0 {
		return j.plain.Summary()
	}
	s := j.tally.Summary()
	s.Causes = slices.Clone(j.all)
	return s
}

// take takes findings in the order in which they came, up to a time.
func (j *Judge) take(found []finding.Finding, now time.Duration) {
	for i := range found {
		f := found[i]
		j.asRead(&f)
		j.hear(&f)
		if j.found {
			j.judgeAnew(now)
			return
		}
	}
}

// hear takes one finding: it is told, or kept back.
func (j *Judge) hear(f *finding.Finding) {
	d := &j.doubt
	if j.reading.offAssignment() {
		j.aside(f)
		return
	}
	if f.Kind == finding.Blurred && !d.on {
		j.blurred(f)
		return
	}
	if j.led != nil {
		j.led.heed(f, j.Score)
		j.rests(f)
	}
	if j.unheard(f) {
		return
	}
	if !d.on && (mistaken(f.Kind) || f.Kind == finding.Lost) && j.doubts(f) {
		d.begin(j.since(f), f.At)
		d.pass = f.Pass
	}
	if j.led != nil && d.on && mistaken(f.Kind) {
		j.mayLeap(d.since, f.At, false)
	}
	if !d.on {
		if !j.keepUp(f) {
			j.tell(f)
			j.again(f)
		}
		return
	}
	vain := d.vain
	if !vain {
		d.held = append(d.held, *f)
	}
	look := d.count(f, j.due(f))
	if j.led != nil && j.led.looks {
		look, j.led.looks = true, false
	}
	if !j.resolve(look, f.At) && vain {
		j.tell(f)
		d.tell = f.At
	}
	j.again(f)
}

func (j *Judge) barLasts() time.Duration {
	if j.led != nil {
		return j.ledBar()
	}
	return j.Score.Tempo.Duration(j.Score.Meter.Bar(), j.Score.Meter)
}

// reach is how far from its time a note may be meant for a stroke.
func (j *Judge) reach() time.Duration { return time.Duration(nearBeats * float64(j.Click.Beat())) }

// since is when the stretch begins of which a finding is the first mistake: just before
// its place, or at the beginning of all where nothing was right before.
func (j *Judge) since(f *finding.Finding) time.Duration {
	if j.led != nil {
		return j.ledSince(f)
	}
	if !j.told {
		return 0
	}
	c := &j.heard.Click
	return c.TimeOf(f.Pass-j.reading.pass, placeIn(j.Score, f)) - j.reach()
}

// placeIn is where a finding stands in a score.
func placeIn(s *score.Score, f *finding.Finding) meter.Ticks {
	if f.Want >= 0 {
		return s.Wants[f.Want].At
	}
	return s.Bars[f.Bar].At + meter.Ticks((f.Beat-1)*float64(s.Meter.Beat()))
}
