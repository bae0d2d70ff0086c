package rules

import (
	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
)

// Passed is what a stroke is whose time has passed without it being told of: it is
// missing, unless the right notes were struck long before it and nothing came nearer.
func Passed(heard, early *pitch.Nums) finding.Kind {
	if early.Len() > 0 && heard.Len() == 0 {
		return finding.Early
	}
	return finding.Missing
}
