package freely

import (
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
)

// judge hears a student who goes at will, and finds what is to be told.
type judge interface {
	Feed(event.Event) []finding.Finding
	Tick(now time.Duration) []finding.Finding
	Finish(now time.Duration) []finding.Finding
	Due() (time.Duration, bool)
	Silence()
	Summary() finding.Summary
}

// judged is what sittings share in which a judge listens, and gives hints.
type judged struct {
	free
	judge judge
	hint  func()                 // gives a hint
	noted func(*finding.Finding) // takes note of what is told
	said  *sitting.Item          // the latest
}

// Begin starts listening.
func (j *judged) Begin(now time.Duration) { j.Open(now, j.piece, j.Opening) }

func (j *judged) findings(found []finding.Finding) {
	for _, f := range found {
		j.said = &sitting.Item{Finding: f, At: f.At + j.rested - j.Began}
		j.noted(&f)
		j.Tell(sitting.Record{Findings: []sitting.Item{*j.said}})
	}
}

func (j *judged) hear(music []event.Event) {
	for _, ev := range music {
		j.findings(j.judge.Feed(ev))
	}
	j.piano.Ask(j, j.Now)
}

// Event takes what was played.
func (j *judged) Event(ev event.Event) { j.hear(j.heard(ev)) }

// Tick lets time pass.
func (j *judged) Tick(now time.Duration) {
	j.hear(j.reach(now))
	if !j.done {
		j.findings(j.judge.Tick(j.known()))
	}
}

// Until is how long nothing is due.
func (j *judged) Until(now, most time.Duration) time.Duration {
	due, waits := j.judge.Due()
	return j.until(now, most, due, waits)
}

// Do pauses, goes on, gives a hint, or ends.
func (j *judged) Do(now time.Duration, c sitting.Command) {
	j.hear(j.reach(now))
	m := j.menu()
	switch {
	case j.done:
	case !m.Has(c.Do):
		j.Refuse(c)
	case c.Do == sitting.DoHint:
		j.hint()
	case c.Do == sitting.DoEnd:
		j.finish()
	default:
		j.judge.Silence()
		j.rest(c.Do == sitting.DoPause)
	}
}

func (j *judged) menu() sitting.Menu {
	m := j.offer()
	if j.heeds() && !j.paused {
		m.Offer(sitting.Command{Do: sitting.DoHint})
	}
	return j.close(m)
}

func (j *judged) finish() {
	j.findings(j.judge.Finish(j.known()))
	j.end(sitting.Result{Summary: j.judge.Summary()})
}

// Lost tells that the keyboard is gone.
func (j *judged) Lost(now time.Duration, port string) {
	j.judge.Silence()
	j.lost(now, port)
}

// State is what there is to see in all of them, with the result when all is over.
func (j *judged) State() sitting.State {
	st := j.state(j.menu())
	if j.done {
		r := j.result(sitting.Result{Summary: j.judge.Summary()})
		st.Result = &r
	}
	return st
}
