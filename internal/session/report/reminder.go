package report

import (
	"fmt"
	"strings"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/words"
)

// Line is a correction in one sentence. One that was made before is a short
// reminder: the player knows what to do, and is at the keys.
func Line(i sitting.Item) string {
	if i.Finding.Kind == finding.Lost {
		return voiceOf(i).Line(i.Finding)
	}
	if i.Finding.Again == 0 {
		return inRepeat(i, voiceOf(i).Line(i.Finding))
	}
	return inRepeat(i, voiceOf(i).Place(i.Finding)) + ": " + slip(i) + " again" + timeName(i.Finding.Again+1)
}

func voiceOf(i sitting.Item) *words.Voice { return &words.Voice{Score: i.Score, Ear: i.Ear} }

// inRepeat says after the bar which time through a repeat it is, where it is not
// the first.
func inRepeat(i sitting.Item, text string) string {
	bar := score.BarName(voiceOf(i).Bar(i.Finding))
	rest, ok := strings.CutPrefix(text, bar)
	pass := i.Score.Bars[i.Finding.Bar].Pass
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
func slip(i sitting.Item) string {
	f, heard := i.Finding, voiceOf(i).Heard(i.Finding)
	switch f.Kind {
	case finding.Missing:
		return "missing " + voiceOf(i).Wanted(f)
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
