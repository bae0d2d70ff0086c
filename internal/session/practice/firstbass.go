package practice

import (
	"strings"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/ui/term"
	"undersong/internal/ui/words"
)

// FirstBass lets a student put basses under a tune. It is a Lesson for Loop, and
// hears a file as well.
type FirstBass struct {
	Heading sitting.BassHeading
	Chart   *chart.Chart // for the view, in the key that is played

	freely
	ear   *firstbass.Listener
	voice *words.BassVoice
	view  view
	said  sitting.Item // the latest, for the view; without a Finding before it
	right int
	wrong int
}

// lingers is how long after the tune's end one may begin again.
const lingers = 3 * time.Second

// Begin starts listening.
func (b *FirstBass) Begin(now time.Duration) error {
	b.begin(now)
	b.ear = firstbass.New(b.Heading.Score, firstbass.Options{Rung: b.Heading.Rung, Basses: len(b.Heading.Stock)})
	b.voice = words.NewBassVoice(b.Heading.Score, len(b.Heading.Stock))
	if b.Chart != nil {
		b.view = newView(b.Heading.Score, b.Chart)
	}
	if err := b.writer.StartBass(b.Heading); err != nil {
		return err
	}
	return b.open()
}

func (b *FirstBass) tell(found []finding.Finding) error {
	for _, f := range found {
		if f.Kind == finding.Right {
			b.right++
		} else {
			b.wrong++
		}
		b.said = sitting.Item{Finding: &f, At: f.At - b.began}
		if err := b.writer.BassFinding(b.said); err != nil {
			return err
		}
	}
	return nil
}

// Event takes what was played.
func (b *FirstBass) Event(ev event.Event) error {
	ev.At = b.reach(ev.At)
	return b.tell(b.ear.Feed(ev))
}

// Tick lets time pass. Some seconds after the tune all is over.
func (b *FirstBass) Tick(now time.Duration) error {
	if err := b.tell(b.ear.Tick(b.reach(now))); err != nil {
		return err
	}
	if end := b.ear.Ended(); end > 0 && b.now >= end+lingers {
		return b.Stop(b.now)
	}
	return nil
}

// Until is how long nothing is due.
func (b *FirstBass) Until(now, most time.Duration) time.Duration {
	return min(most, max(0, b.ear.Due()-now))
}

// Lost tells that the keyboard is gone.
func (b *FirstBass) Lost(now time.Duration, port string) error {
	b.ear.Silence()
	return b.lost(now, port)
}

// Stop ends listening with the summary.
func (b *FirstBass) Stop(now time.Duration) error {
	b.reach(now)
	if b.done {
		return nil
	}
	b.done = true
	if err := b.tell(b.ear.Finish(b.now)); err != nil {
		return err
	}
	return b.writer.BassSummary(b.session())
}

func (b *FirstBass) session() sitting.BassResult {
	return sitting.BassResult{BassHeading: b.Heading, Length: b.length(), Summary: b.ear.Summary()}
}

// Retell writes the heading and, when listening is over, the summary.
func (b *FirstBass) Retell(w sitting.EarWriter) error {
	if err := w.StartBass(b.Heading); err != nil {
		return err
	}
	return w.BassSummary(b.session())
}

// View shows the bars without their chords, which the student is to find, and
// what was said last.
func (b *FirstBass) View() term.State {
	s := b.Heading.Score
	st := term.State{
		Title: b.Heading.Title, Key: s.Key.String(), Pattern: b.Heading.Rung.String(), Meter: s.Meter,
		Phase: term.Playing, Current: -1, Right: b.right, Wrong: b.wrong, Notice: b.away,
	}
	if b.done {
		st.Phase, st.Summary = term.Finished, words.BassSummaryLines(b.session())
		return st
	}
	pass := 1
	if bar := b.ear.Bar(); bar >= 0 {
		pass = s.Bars[bar].Pass
		st.Current = s.Bars[bar].Printed - b.view.first
	} else if b.said.Finding == nil {
		st.Praise = "play the tune, and under it " + strings.Join(firstbass.Roots(b.Heading.Stock), " or ")
	}
	for _, bar := range b.view.printed(pass) {
		bar.Chords = nil
		st.Bars = append(st.Bars, bar)
	}
	st.Down = term.Keys(b.ear.Down())
	b.words(&st)
	return st
}

func (b *FirstBass) words(st *term.State) {
	f := b.said.Finding
	if f == nil {
		return
	}
	if f.Heard.Len() > 0 {
		st.Heard = b.voice.Heard(f)
	}
	switch {
	case f.Kind == finding.Right:
		st.Praise = words.BassLine(b.voice, f)
	default:
		st.Correction, st.CorrectionBar = words.BassLine(b.voice, f), b.voice.Bar(f)
	}
}
