package practice

import (
	"fmt"
	"math"
	"strings"
	"time"

	"undersong/internal/listen/follow"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/play/playback"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/term"
)

// Showing says what a demonstration is of. All but Sound must be set.
type Showing struct {
	Score   *score.Score
	Chart   *chart.Chart // in the score's key, for the view
	Player  *playback.Player
	Times   int // how often it is played; 0: round and round
	Heading sitting.Heading
	Opening string         // a notice to begin with
	Writer  sitting.Writer // takes heading, bars and notices, and no summary
	Sound   func(event.Event)
}

// Demonstration is a Lesson in which undersong plays and nobody is listened to.
type Demonstration struct {
	o      Showing
	began  time.Duration
	now    time.Duration
	click  follow.Click
	passes passes
	view   view
	bars   int // begun so far, through all passes
	done   bool
}

// NewDemonstration makes a demonstration.
func NewDemonstration(o Showing) *Demonstration {
	d := &Demonstration{o: o, view: newView(o.Score, o.Chart)}
	for _, e := range o.Player.Pass(0) {
		if k := pitch.Num(e.Data1); e.IsNoteOn() && e.Channel() != event.Percussion {
			d.view.low, d.view.high = min(d.view.low, k), max(d.view.high, k)
		}
	}
	return d
}

// Begin starts it at a time, with the count-in.
func (d *Demonstration) Begin(now time.Duration) error {
	d.began, d.now = now, now
	d.click = follow.NewClick(d.o.Score, now+d.o.Player.Lead(), d.o.Times != 1)
	d.passes.pass = d.pass
	if err := d.o.Writer.Start(d.o.Heading); err != nil {
		return err
	}
	return d.notice(d.o.Opening)
}

func (d *Demonstration) notice(text string) error {
	return d.o.Writer.Notice(d.now-d.began, text)
}

// pass is what sounds in a pass, on the clock.
func (d *Demonstration) pass(n int) []event.Event {
	if d.o.Times > 0 && n >= d.o.Times {
		return nil
	}
	all := d.o.Player.Pass(n)
	if n == 0 {
		all = append(d.o.Player.CountIn(), all...)
	}
	for i := range all {
		all[i].At += d.began
	}
	return all
}

// Tick sounds what is due, and tells each bar as it begins.
func (d *Demonstration) Tick(now time.Duration) error {
	d.now = max(d.now, now)
	d.passes.play(d.now, d.o.Sound)
	if d.o.Times > 0 && d.now >= d.click.Start+time.Duration(d.o.Times)*d.click.Pass() {
		return d.Stop(d.now)
	}
	return d.tellBar()
}

func (d *Demonstration) tellBar() error {
	p := d.click.PositionAt(d.now)
	n := p.Pass*len(d.o.Score.Bars) + p.Bar + 1
	if p.Pass < 0 || n <= d.bars {
		return nil
	}
	d.bars = n
	if p.Bar == 0 && p.Pass > 0 {
		if err := d.notice(fmt.Sprintf("round %d", p.Pass+1)); err != nil {
			return err
		}
	}
	return d.notice(d.barText(p.Bar))
}

// barText is a bar and its chords, as the chart has them.
func (d *Demonstration) barText(bar int) string {
	b := &d.o.Score.Bars[bar]
	var chords []string
	for _, c := range d.view.printed(b.Pass)[b.Printed-d.view.first].Chords {
		chords = append(chords, c.Name)
	}
	return score.BarName(b.Number) + ": " + strings.Join(chords, " ")
}

// Until is how long nothing is due.
func (d *Demonstration) Until(now, most time.Duration) time.Duration {
	return min(most, max(0, d.passes.next()-now))
}

// Stop ends it and every note.
func (d *Demonstration) Stop(time.Duration) error {
	d.passes.stop(d.o.Sound)
	d.done = true
	return nil
}

// Done reports that it is over.
func (d *Demonstration) Done() bool { return d.done }

// Event does nothing: nobody is listened to.
func (d *Demonstration) Event(event.Event) error { return nil }

// Key does nothing.
func (d *Demonstration) Key(time.Duration) error { return nil }

// Lost ends it.
func (d *Demonstration) Lost(now time.Duration, _ string) error { return d.Stop(now) }

// Found does nothing.
func (d *Demonstration) Found(time.Duration, string) error { return nil }

// View shows the place in the chart, the chord, and the keys that go down.
func (d *Demonstration) View() term.State {
	s, p := d.o.Score, d.click.PositionAt(d.now)
	st := term.State{
		Title: d.o.Heading.Name(), Key: s.Key.String(), Pattern: s.Pattern.Name, Meter: s.Meter, Tempo: s.Tempo,
		Showing: true, Beats: s.Meter.Beats(), LowKey: uint8(d.view.low), HighKey: uint8(d.view.high),
	}
	if d.o.Times != 1 {
		st.Pass = max(0, p.Pass) + 1
	}
	d.view.stand(s, &p, &st)
	if p.Pass <= 0 && p.Bar == 0 {
		st.Praise = d.o.Opening
	}
	if p.Pass < 0 {
		left := float64(d.click.Start-d.now) / float64(d.click.Beat())
		st.Phase, st.CountIn, st.Beat = term.CountIn, int(math.Ceil(left)), 0
		st.Wanted = s.Harmonies[0].Chord.String()
	} else {
		c := s.Harmonies[s.HarmonyAt(p.At)].Chord
		st.Heard, st.HeardWords = c.String(), c.Words()
		d.view.ahead(s, p.At, &st)
	}
	st.Down = term.Keys(d.passes.keys())
	return st
}
