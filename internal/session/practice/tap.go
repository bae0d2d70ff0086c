package practice

import (
	"fmt"
	"math"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/ui/term"
)

// Tap measures the delay of a keyboard: it clicks some beats, and the player taps
// any key with each. It is a Lesson for Loop.
type Tap struct {
	// Sound plays a message on the instrument, at once; nil: the beats are only
	// seen.
	Sound func(event.Event)

	first  time.Duration // the time of the first click
	done   int           // clicks behind us
	block  block
	taps   [tapClicks]time.Duration // from each click
	tapped [tapClicks]bool
	over   bool
}

// Twelve beats at 100 are long enough for an even hand and short enough to be
// done again (common practice, no source). The first two only give the beat.
const (
	tapClicks  = 12
	tapListens = 2
	tapBeat    = 600 * time.Millisecond
	fewestTaps = 6
)

// Begin clicks for the first time after a second: hands come to the keys.
func (t *Tap) Begin(now time.Duration) error {
	t.first = now + time.Second
	return nil
}

func (t *Tap) click(n int) time.Duration { return t.first + time.Duration(n)*tapBeat }

// Event takes a tap for the click that it is nearest to.
func (t *Tap) Event(ev event.Event) error {
	if ev.Channel() == event.Percussion || !ev.IsNoteOn() {
		return nil
	}
	n := int(math.Round(float64(ev.At-t.first) / float64(tapBeat)))
	if n >= 0 && n < tapClicks && !t.tapped[n] {
		t.taps[n], t.tapped[n] = ev.At-t.click(n), true
	}
	return nil
}

// Tick lets time pass.
func (t *Tap) Tick(now time.Duration) error {
	t.block.rest(now, t.Sound)
	for t.done < tapClicks && now >= t.click(t.done) {
		if at := t.click(t.done); now-at <= tooLate {
			t.block.strike(at, now, t.done%4 == 0, t.Sound)
		}
		t.done++
	}
	t.over = t.over || now >= t.click(tapClicks)
	return nil
}

// Until is how long nothing is due.
func (t *Tap) Until(now, most time.Duration) time.Duration {
	due := t.block.due()
	if t.done < tapClicks {
		due = min(due, t.click(t.done))
	}
	return min(most, max(0, due-now))
}

// Lost ends it: what came before the cable was pulled is no measure.
func (t *Tap) Lost(now time.Duration, _ string) error {
	t.tapped = [tapClicks]bool{}
	return t.Stop(now)
}

// Found does nothing.
func (t *Tap) Found(time.Duration, string) error { return nil }

// Key does nothing: the keys of the computer have a delay of their own.
func (t *Tap) Key(time.Duration) error { return nil }

// Stop ends it before its time.
func (t *Tap) Stop(time.Duration) error {
	t.block.stop(t.Sound)
	t.over = true
	return nil
}

// Done reports that it is over.
func (t *Tap) Done() bool { return t.over }

// View shows the beats.
func (t *Tap) View() term.State {
	st := term.State{Title: "Tap any key with each beat", Current: -1, Beats: 4}
	switch {
	case t.over:
		st.Phase, st.Summary = term.Finished, t.Result().Lines()
	case t.done == 0:
		st.Phase, st.Notice = term.Waiting, "tap any key with each beat"
	default:
		st.Phase, st.CountIn, st.Beat = term.CountIn, tapClicks-t.done+1, float64((t.done-1)%4+1)
	}
	return st
}

// TapResult is what taps say of the delay.
type TapResult struct {
	Taps         int           // that count
	Mean, Spread time.Duration // from the click, early negative; standard deviation
}

// Result is what was measured.
func (t *Tap) Result() TapResult {
	var r TapResult
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

const (
	// unevenTaps is the spread above which the mean says little: with ten taps it
	// would be unsure by a third of that.
	unevenTaps = 40 * time.Millisecond
	// noDelay is what nobody hears or feels (a third of the tolerance at the
	// strictest level).
	noDelay = 12 * time.Millisecond
)

// Steady reports a result that a delay can be told from.
func (r TapResult) Steady() bool {
	return r.Taps >= fewestTaps && r.Spread <= unevenTaps && max(r.Mean, -r.Mean) <= MostDelay
}

// Lines say what was measured and what it means.
func (r TapResult) Lines() []string {
	if r.Taps < fewestTaps {
		return []string{fmt.Sprintf("%d of %d clicks were tapped with: too few to tell. Tap once with each click, any key.", r.Taps, tapClicks-tapListens)}
	}
	measured := fmt.Sprintf("%d taps, %s, give or take %d ms", r.Taps, offClick(r.Mean), millis(r.Spread))
	return []string{measured, r.meaning()}
}

func offClick(d time.Duration) string {
	switch ms := millis(d); {
	case ms < 0:
		return fmt.Sprintf("%d ms ahead of the click", -ms)
	case ms > 0:
		return fmt.Sprintf("%d ms behind the click", ms)
	}
	return "on the click"
}

func millis(d time.Duration) int { return int(d.Round(time.Millisecond) / time.Millisecond) }

func (r TapResult) meaning() string {
	switch {
	case r.Spread > unevenTaps:
		return "That is too uneven to tell a delay from. Listen to some clicks first, then tap with one finger."
	case max(r.Mean, -r.Mean) > MostDelay:
		return fmt.Sprintf("More than %d ms is no piano's delay: sound over a wireless link may be late, or the taps fell between the clicks. Use a cable, and try again.", millis(MostDelay))
	case max(r.Mean, -r.Mean) <= noDelay:
		return "That is as good as none: there is nothing to set."
	case r.Mean < 0:
		return "Most people tap a little ahead of a click without knowing. Where it is set, practice counts it as in time."
	}
	return "Your keys arrive late, or the click does. Where it is set, practice counts it as in time."
}
