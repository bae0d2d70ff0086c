// Package lines writes down what was found: line by line for a reader, or as
// JSON lines for a program; ui/manual/json.md tells what those hold.
package lines

import (
	"io"
	"strings"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/text/visible"
	"undersong/internal/text/wording"
	"undersong/internal/ui/words"
)

// Plain writes for a reader: a heading, one line for each correction, and the
// summary.
type Plain struct {
	// Width is how many columns a line may have; 0 for any number. Longer ones are
	// broken between words, but for those that begin with a space: commands, which
	// are copied, and the picture of the bars.
	Width int

	w     io.Writer
	tune  *words.TuneVoice // of the tune that is looked for, where one is
	bass  *words.BassVoice
	blank bool // the last line was
}

// NewPlain writes to w, one write a line.
func NewPlain(w io.Writer) *Plain { return &Plain{w: w} }

func (p *Plain) lines(lines ...string) error {
	for _, l := range lines {
		if l == "" && p.blank {
			continue
		}
		p.blank = l == ""
		if _, err := io.WriteString(p.w, wrap(visible.Name(l), p.Width)+"\n"); err != nil {
			return err
		}
	}
	return nil
}

// wrap breaks a line between words so that it fits a width, where it is not 0.
func wrap(s string, width int) string {
	if width <= 0 || strings.HasPrefix(s, " ") || wording.Width(s) <= width {
		return s
	}
	return strings.Join(wording.Wrap(s, width), "\n")
}

// Start writes the heading.
func (p *Plain) Start(h sitting.Heading) error { return p.lines(words.Headline(h), "") }

// Findings writes corrections; what was right is left to the summary.
func (p *Plain) Findings(found []sitting.Item) error {
	return eachOf(found, func(i sitting.Item) error {
		if i.Finding.Kind == finding.Right {
			return nil
		}
		return p.lines(words.Line(i))
	})
}

// CountIn writes nothing: the click is heard, or seen.
func (p *Plain) CountIn(sitting.CountIn) error { return nil }

// Notice writes a notice.
func (p *Plain) Notice(_ time.Duration, text string) error { return p.lines(text) }

// Summary writes the summary.
func (p *Plain) Summary(s sitting.Result) error { return p.paragraphs(words.SummaryLines(s)) }

// paragraphs writes a summary, with an empty line before it.
func (p *Plain) paragraphs(all []string) error {
	lines := []string{""}
	for _, paragraph := range all {
		lines = append(lines, strings.Split(paragraph, "\n")...)
	}
	return p.lines(lines...)
}
