package words

import (
	"fmt"
	"strings"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/text/wording"
)

// SummaryLines is the summary in words, one paragraph each, the first a
// headline. A paragraph may have line feeds where it reads better with them;
// spaces will do.
func SummaryLines(s *sitting.Result) []string {
	sum := &s.Summary
	right, wrong := sum.Count(finding.Right), sum.Wrong()
	lines := []string{result(right, wrong, len(sum.Causes) > 0)}
	if right+wrong == 0 {
		return closing(s.Length, lines)
	}
	if text := countsText(sum); text != "" {
		lines = append(lines, text)
	}
	if text := timingText(sum); text != "" {
		lines = append(lines, text)
	}
	if text := pictureText(s.Picture, s.Intro, s.First, s.Last); text != "" {
		lines = append(lines, text)
	}
	for i, a := range Practise(s) {
		text := fmt.Sprintf("Practise %d: %s", i+1, a.Text)
		lines = append(lines, text)
		if a.Command != "" {
			lines = append(lines, "  "+a.Command)
		}
	}
	return closing(s.Length, lines)
}

// result is how it went, on one line; beside what causes were found.
func result(right, wrong int, causes bool) string {
	switch {
	case wrong == 0 && causes && right > 0:
		return "All else right: " + wording.Count(right, "stroke")
	case right+wrong == 0:
		return "Nothing was played that could be judged."
	case wrong == 0:
		return "All right: " + wording.Count(right, "stroke")
	}
	return fmt.Sprintf("%s right, %d to mend", wording.Count(right, "stroke"), wrong)
}

func countsText(sum *finding.Summary) string {
	var parts []string
	for _, k := range toMend() {
		if n := sum.Count(k); n > 0 && k != finding.Right {
			parts = append(parts, fmt.Sprintf("%s %d", kindWords[k], n))
		}
	}
	if parts == nil {
		return ""
	}
	return "To mend: " + strings.Join(parts, ", ")
}

// toMend are the kinds that a pattern's player may be told, the most important first.
func toMend() []finding.Kind {
	return append(finding.Kinds(finding.Flow), finding.Kinds(finding.Strokes)...)
}

func timingText(sum *finding.Summary) string {
	var parts []string
	for h, t := range sum.Timing {
		if t.Strokes > 0 {
			text := partWords[finding.Part(h)] + " " + offBeat(t.MeanMs)
			if t.Strokes > 1 {
				text += fmt.Sprintf(", give or take %.0f ms", t.SpreadMs)
			}
			text += tendency(t.DriftMs)
			parts = append(parts, text)
		}
	}
	if parts == nil {
		return ""
	}
	return "Time: " + strings.Join(parts, "; ")
}

// onBeat is a mean, in milliseconds, that nobody hears as off the beat: a
// third of what is heard as uneven in quarters at 100 (15 ms; Friberg and
// Sundberg 1995, JASA 98(5)).
const onBeat = 5

// clearly is a drift, in milliseconds from the first stroke to the last, that is a
// tendency and no chance: what nearly everybody hears as not together is 60 ms
// (Mazurka project experiments), half of which is on its way there.
const clearly = 30

// tendency says that a hand rushes or drags.
func tendency(drift float64) string {
	if drift < -clearly {
		return fmt.Sprintf(", rushing: %.0f ms ahead by the end", -drift)
	}
	if drift > clearly {
		return fmt.Sprintf(", dragging: %.0f ms behind by the end", drift)
	}
	return ""
}

func offBeat(ms float64) string {
	if ms < -onBeat {
		return fmt.Sprintf("%.0f ms ahead of the beat", -ms)
	}
	if ms > onBeat {
		return fmt.Sprintf("%.0f ms behind the beat", ms)
	}
	return "on the beat"
}
