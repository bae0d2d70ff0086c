package report

import (
	"fmt"
	"math"
	"strings"
	"time"

	"undersong/internal/judge/coach"
	"undersong/internal/judge/finding"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// LongSession is how long one practises before a break is due (common practice,
// no source).
const LongSession = 25 * time.Minute

// BreakAdvice is what a long session ends with.
const BreakAdvice = "That was a long stretch: take a break. Stop if it hurts and ask your teacher or a doctor; keep headphones low."

// breakAdvice is BreakAdvice where a break is due, and else empty.
func breakAdvice(length time.Duration) string {
	if length >= LongSession {
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
func Practise(s Session) []Advice {
	var all []Advice
	for i := range s.Summary.Troubles {
		t := &s.Summary.Troubles[i]
		all = append(all, Advice{Text: troubleText(t), Bars: t.Bars, Hand: t.Part.String(), Command: command(s, t)})
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
	finding.Late:           "prepare the next chord during the beat before",
	finding.Early:          "listen for the click before you play",
	finding.Blurred:        "change the pedal just after each new chord",
	finding.Short:          "hold each chord until the next one",
	finding.Balance:        "let the bass carry, the chords lightly above it",
}

// kindWords name the kinds in a sentence.
var kindWords = map[finding.Kind]string{
	finding.Right: "right", finding.Lost: "lost", finding.WrongChord: "wrong chord", finding.WrongBass: "wrong bass", finding.WrongInversion: "wrong inversion",
	finding.WrongNote: "wrong note", finding.Missing: "missing", finding.Extra: "extra", finding.Late: "late", finding.Early: "early",
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

// spanBars is how many bars one practises at a time.
const spanBars = 4

// span is the run of at most four bars with the most of a trouble, led into by
// the bar before and followed by the one after where there is room: what is hard
// is mostly the way into a bar and out of it.
func span(s Session, t *finding.Trouble) (from, to int) {
	in := map[int]int{}
	for _, b := range s.Summary.Bars {
		in[b.Bar] = b.Counts[t.Kind]
	}
	intro, most := 0, -1
	for _, first := range t.Bars {
		if first < 0 {
			intro += in[first]
			continue
		}
		n, last := 0, first
		for b := first; b < first+spanBars; b++ {
			if in[b] > 0 {
				n += in[b]
				last = b
			}
		}
		if n > most {
			most, from, to = n, first, last
		}
	}
	if intro > max(most, 0) {
		return score.IntroBars.From, score.IntroBars.To
	}
	from, to = max(from, 1), max(to, 1) // an upbeat cannot be played alone
	if to-from+1 < spanBars && from > max(1, s.Span.From) {
		from--
	}
	if to-from+1 < spanBars && to < s.Last {
		to++
	}
	return from, to
}

// slower is the part of the tempo at which trouble is practised; in time
// trouble the tempo stays, since there the tempo is the task.
const slower = 0.8

func practiceTempo(s Session, t *finding.Trouble) float64 {
	tempo := float64(s.Tempo)
	if t.Kind != finding.Early && t.Kind != finding.Late {
		tempo *= slower
	}
	return min(max(math.Round(tempo), float64(meter.SlowestTempo)), float64(meter.FastestTempo))
}

func command(s Session, t *finding.Trouble) string {
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
	if from, to := span(s, t); from > 0 {
		bars = fmt.Sprintf("%d-%d", from, to)
	}
	args = append(args, fmt.Sprintf("--tempo %g --bars %s --loop", practiceTempo(s, t), bars))
	switch hand := handAlone(s, t); {
	case s.With == "left" || s.With == "right":
		args = append(args, "--with "+s.With) // which leaves the other hand
	case hand != "":
		args = append(args, "--hand "+hand)
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

// handAlone is the hand that practises a trouble alone: the one that it concerns,
// where hands apart help. They do not where one hand's loudness is measured by
// the other's, nor where a hand with nothing to play strikes something.
func handAlone(s Session, t *finding.Trouble) string {
	if s.Hand == "" && (t.Part == finding.LeftHand || t.Part == finding.RightHand) && t.Kind != finding.Balance && t.Kind != finding.Extra {
		return t.Part.String()
	}
	return s.Hand
}

const plainSigns = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-/+:,@%"

// shellWord quotes a word for a shell where it needs that.
func shellWord(s string) string {
	if s != "" && strings.Trim(s, plainSigns) == "" {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}
