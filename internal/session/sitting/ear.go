package sitting

import (
	"time"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/sheet/score"
)

// TuneHeading says which tune is looked for.
type TuneHeading struct {
	Title string // of the chart; its path where it has none
	File  string // the chart's path as given
	Tune  *byear.Tune
	Task  byear.Task
	Help  byear.Help
}

// TuneResult is what came of it.
type TuneResult struct {
	TuneHeading
	Length  time.Duration
	Summary finding.Summary
}

// BassHeading says what is practised.
type BassHeading struct {
	Title string // of the chart; its path where it has none
	File  string // the chart's path as given
	Moved bool   // into another key than the chart's
	Span  score.Span
	Rung  firstbass.Rung
	Score *score.Score
	Stock []firstbass.Bass
}

// BassResult is what came of it.
type BassResult struct {
	BassHeading
	Length  time.Duration
	Summary finding.Summary
}
