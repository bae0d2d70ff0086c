package words

import (
	"fmt"
	"strings"
	"time"

	"undersong/internal/judge/firstbass"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/text/visible"
	"undersong/internal/text/wording"
)

// Notice is a notice in words.
func (s *Speaker) Notice(n *sitting.Notice) string {
	if n.Kind == sitting.NowAtTempo && s.piece.Heading.Follow {
		return fmt.Sprintf("expecting tempo %.4g", float64(n.Tempo))
	}
	if bar := barNotice(n); bar != "" {
		return bar
	}
	switch n.Kind {
	case sitting.ListeningTo:
		return s.listening(n)
	case sitting.PlayingOn:
		return "playing on " + visible.Name(n.Out) + LiftText(n.Up)
	case sitting.OnlyShown:
		return "silent, to be seen only" + LiftText(n.Up)
	case sitting.SimulatedOnly:
		return visible.Name(n.Port) + " is an invented student, simulated: nothing is plugged in."
	case sitting.Unplugged:
		return unplugged(n.Port)
	case sitting.PluggedIn:
		return "keyboard is back: " + visible.Name(n.Port)
	case sitting.NowPaused:
		return "paused"
	case sitting.FirstNote:
		return FirstNote(s.piece.Score)
	case sitting.NotNow:
		return "not now: " + doText(sitting.Command{Do: n.Command})
	case sitting.BarBegins:
		return s.barBegins(n.Bar)
	}
	return s.taskNotice(n)
}

// barNotice is a notice about a bar, a pass or a tempo; "" for others.
func barNotice(n *sitting.Notice) string {
	switch n.Kind {
	case sitting.WellDone:
		return "that's it"
	case sitting.BarRight:
		return score.BarName(n.Bar) + ": right"
	case sitting.BarMended:
		return score.BarName(n.Bar) + ": mended"
	case sitting.PassOver:
		return fmt.Sprintf("pass %d: %s", n.Pass, result(n.Right, n.Wrong, false))
	case sitting.NowFaster:
		return fmt.Sprintf("clean: now %g", float64(n.Tempo))
	case sitting.OnceMore:
		return fmt.Sprintf("once more at %g", float64(n.Tempo))
	case sitting.AtTheTop:
		return fmt.Sprintf("clean at %g, the tempo you were after", float64(n.Tempo))
	case sitting.RoundBegins:
		return fmt.Sprintf("round %d", n.Pass)
	case sitting.NowAtTempo:
		return fmt.Sprintf("tempo %.4g", float64(n.Tempo))
	}
	return ""
}

// taskNotice is a notice that says what is to be done.
func (s *Speaker) taskNotice(n *sitting.Notice) string {
	switch n.Kind {
	case sitting.TuneBegins:
		return "begin on any key you like"
	case sitting.BassesBegin:
		return "play the tune, and under it " + strings.Join(firstbass.Roots(s.basses.Theory.Primary()), " or ")
	case sitting.BassesFit:
		return s.fit(n)
	case sitting.NowListening:
		return "listening again"
	case sitting.RecordBegins:
		return "play it, twice or three times if you like; then wait, or press q"
	case sitting.RecordGoesOn:
		return "listening; wait, or press q, when it is over"
	}
	return ""
}

func unplugged(port string) string {
	return "keyboard unplugged: waiting for " + visible.Name(port)
}

// listening is what is listened to, and what sounds where.
func (s *Speaker) listening(n *sitting.Notice) string {
	text := "listening to " + visible.Name(n.Port)
	h := &s.piece.Heading
	if n.Out != "" && !n.NoClick {
		text += ", click on " + visible.Name(n.Out)
	}
	if n.Delay != 0 && !h.Follow {
		text += ", with a delay of " + Millis(n.Delay)
	}
	if h.With == "" {
		return text
	}
	yours := "the accompaniment"
	if hand := h.Hand(); hand != "" {
		yours = "the " + hand + " hand"
	}
	return text + fmt.Sprintf("; undersong plays the %s on %s, channel %d, and you %s", WithText(h.With), visible.Name(n.Out), n.Channel, yours) + LiftText(n.Up)
}

// Millis is "12 ms".
func Millis(d time.Duration) string { return fmt.Sprintf("%d ms", d/time.Millisecond) }

// LiftText says after other things that the tune is played higher than it is written, or nothing.
func LiftText(octaves int) string {
	switch octaves {
	case 0:
		return ""
	case 1:
		return "; the tune an octave up, clear of the accompaniment"
	}
	return fmt.Sprintf("; the tune %d octaves up, clear of the accompaniment", octaves)
}

// barBegins is a bar and its chords, as the chart has them.
func (s *Speaker) barBegins(bar int) string {
	var chords []string
	for _, c := range s.piece.Bars[s.piece.Printed(bar)].Chords {
		chords = append(chords, c.Chord.String())
	}
	return score.BarName(s.piece.Score.Bars[bar].Number) + ": " + strings.Join(chords, " ")
}

// fit says which basses fit in a bar.
func (s *Speaker) fit(n *sitting.Notice) string {
	bar := score.BarName(s.piece.Score.Bars[n.Bar].Number)
	var roots []string
	for _, i := range n.Choices.Slice() {
		roots = append(roots, s.basses.bass(i).Root.String())
	}
	switch len(roots) {
	case 0:
		return bar + ": any of them will do"
	case 1:
		return bar + ": " + roots[0] + " fits"
	}
	return bar + ": " + wording.Join(roots, "and") + " fit"
}
