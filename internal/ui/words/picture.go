package words

import (
	"fmt"
	"strings"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
)

// barMarks stand for the worst kind found in a bar.
var barMarks = map[finding.Kind]string{
	finding.Right: "+", finding.Lost: "?", finding.WrongChord: "C", finding.WrongBass: "B", finding.WrongInversion: "I",
	finding.WrongNote: "N", finding.Missing: "M", finding.Extra: "X", finding.Spread: "T", finding.Late: "L", finding.Early: "E",
	finding.Blurred: "P", finding.Short: "S", finding.Balance: "V",
	finding.Stopped: "!", finding.WentBack: "<", finding.LostBeat: "~",
}

const notJudged = "-"

// barsALine is how many bars of the picture stand on a line: two lines of a
// usual lead sheet.
const barsALine = 8

// pictureText is the bars of an intro and those from first to last with a mark each,
// eight a line, under a line that says what the marks mean.
func pictureText(p sitting.Picture, intro, first, last int) string {
	if len(p) == 0 {
		return ""
	}
	if _, judged := p.Last(0); !judged {
		first = max(first, 1) // an upbeat in which nothing was wanted
	}
	used := map[string]bool{}
	var rows strings.Builder
	write := func(bar, number int) {
		mark := markOf(p, bar)
		used[mark] = true
		fmt.Fprintf(&rows, "  %*d%s", len(fmt.Sprint(max(intro, last))), number, mark)
	}
	for n := 1; n <= intro; n++ {
		if n%barsALine == 1 {
			rows.WriteString("\n  intro")
		}
		write(-n, n)
	}
	for bar := first; bar <= last; bar++ {
		if (bar-first)%barsALine == 0 {
			rows.WriteString("\n")
		}
		write(bar, bar)
	}
	return "Bars as last played (" + legend(used) + "):" + rows.String()
}

func markOf(p sitting.Picture, bar int) string {
	if worst, judged := p.Last(bar); judged {
		return barMarks[worst]
	}
	return notJudged
}

// legend names marks.
func legend(used map[string]bool) string {
	names := []string{}
	if used[barMarks[finding.Right]] {
		names = append(names, barMarks[finding.Right]+" right")
	}
	for _, k := range toMend() {
		if used[barMarks[k]] && k != finding.Right {
			names = append(names, barMarks[k]+" "+kindWords[k])
		}
	}
	if used[notJudged] {
		names = append(names, notJudged+" not judged")
	}
	return strings.Join(names, ", ")
}
