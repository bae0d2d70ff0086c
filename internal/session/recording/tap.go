package recording

import (
	"math"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
	"undersong/internal/session/sounds"
)

// Tap measures the delay of a keyboard: it clicks some beats, and the player taps
// any key with each.
type Tap struct {
	sitting.Teller
	// Sound plays a message on the instrument, at once; nil: the beats are only
	// seen.
	Sound func(event.Event)

	first  time.Duration // the time of the first click
	done   int           // clicks behind us
	block  sounds.Block
	taps   [tapClicks]time.Duration // from each click
	tapped [tapClicks]bool
	over   bool
	piece  *sitting.Piece
}

// Twelve beats at 100 are long enough for an even hand and short enough to be
// done again (common practice, no source). The first two only give the beat.
const (
	tapClicks  = 12
	tapListens = 2
	tapBeat    = 600 * time.Millisecond
)

// Begin clicks for the first time after a second: hands come to the keys.
func (t *Tap) Begin(now time.Duration) {
	t.first = now + time.Second
	t.piece = &sitting.Piece{Heading: sitting.Heading{Kind: sitting.Tapping}}
	t.Open(now, t.piece, sitting.Notice{})
}

func (t *Tap) click(n int) time.Duration { return t.first + time.Duration(n)*tapBeat }

// Event takes a tap for the click that it is nearest to.
func (t *Tap) Event(ev event.Event) {
	if ev.Channel() == event.Percussion || !ev.IsNoteOn() {
		return
	}
	n := int(math.Round(float64(ev.At-t.first) / float64(tapBeat)))
	if n >= 0 && n < tapClicks && !t.tapped[n] {
		t.taps[n], t.tapped[n] = ev.At-t.click(n), true
	}
}

// Tick lets time pass.
func (t *Tap) Tick(now time.Duration) {
	t.block.Rest(now, t.Sound)
	for t.done < tapClicks && now >= t.click(t.done) {
		if at := t.click(t.done); now-at <= sounds.TooLate {
			t.block.Strike(at, now, t.done%4 == 0, t.Sound)
		}
		t.done++
	}
	t.over = t.over || now >= t.click(tapClicks)
}

// Until is how long nothing is due.
func (t *Tap) Until(now, most time.Duration) time.Duration {
	due := t.block.Due()
	if t.done < tapClicks {
		due = min(due, t.click(t.done))
	}
	return min(most, max(0, due-now))
}

// Lost ends it: what came before the cable was pulled is no measure.
func (t *Tap) Lost(time.Duration, string) {
	t.tapped = [tapClicks]bool{}
	t.end()
}

// Found does nothing.
func (t *Tap) Found(time.Duration, string) {}

// Do ends it before its time.
func (t *Tap) Do(_ time.Duration, c sitting.Command) {
	if c.Do == sitting.DoEnd {
		t.end()
	}
}

func (t *Tap) end() {
	t.block.Stop(t.Sound)
	t.over = true
}

// Done reports that it is over.
func (t *Tap) Done() bool { return t.over }

// State shows the beats.
func (t *Tap) State() sitting.State {
	st := sitting.NewState(t.piece)
	switch {
	case t.over:
		st.Where.Phase = sitting.Finished
		st.Result = &sitting.Result{Heading: t.piece.Heading, Taps: t.Result()}
		return st
	case t.done > 0:
		st.Where.Phase, st.Where.Left, st.Where.Beat = sitting.CountingIn, tapClicks-t.done+1, float64((t.done-1)%4+1)
	}
	st.Menu.Offer(sitting.Command{Do: sitting.DoEnd})
	return st
}

// Result is what was measured.
func (t *Tap) Result() sitting.TapResult {
	r := sitting.TapResult{Of: tapClicks - tapListens}
	var sum, squares float64
	for n := tapListens; n < tapClicks; n++ {
		if t.tapped[n] {
			r.Taps++
			sum += float64(t.taps[n])
			squares += float64(t.taps[n]) * float64(t.taps[n])
		}
	}
	if r.Taps == 0 {
		return r
	}
	mean := sum / float64(r.Taps)
	r.Mean = time.Duration(math.Round(mean))
	r.Spread = time.Duration(math.Round(math.Sqrt(max(0, squares/float64(r.Taps)-mean*mean))))
	return r
}
