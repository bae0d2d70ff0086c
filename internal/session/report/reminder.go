package report

import (
	"fmt"
	"strings"

	"undersong/internal/judge/finding"
	"undersong/internal/sheet/score"
)

// Line is a correction in one sentence. One that was made before is a short
// reminder: the player knows what to do, and is at the keys.
func Line(i Item) string {
	if i.Finding.Kind == finding.Lost {
		return i.Voice.Line(i.Finding)
	}
	if i.Again == 0 {
		return inRepeat(i, i.Voice.Line(i.Finding))
	}
	return inRepeat(i, i.Voice.Place(i.Finding)) + ": " + slip(i) + " again" + timeName(i.Again+1)
}

// inRepeat says after the bar which time through a repeat it is, where it is not
// the first.
func inRepeat(i Item, text string) string {
	bar := score.BarName(i.Voice.Bar(i.Finding))
	rest, ok := strings.CutPrefix(text, bar)
	pass := i.Voice.Score.Bars[i.Finding.Bar].Pass
	if !ok || pass < 2 {
		return text
	}
	return bar + ", " + ordinal(pass) + " time" + rest
}

func ordinal(n int) string {
	switch {
	case n == 2:
		return "second"
	case n-3 < len(ordinals):
		return ordinals[n-3]
	}
	return fmt.Sprintf("%dth", n)
}

// slip is what went wrong, in a few words.
func slip(i Item) string {
	f, heard := i.Finding, i.Voice.Heard(i.Finding)
	switch f.Kind {
	case finding.Missing:
		return "missing " + i.Voice.Wanted(f)
	case finding.Extra:
		return "extra " + heard
	case finding.Short:
		return "let go too early"
	case finding.Blurred:
		return heard + " in the pedal"
	}
	return heard
}

var ordinals = []string{"third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"}

// timeName is ", third time" and so on; the second needs no more than "again".
func timeName(n int) string {
	switch {
	case n < 3:
		return ""
	case n-3 < len(ordinals):
		return ", " + ordinals[n-3] + " time"
	}
	return fmt.Sprintf(", %d times now", n)
}
