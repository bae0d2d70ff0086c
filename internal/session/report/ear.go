package report

import (
	"time"

	"undersong/internal/session/sitting"
)

// EarWriter takes what is told in lessons without a click: a tune looked for by
// ear, basses put under one.
type EarWriter interface {
	TuneWriter
	BassWriter
}

// Silent is an EarWriter that writes nothing, for where the screen shows it.
type Silent struct{}

// StartTune writes nothing.
func (Silent) StartTune(sitting.TuneHeading) error { return nil }

// TuneFinding writes nothing.
func (Silent) TuneFinding(sitting.Item) error { return nil }

// TuneSummary writes nothing.
func (Silent) TuneSummary(sitting.TuneResult) error { return nil }

// StartBass writes nothing.
func (Silent) StartBass(sitting.BassHeading) error { return nil }

// BassFinding writes nothing.
func (Silent) BassFinding(sitting.Item) error { return nil }

// BassSummary writes nothing.
func (Silent) BassSummary(sitting.BassResult) error { return nil }

// Notice writes nothing.
func (Silent) Notice(time.Duration, string) error { return nil }
