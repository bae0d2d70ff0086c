package words

import (
	"fmt"
	"strings"

	"undersong/internal/judge/firstbass"
	"undersong/internal/judge/rules"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/text/shell"
)

func command(s *sitting.Result, n *sitting.Suggestion) string {
	if s.File == "" {
		return ""
	}
	pattern := s.Pattern
	if s.Own != "" {
		pattern = s.Own
	}
	args := []string{"undersong practice", shell.File(s.File)}
	if !s.AsChart {
		args = append(args, "--pattern", shell.File(pattern))
	}
	if s.Moved {
		args = append(args, "--key", shell.Word(s.Key.String()))
	}
	bars := "intro"
	if n.Span != score.IntroBars {
		bars = fmt.Sprintf("%d-%d", n.Span.From, n.Span.To)
	}
	args = append(args, fmt.Sprintf("--tempo %g --bars %s --loop", float64(n.Tempo), bars))
	switch {
	case s.With == "left" || s.With == "right":
		args = append(args, "--with "+s.With) // which leaves the other hand
	case n.Hands != score.BothHands:
		args = append(args, "--hand "+n.Hands.String())
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
