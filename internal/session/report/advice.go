package report

import (
	"fmt"
	"strings"
	"time"

	"undersong/internal/judge/coach"
	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// BreakAdvice is what a long session ends with.
const BreakAdvice = "That was a long stretch: take a break. Stop if it hurts and ask your teacher or a doctor; keep headphones low."

// breakAdvice is BreakAdvice where a break is due, and else empty.
func breakAdvice(length time.Duration) string {
	if length >= sitting.LongSession {
		return BreakAdvice
	}
	return ""
}

// closing adds the advice that a long session ends with.
func closing(length time.Duration, lines []string) []string {
	if text := breakAdvice(length); text != "" {
		return append(lines, text)
	}
	return lines
}

// Advice is something worth practising next.
type Advice struct {
	Text    string
	Bars    []int // printed numbers, rising
	Hand    string
	Command string // empty where the chart is no file
}

// Practise lists at most three things, the most worthwhile first.
func Practise(s sitting.Result) []Advice {
	var all []Advice
	for _, n := range s.Suggest() {
		t := &n.Trouble
		all = append(all, Advice{Text: troubleText(t), Bars: t.Bars, Hand: t.Part.String(), Command: command(s, &n)})
	}
	return all
}

// remedies say what to do about each kind.
var remedies = map[finding.Kind]string{
	finding.Lost:           "a few bars at a time, then across the joins between them",
	finding.WrongChord:     "say the chord's name aloud before each change",
	finding.WrongBass:      "left hand alone, naming each bass note",
	finding.WrongInversion: "move slowly from chord to chord and keep the notes they share",
	finding.WrongNote:      "slowly, hands apart, looking at the keys",
	finding.Missing:        "count aloud and touch every beat",
	finding.Extra:          "count aloud and leave the rests empty",
	finding.Spread:         "feel the whole chord under the fingers, then let it fall at once",
	finding.Late:           "prepare the next chord during the beat before",
	finding.Early:          "listen for the click before you play",
	finding.Blurred:        "change the pedal just after each new chord",
	finding.Short:          "hold each chord until the next one",
	finding.Balance:        "let the bass carry, the chords lightly above it",
}

// kindWords name the kinds in a sentence.
var kindWords = map[finding.Kind]string{
	finding.Right: "right", finding.Lost: "lost", finding.WrongChord: "wrong chord", finding.WrongBass: "wrong bass", finding.WrongInversion: "wrong inversion",
	finding.WrongNote: "wrong note", finding.Missing: "missing", finding.Extra: "extra", finding.Spread: "notes not together", finding.Late: "late", finding.Early: "early",
	finding.Blurred: "blurred pedal", finding.Short: "too short", finding.Balance: "out of balance",
}

var partWords = map[finding.Part]string{
	finding.LeftHand: "left hand", finding.RightHand: "right hand", finding.BothHands: "both hands", finding.Foot: "pedal",
}

func troubleText(t *finding.Trouble) string {
	return fmt.Sprintf("%s, %s (%s, %s): %s", kindWords[t.Kind], barsText(t.Bars), partWords[t.Part], wording.Times(t.Count), remedies[t.Kind])
}

// mostBarsNamed keeps a sentence about many bars short.
const mostBarsNamed = 6

// barsText is "bar 3", "bars 3, 5-7 and 9" or "bars 1, 3, 5, 7, 9, 11 and 4
// more".
func barsText(bars []int) string {
	if len(bars) == 1 {
		return score.BarName(bars[0])
	}
	names, rest := runs(bars, mostBarsNamed)
	if rest > 0 {
		names = append(names, fmt.Sprintf("%d more", rest))
	}
	return "bars " + wording.Join(names, "and")
}

// runs names rising numbers, three and more in a row as "5-7", in most names.
// rest is how many numbers are left over.
func runs(bars []int, most int) (names []string, rest int) {
	for len(bars) > 0 && len(names) < most {
		n := 1
		for bars[0] > 0 && n < len(bars) && bars[n] == bars[0]+n {
			n++
		}
		if n < 3 {
			n = 1
			names = append(names, score.BarLabel(bars[0]))
		} else {
			names = append(names, fmt.Sprintf("%d-%d", bars[0], bars[n-1]))
		}
		bars = bars[n:]
	}
	return names, len(bars)
}

func command(s sitting.Result, n *sitting.Suggestion) string {
	if s.File == "" {
		return ""
	}
	pattern := s.Pattern
	if s.Own != "" {
		pattern = s.Own
	}
	args := []string{"undersong practice", shellWord(s.File)}
	if !s.AsChart {
		args = append(args, "--pattern", shellWord(pattern))
	}
	if s.Moved {
		args = append(args, "--key", shellWord(s.Key.String()))
	}
	bars := "intro"
	if n.Span != score.IntroBars {
		bars = fmt.Sprintf("%d-%d", n.Span.From, n.Span.To)
	}
	args = append(args, fmt.Sprintf("--tempo %g --bars %s --loop", float64(n.Tempo), bars))
	switch {
	case s.With == "left" || s.With == "right":
		args = append(args, "--with "+s.With) // which leaves the other hand
	case n.Hand != "":
		args = append(args, "--hand "+n.Hand)
	}
	if s.With == "melody" {
		args = append(args, "--with melody")
	}
	if s.Follow {
		args = append(args, "--follow")
	}
	if s.Level != coach.Steady.Name {
		args = append(args, "--level "+s.Level)
	}
	return strings.Join(args, " ")
}

const plainSigns = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-/+:,@%"

// shellWord quotes a word for a shell where it needs that.
func shellWord(s string) string {
	if s != "" && strings.Trim(s, plainSigns) == "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
