package report

import (
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"

	"github.com/rivo/uniseg"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
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
	tune  words.TuneVoice // of the tune that is looked for, where one is
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
		if _, err := io.WriteString(p.w, wrap(printable(l), p.Width)+"\n"); err != nil {
			return err
		}
	}
	return nil
}

// printable replaces control characters, which could command a terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
}

// wrap breaks a line between words so that it fits a width, where it is not 0.
func wrap(s string, width int) string {
	if width <= 0 || strings.HasPrefix(s, " ") || uniseg.StringWidth(s) <= width {
		return s
	}
	var b strings.Builder
	used := 0
	for _, word := range strings.Fields(s) {
		n := uniseg.StringWidth(word)
		switch {
		case used == 0:
		case used+1+n > width:
			b.WriteByte('\n')
			used = 0
		default:
			b.WriteByte(' ')
			used++
		}
		b.WriteString(word)
		used += n
	}
	return b.String()
}

// Start writes the heading.
func (p *Plain) Start(h sitting.Heading) error { return p.lines(Headline(h), "") }

// Headline is what is played, on one line.
func Headline(h sitting.Heading) string {
	pace := fmt.Sprintf("tempo %.4g%s", float64(h.Tempo), h.Remark)
	if h.Follow {
		pace = "the player leads"
	}
	s := fmt.Sprintf("%s: %s in %s, %s, %s", h.Name(), h.Pattern, h.Key, h.Meter, pace)
	if h.Level != "" {
		s += ", " + h.Level
	}
	if h.Hand != "" {
		s += ", " + h.Hand + " hand alone"
	}
	if h.With != "" {
		s += ", undersong plays the " + WithText(h.With)
	}
	if h.Span != (score.Span{}) {
		s += ", " + h.Span.String()
	}
	return s
}

// WithText is what undersong plays, in words.
func WithText(with string) string {
	if with == "melody" {
		return "tune"
	}
	return with + " hand"
}

// Finding writes a correction; what was right is left to the summary.
func (p *Plain) Finding(i sitting.Item) error {
	if i.Finding.Kind == finding.Right {
		return nil
	}
	return p.lines(Line(i))
}

// CountIn writes nothing: the click is heard, or seen.
func (p *Plain) CountIn(sitting.CountIn) error { return nil }

// Notice writes a notice.
func (p *Plain) Notice(_ time.Duration, text string) error { return p.lines(text) }

// Summary writes the summary.
func (p *Plain) Summary(s sitting.Result) error { return p.paragraphs(SummaryLines(s)) }

// paragraphs writes a summary, with an empty line before it.
func (p *Plain) paragraphs(all []string) error {
	lines := []string{""}
	for _, paragraph := range all {
		lines = append(lines, strings.Split(paragraph, "\n")...)
	}
	return p.lines(lines...)
}

// SummaryLines is the summary in words, one paragraph each, the first a
// headline. A paragraph may have line feeds where it reads better with them;
// spaces will do.
func SummaryLines(s sitting.Result) []string {
	sum := &s.Summary
	right, wrong := sum.Count(finding.Right), sum.Wrong()
	if right+wrong == 0 {
		return closing(s.Length, []string{"Nothing was played that could be judged."})
	}
	lines := []string{fmt.Sprintf("%s right, %d to mend", wording.Count(right, "stroke"), wrong)}
	if wrong == 0 {
		lines[0] = "All right: " + wording.Count(right, "stroke")
	}
	if text := countsText(sum); text != "" {
		lines = append(lines, text)
	}
	if text := timingText(sum); text != "" {
		lines = append(lines, text)
	}
	if text := pictureText(s.Picture, s.Intro, s.First, s.Last); text != "" {
		lines = append(lines, text)
	}
	for i, a := range Practise(s) {
		text := fmt.Sprintf("Practise %d: %s", i+1, a.Text)
		lines = append(lines, text)
		if a.Command != "" {
			lines = append(lines, "  "+a.Command)
		}
	}
	return closing(s.Length, lines)
}

func countsText(sum *finding.Summary) string {
	var parts []string
	for _, k := range finding.Kinds(finding.Strokes) {
		if n := sum.Count(k); n > 0 && k != finding.Right {
			parts = append(parts, fmt.Sprintf("%s %d", kindWords[k], n))
		}
	}
	if parts == nil {
		return ""
	}
	return "To mend: " + strings.Join(parts, ", ")
}

func timingText(sum *finding.Summary) string {
	var parts []string
	for h, t := range sum.Timing {
		if t.Strokes > 0 {
			text := partWords[finding.Part(h)] + " " + offBeat(t.MeanMs)
			if t.Strokes > 1 {
				text += fmt.Sprintf(", give or take %.0f ms", t.SpreadMs)
			}
			text += tendency(t.DriftMs)
			parts = append(parts, text)
		}
	}
	if parts == nil {
		return ""
	}
	return "Time: " + strings.Join(parts, "; ")
}

// onBeat is a mean, in milliseconds, that nobody hears as off the beat: a
// third of what is heard as uneven in quarters at 100 (15 ms; Friberg and
// Sundberg 1995, JASA 98(5)).
const onBeat = 5

// clearly is a drift, in milliseconds from the first stroke to the last, that is a
// tendency and no chance: what nearly everybody hears as not together is 60 ms
// (Mazurka project experiments), half of which is on its way there.
const clearly = 30

// tendency says that a hand rushes or drags.
func tendency(drift float64) string {
	switch {
	case drift < -clearly:
		return fmt.Sprintf(", rushing: %.0f ms ahead by the end", -drift)
	case drift > clearly:
		return fmt.Sprintf(", dragging: %.0f ms behind by the end", drift)
	}
	return ""
}

func offBeat(ms float64) string {
	switch {
	case ms < -onBeat:
		return fmt.Sprintf("%.0f ms ahead of the beat", -ms)
	case ms > onBeat:
		return fmt.Sprintf("%.0f ms behind the beat", ms)
	}
	return "on the beat"
}
