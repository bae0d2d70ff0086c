package words

import (
	"fmt"
	"math"
	"strings"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/judge/rules"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/text/shell"
)

// command is how to practise what is suggested; "" where the chart is no file.
func command(s *sitting.Result, n *sitting.Suggestion) string {
	key, moved := s.Key, s.Moved
	for i := range s.Summary.Causes {
		c := &s.Summary.Causes[i]
		if c.Kind == finding.OtherKey && c.Bar <= n.Span.From && n.Span.From <= c.ToBar {
			key, moved = keyOf(c, s.Key), true
		}
	}
	args := practiceIn(s, key, moved)
	bars := "intro"
	if n.Span != score.IntroBars {
		bars = fmt.Sprintf("%d-%d", n.Span.From, n.Span.To)
	}
	args = append(args, fmt.Sprintf("--tempo %g --bars %s --loop", float64(n.Tempo), bars))
	return finish(args, s, n.Hands)
}

// causeCommand is how to practise as a cause has it; "" where the chart is no file or
// nothing is to be chosen.
func causeCommand(s *sitting.Result, c *finding.Cause) string {
	key, moved, tempo, hands := s.Key, s.Moved, float64(s.Tempo), s.Hands
	switch {
	case c.Kind == finding.OtherKey:
		key, moved = keyOf(c, key), true
	case (c.Kind == finding.HalfTempo || c.Kind == finding.DoubleTempo) && !s.Follow:
		tempo *= c.Ratio
	case c.Kind == finding.Silent && c.Hand != finding.BothHands:
		hands = score.LeftAlone + score.Only(c.Hand)
	default:
		return ""
	}
	args := practiceIn(s, key, moved)
	if !s.Follow {
		args = append(args, fmt.Sprintf("--tempo %g", math.Round(tempo)))
	}
	return finish(args, s, hands)
}

// keyOf is the key that is played where another is wanted.
func keyOf(c *finding.Cause, wanted pitch.Key) pitch.Key {
	return pitch.KeyAt(wanted.Tonic.Class().Up(c.Semitones), wanted.Minor)
}

// practiceIn are the words of a command to practise in a key.
func practiceIn(s *sitting.Result, key pitch.Key, moved bool) []string {
	pattern := s.Pattern
	if s.Own != "" {
		pattern = s.Own
	}
	args := []string{"undersong practice", shell.File(s.File)}
	if !s.AsChart {
		args = append(args, "--pattern", shell.File(pattern))
	}
	if moved {
		args = append(args, "--key", shell.Word(key.String()))
	}
	return args
}

// finish adds the hands, and how is played; "" where the chart is no file.
func finish(args []string, s *sitting.Result, hands score.Only) string {
	if s.File == "" {
		return ""
	}
	switch {
	case s.With == "left" || s.With == "right":
		args = append(args, "--with "+s.With) // which leaves the other hand
	case hands != score.BothHands:
		args = append(args, "--hand "+hands.String())
	}
	if s.With == "melody" {
		args = append(args, "--with melody")
	}
	switch {
	case s.Sing:
		args = append(args, "--sing")
	case s.Follow:
		args = append(args, "--follow")
	}
	if s.Level != rules.Steady.Name {
		args = append(args, "--level "+s.Level)
	}
	return strings.Join(args, " ")
}

func bassCommand(s *sitting.Heading, moved bool) string {
	args := []string{"undersong bass", shell.File(s.File)}
	if s.Voicing != firstbass.BassAlone {
		args = append(args, "--voicing "+s.Voicing.String())
	}
	if s.Choice != 2 {
		args = append(args, fmt.Sprintf("--with %d", s.Choice))
	}
	if moved {
		args = append(args, "--key "+shell.Word(s.Key.String()))
	}
	if s.Span != (score.Span{}) {
		args = append(args, fmt.Sprintf("--bars %d-%d", s.Span.From, s.Span.To))
	}
	return strings.Join(args, " ")
}
