package words

import (
	"fmt"
	"strings"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/firstbass"
	"undersong/internal/music/meter"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// asks say what is to be done for a voicing.
var asks = map[firstbass.Voicing]string{
	firstbass.BassAlone: "one bass in each bar: ",
	firstbass.WithFifth: "a bass in each bar and the fifth above it: ",
	firstbass.WithTriad: "a bass in each bar, the fifth above it, the third in the middle: ",
}

// bassHeadline is the tune and what is asked for, on one line.
func bassHeadline(h *sitting.Heading) string {
	return fmt.Sprintf("%s in %s, %s%s", h.Name(), h.Key, asks[h.Voicing], strings.Join(firstbass.Roots(primary(h)), ", "))
}

// primary are the chords with the basses to choose from.
func primary(h *sitting.Heading) []firstbass.Bass { return firstbass.Primary(h.Key, h.Choice) }

// Headline is what is played, on one line.
func Headline(h *sitting.Heading) string {
	s := fmt.Sprintf("%s: %s in %s, %s, %s", h.Name(), h.Pattern, h.Key, h.Meter, pace(h))
	if h.Level != "" {
		s += ", " + h.Level
	}
	if hand := h.Hand(); hand != "" {
		s += ", " + hand + " hand alone"
	}
	if h.With != "" {
		s += ", undersong plays the " + WithText(h.With)
	}
	if h.Span != (score.Span{}) {
		s += ", " + h.Span.String()
	}
	return s
}

// pace is the tempo and, of what is over, from which to which it went.
func pace(h *sitting.Heading) string {
	switch {
	case h.Sing:
		return "for a singer"
	case h.Follow:
		return "the player leads"
	case h.Began == 0:
		return fmt.Sprintf("tempo %.4g%s", float64(h.Tempo), remark(h))
	}
	s := fmt.Sprintf("tempo from %.4g to %.4g", float64(h.Began), float64(h.Tempo))
	if r := h.Ramp; r != (sitting.Ramp{}) {
		s += fmt.Sprintf(" (asked for: %g, by %g)", float64(r.To), float64(r.Step))
	}
	return s
}

// remark is what to know about the tempo.
func remark(h *sitting.Heading) string {
	if r := h.Ramp; r != (sitting.Ramp{}) {
		return fmt.Sprintf(" (from %g to %g by %g)", float64(r.From), float64(r.To), float64(r.Step))
	}
	switch h.Source {
	case sitting.FromChart:
		return " (the chart's, since the file counts film frames)"
	case sitting.FromFile:
		return " (the file's)"
	case sitting.MeanOfFile:
		return " (the mean of the file's)"
	case sitting.UsualOfFile:
		return " (the file tells none)"
	}
	return ""
}

// Changed is what is played from now on, where something else was asked for.
func Changed(h *sitting.Heading) string {
	s := "the whole"
	if h.Span != (score.Span{}) {
		s = h.Span.String()
	}
	if hand := h.Hand(); hand != "" {
		s += ", " + hand + " hand alone"
	}
	if h.Loop {
		s += ", round and round"
	}
	return s
}

// WithText is what undersong plays, in words.
func WithText(with string) string {
	if with == "melody" {
		return "tune"
	}
	return with + " hand"
}

// tuneHeadline is the tune and its phrases, on one line.
func tuneHeadline(h *sitting.Heading, t *byear.Tune) string {
	return fmt.Sprintf("%s: %s, %s, from any key", h.Name(), wording.Count(t.Phrases(), "phrase"), wording.Count(len(t.Notes), "note"))
}

// FirstNote says where the first note is wanted, "the first note is on beat 4 of the
// upbeat", where that is not plainly the beginning; else it is empty.
func FirstNote(s *score.Score) string {
	upbeat := s.Bars[0].Len
	if upbeat == s.Meter.Bar() || s.Bars[0].Number != 0 {
		upbeat = 0
	}
	for i := range s.Wants {
		w := &s.Wants[i]
		if !s.Only.Judges(w.Hand) {
			continue
		}
		if upbeat == 0 && w.Bar == 0 && w.Beat == 1 {
			return ""
		}
		if upbeat == 0 {
			return firstOn(w.Beat, s) + score.BarName(s.Bars[w.Bar].Number)
		}
		if w.Bar == 0 {
			return firstOn(w.Beat, s) + "the upbeat"
		}
		return fmt.Sprintf("an upbeat of %s comes before bar 1; %s%s", beatsText(upbeat, s.Meter), firstOn(w.Beat, s), score.BarName(s.Bars[w.Bar].Number))
	}
	return ""
}

func firstOn(beat float64, s *score.Score) string {
	return "the first note is on beat " + BeatName(beat, s.Meter) + " of "
}

// beatsText is "1 beat" or "1.5 beats".
func beatsText(t meter.Ticks, m meter.Meter) string {
	switch t {
	case m.Beat():
		return "1 beat"
	case m.Beat() / 2:
		return "half a beat"
	}
	return fmt.Sprintf("%.3g beats", float64(t)/float64(m.Beat()))
}
