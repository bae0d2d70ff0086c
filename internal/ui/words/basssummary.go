package words

import (
	"fmt"

	"undersong/internal/judge/firstbass"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// bassSummary is the summary in words, one paragraph each, the first a
// headline.
func bassSummary(s *sitting.Result) []string {
	sum := &s.Summary.Basses
	head := fmt.Sprintf("Right: %d of %d bars", sum.Right(), sum.All)
	if sum.Done() {
		head = fmt.Sprintf("All right: %d bars", sum.All)
	}
	lines := []string{head}
	if text := BassAdvice(s); text != "" {
		lines = append(lines, text)
	}
	if what, command := BassNext(s); command != "" {
		lines = append(lines, what+":\n  "+command)
	} else if what != "" {
		lines = append(lines, what)
	}
	return closing(s.Length, lines)
}

// BassAdvice is what may be done better where all is right.
func BassAdvice(s *sitting.Result) string {
	if s.Summary.Basses.Leading < 0 {
		return ""
	}
	return fmt.Sprintf("Try %s in bar %d: the dominant leads home more strongly.", primary(&s.Heading)[firstbass.Dominant].Root, s.Summary.Basses.Leading)
}

// BassNext is the next step and the command for it: the bars that were not right,
// the second key, the next voicing, the third bass.
func BassNext(s *sitting.Result) (what, command string) {
	next := s.Heading
	next.Span = score.Span{}
	bars := s.Summary.Basses.ToPractise()
	switch {
	case len(bars) > 0:
		next.Span = bassSpan(s, bars)
		return "To practise, " + barsText(bars), bassCommand(&next, s.Moved)
	case !s.Summary.Basses.Done():
		return "", ""
	case s.Span != (score.Span{}):
		return "Now the whole tune", bassCommand(&next, s.Moved)
	case !s.Moved:
		next.Key = s.Key.FifthUp()
		return "Now in a second key", bassCommand(&next, true)
	case s.Voicing < firstbass.WithTriad:
		next.Voicing++
		return "In two keys: now with the " + next.Voicing.String(), bassCommand(&next, false)
	case s.Choice == 2:
		next.Voicing, next.Choice = firstbass.BassAlone, 3
		return "In two keys: now with a third bass, the subdominant", bassCommand(&next, false)
	}
	return "That is the whole ladder: bass, fifth and triad, in two keys.", ""
}

// bassSpan is the first run of bars to practise, led into by the bar before.
func bassSpan(s *sitting.Result, bars []int) score.Span {
	from, to := bars[0], bars[0]
	for _, b := range bars[1:] {
		if b > to+1 || b-from >= sitting.SpanBars {
			break
		}
		to = b
	}
	if from > max(1, s.Span.From) {
		from--
	}
	return score.Span{From: from, To: max(from, to)}
}
