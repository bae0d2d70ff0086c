package sitting

import "time"

// Writer takes a session as it happens. Every line is written at once.
type Writer interface {
	Start(Heading) error
	Findings([]Item) error // that came at one moment, or in the pass that is over
	CountIn(CountIn) error
	// Notice tells of what is no finding, such as a keyboard that was unplugged.
	Notice(at time.Duration, text string) error
	Summary(Result) error
}

// EarWriter takes what is told in lessons without a click: a tune looked for by
// ear, basses put under one.
type EarWriter interface {
	StartTune(TuneHeading) error
	TuneFinding(Item) error
	TuneSummary(TuneResult) error
	StartBass(BassHeading) error
	BassFinding(Item) error
	BassSummary(BassResult) error
	Notice(at time.Duration, text string) error
}

// Silent is an EarWriter that writes nothing, for where the screen shows it.
type Silent struct{}

// StartTune writes nothing.
func (Silent) StartTune(TuneHeading) error { return nil }

// TuneFinding writes nothing.
func (Silent) TuneFinding(Item) error { return nil }

// TuneSummary writes nothing.
func (Silent) TuneSummary(TuneResult) error { return nil }

// StartBass writes nothing.
func (Silent) StartBass(BassHeading) error { return nil }

// BassFinding writes nothing.
func (Silent) BassFinding(Item) error { return nil }

// BassSummary writes nothing.
func (Silent) BassSummary(BassResult) error { return nil }

// Notice writes nothing.
func (Silent) Notice(time.Duration, string) error { return nil }
