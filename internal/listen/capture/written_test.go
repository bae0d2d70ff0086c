package capture

import (
	"fmt"
	"strings"
	"testing"

	"undersong/internal/midi/event"
	"undersong/internal/test/golden"
)

// slipped plays every so manieth note a half step too high.
func slipped(events []event.Event, every int) []event.Event {
	out, struck := append([]event.Event(nil), events...), 0
	wrong := map[uint8]bool{}
	for i := range out {
		e := &out[i]
		if e.IsNoteOn() {
			struck++
			wrong[e.Data1] = struck%every == 0
		}
		if (e.IsNoteOn() || e.IsNoteOff()) && wrong[e.Data1] {
			e.Data1++
		}
	}
	return out
}

// What is written of the shipped patterns and the invented ones, played by people
// once to three times, over one chord and over four, clean and with slips, told
// much and little: the rows, all that is said of them, and whether they are what
// was played.
func TestWhatIsWritten(t *testing.T) {
	var b strings.Builder
	for n, p := range append(invented(t), shipped(t)...) {
		w := []told{{"C", false, false}, {"C F G7 Am", n%4 == 1, n%8 == 1}}[n%2]
		r := play(t, p, w.chords, 1+n%3, firstSeason, uint64(n))
		r.told, r.o.Inversions = w, n%7 == 6
		if w.meter {
			r.o.Meter = meterOf(p)
		}
		if w.tempo {
			r.o.Tempo = r.tempo
		}
		how := ""
		if n%5 == 4 {
			r.events, how = slipped(r.events, 17), ", with slips"
		}
		r.got, r.err = Capture(r.events, r.o)
		verdict, _, _ := strings.Cut(judge{}.fault(t, r), ":")
		if verdict == "" {
			verdict = "as played"
		}
		fmt.Fprintf(&b, "== %s%s, %s: %s\n", r, how, w, verdict)
		if g := r.got; r.err == nil {
			_, rows, _ := strings.Cut(g.Pattern.Text(), "level: 1\n")
			fmt.Fprintf(&b, "%s%.1f beats a minute, %d bars, %d times, %d slips, %d unsure, by ear %v, or in %v\n",
				rows, float64(g.Tempo), g.Bars, g.Times, g.Slips, g.Unsure, g.ByEar, g.Rivals)
		}
	}
	golden.Equal(t, "written.txt", b.String())
}
