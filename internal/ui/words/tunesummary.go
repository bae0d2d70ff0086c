package words

import (
	"fmt"
	"strings"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/text/shell"
	"undersong/internal/text/wording"
)

// summary is the summary in words, one paragraph each, the first a headline.
func (v *TuneWording) summary(s *sitting.Result) []string {
	sum := &s.Summary.Tune
	lines := []string{v.foundText(sum), phrasesText(v.Tune, sum)}
	if sum.Hardest >= 0 {
		lines = append(lines, fmt.Sprintf("Hardest: %s, %s (%s)", v.MoveWords(sum.Hardest), v.MovePlace(sum.Hardest), wording.Count(sum.HardestMiss, "wrong note")))
	}
	if sum.Task.Begun {
		lines = append(lines, fmt.Sprintf("As asked: %d of %s", sum.Task.Kept, wording.Count(v.Tune.Phrases(), "phrase")))
	}
	if s.File != "" && sum.Whole && !sum.Task.Begun {
		lines = append(lines, "Next, from another note:\n  undersong tune "+shell.File(s.File)+" --from another --known")
	}
	return closing(s.Length, lines)
}

// foundText counts phrases that are alike as one.
func (v *TuneWording) foundText(sum *finding.TuneSummary) string {
	phrase := "phrase"
	if n := len(sum.Phrases); 0 < n && n < v.Tune.Phrases() {
		phrase = "different phrase"
	}
	if sum.Whole {
		return "The whole tune is found"
	}
	return fmt.Sprintf("Found: %d of %s", sum.Found, wording.Count(len(sum.Phrases), phrase))
}

// phrasesText is a line for each phrase that was tried, with those that are alike.
func phrasesText(t *byear.Tune, sum *finding.TuneSummary) string {
	var lines []string
	for _, p := range sum.Phrases {
		state := "not found yet"
		switch {
		case p.Right:
			state = "right"
		case p.Found:
			state = "found"
		case p.Tries == 0:
			continue
		}
		lines = append(lines, fmt.Sprintf("  %-14s  %-13s  %s through, %s", numbers(t, p.Phrase), state, wording.Count(p.Tries, "time"), wording.Count(p.Wrong, "wrong note")))
	}
	if lines == nil {
		return "No phrase was begun."
	}
	return strings.Join(lines, "\n")
}

// numbers are a phrase and those that are alike: "phrase 1", "phrase 1, 3".
func numbers(t *byear.Tune, phrase int) string {
	s := fmt.Sprintf("phrase %d", phrase+1)
	for p := phrase + 1; p < t.Phrases(); p++ {
		if t.Alike(p) == phrase {
			s += fmt.Sprintf(", %d", p+1)
		}
	}
	return s
}
