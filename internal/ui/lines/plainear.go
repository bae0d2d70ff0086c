package lines

import (
	"fmt"
	"strings"

	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// StartBass writes the heading.
func (p *Plain) StartBass(h sitting.BassHeading) error {
	p.bass = words.NewBassVoice(h.Score, len(h.Stock))
	return p.lines(words.BassHeadline(h), "")
}

// BassFinding writes a finding.
func (p *Plain) BassFinding(i sitting.Item) error { return p.lines(words.BassLine(p.bass, i.Finding)) }

// BassSummary writes the summary.
func (p *Plain) BassSummary(s sitting.BassResult) error {
	return p.paragraphs(words.BassSummaryLines(s))
}

// StartTune writes the heading.
func (p *Plain) StartTune(h sitting.TuneHeading) error {
	p.tune = words.NewTuneVoice(h)
	return p.lines(words.TuneHeadline(h), "")
}

// TuneFinding writes a finding with its time.
func (p *Plain) TuneFinding(i sitting.Item) error {
	said := strings.Split(p.tune.Say(i.Finding), "\n")
	for n := range said {
		at := ""
		if n == 0 {
			at = fmt.Sprintf("%.1f s", i.At.Seconds())
		}
		said[n] = fmt.Sprintf("%9s  %s", at, said[n])
	}
	return p.lines(said...)
}

// TuneSummary writes the summary.
func (p *Plain) TuneSummary(s sitting.TuneResult) error {
	return p.paragraphs(words.TuneSummaryLines(s))
}
