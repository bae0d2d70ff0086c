package sitting

import (
	"time"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/firstbass"
	"undersong/internal/sheet/score"
)

// TuneHeading says which tune is looked for.
type TuneHeading struct {
	Title string // of the chart; its path where it has none
	File  string // the chart's path as given
	Voice byear.Voice
	Help  byear.Help
}

// TuneItem is a finding with the time since the file or session began.
type TuneItem struct {
	Finding *byear.Finding
	Voice   *byear.Voice
	At      time.Duration
}

// TuneResult is what came of it.
type TuneResult struct {
	TuneHeading
	Length  time.Duration
	Summary byear.Summary
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

// BassItem is a finding with the time since the file or session began.
type BassItem struct {
	Finding *firstbass.Finding
	Voice   *firstbass.Voice
	At      time.Duration
}

// BassResult is what came of it.
type BassResult struct {
	BassHeading
	Length  time.Duration
	Summary firstbass.Summary
}
