// Package lines writes down what was found: line by line for a reader, or as
// JSON lines for a program; ui/manual/json.md tells what those hold.
package lines

import (
	"fmt"
	"io"
	"strings"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/text/visible"
	"undersong/internal/text/wording"
	"undersong/internal/ui/words"
)

// Plain writes for a reader: a heading, at most one correction a bar, and the summary.
type Plain struct {
	// Width is how many columns a line may have; 0 for any number. Longer ones are
	// broken between words, but for those that begin with a space: commands, which
	// are copied, and the picture of the bars.
	Width int
	// All writes every correction.
	All bool

	w       io.Writer
	speaker *words.Speaker // of what is played
	heading *sitting.Heading
	gate    sitting.Gate
	blank   bool // the last line was
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

// Record writes what is told.
func (p *Plain) Record(r sitting.Record) error {
	switch {
	case r.Piece != nil:
		return p.piece(r.Piece)
	case r.Cause != nil:
		return p.lines(p.speaker.Cause(&r.Cause.Cause))
	case r.Findings != nil:
		return p.findings(r.Findings)
	case r.Notice != nil:
		return p.notice(r.Notice)
	case r.Result != nil:
		return p.paragraphs(p.speaker.Summary(r.Result))
	}
	return nil // a count-in is heard, or seen
}

// piece writes the heading, or what has changed of it.
func (p *Plain) piece(piece *sitting.Piece) error {
	begun := p.speaker != nil
	p.speaker, p.heading = words.NewSpeaker(piece), &piece.Heading
	p.gate.After, p.gate.Sing = p.heading.After, p.heading.Sing
	if begun {
		return p.lines(words.Changed(p.heading))
	}
	return p.lines(p.speaker.Headline(), "")
}

// findings writes corrections; what strokes were right is left to the summary.
func (p *Plain) findings(found []sitting.Item) error {
	if p.heading.Kind == sitting.Practice && !p.All {
		found = p.gate.Choose(found)
	}
	for i := range found {
		f := &found[i].Finding
		if p.heading.Kind == sitting.Practice && f.Kind == finding.Right {
			continue
		}
		text := []string{p.speaker.Line(f)}
		if p.heading.Kind == sitting.Tune {
			text = at(found[i].At, text[0])
		}
		if err := p.lines(text...); err != nil {
			return err
		}
	}
	return nil
}

// at sets a text out in lines, the first of which has a time before it.
func at(t time.Duration, text string) []string {
	said := strings.Split(text, "\n")
	for n := range said {
		stamp := ""
		if n == 0 {
			stamp = fmt.Sprintf("%.1f s", t.Seconds())
		}
		said[n] = fmt.Sprintf("%9s  %s", stamp, said[n])
	}
	return said
}

func (p *Plain) notice(n *sitting.Notice) error {
	if n.Kind == sitting.NowPaused {
		return p.lines(p.speaker.Notice(n) + "; " + p.speaker.PianoHelp())
	}
	return p.lines(p.speaker.Notice(n))
}

// paragraphs writes a summary, with an empty line before it.
func (p *Plain) paragraphs(all []string) error {
	lines := []string{""}
	for _, paragraph := range all {
		lines = append(lines, strings.Split(paragraph, "\n")...)
	}
	return p.lines(lines...)
}
