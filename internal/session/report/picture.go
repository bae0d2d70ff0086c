package report

import (
	"fmt"
	"strings"

	"undersong/internal/judge/finding"
)

// Turn is one time of playing a bar, among all times in a session. The zero Turn
// is the first.
type Turn struct {
	Round int // begun anew: after a break, or where a player who leads went back
	Pass  int // through the score, from 0
}

// Before reports that t was earlier than u.
func (t Turn) Before(u Turn) bool {
	return t.Round < u.Round || t.Round == u.Round && t.Pass < u.Pass
}

// Turns tells which turn a finding belongs to.
type Turns struct {
	Led bool // the player leads, and may go back within a pass

	round int
	pass  int // where the player was last heard
	bar   int
}

// Again begins a round, as after a break.
func (t *Turns) Again() { t.round++ }

// Round is the present round.
func (t *Turns) Round() int { return t.round }

// Of is the turn of a finding made in a pass, counted from 0. Findings come in
// the order in which they were made.
func (t *Turns) Of(f *finding.Finding, pass int) Turn {
	if t.Led && here(f.Kind) {
		if pass < t.pass || pass == t.pass && f.Bar < t.bar {
			t.round++
		}
		t.pass, t.bar = pass, f.Bar
	}
	return Turn{t.round, pass}
}

// here reports a kind that is told where the player is; others look back.
func here(k finding.Kind) bool {
	return k == finding.Right || k >= finding.WrongNote && k < finding.Lost
}

// Picture is how each bar went the last time it was played. The zero value is
// empty.
type Picture struct {
	bars map[int]lastTime // by printed number
}

type lastTime struct {
	turn  Turn
	worst finding.Kind
}

// Add takes a finding of a kind in a bar.
func (p *Picture) Add(bar int, t Turn, k finding.Kind) {
	if p.bars == nil {
		p.bars = map[int]lastTime{}
	}
	old, known := p.bars[bar]
	switch {
	case !known || old.turn.Before(t):
		p.bars[bar] = lastTime{t, k}
	case old.turn == t:
		p.bars[bar] = lastTime{t, max(k, old.worst)}
	}
}

// last is the name of the worst kind in a bar, the last time it was played; ""
// where nothing was judged.
func (p *Picture) last(bar int) string {
	if l, known := p.bars[bar]; known {
		return l.worst.String()
	}
	return ""
}

// barMarks stand for the worst kind found in a bar.
var barMarks = map[finding.Kind]string{
	finding.Right: "+", finding.Lost: "?", finding.WrongChord: "C", finding.WrongBass: "B", finding.WrongInversion: "I",
	finding.WrongNote: "N", finding.Missing: "M", finding.Extra: "X", finding.Late: "L", finding.Early: "E",
	finding.Blurred: "P", finding.Short: "S", finding.Balance: "V",
}

const notJudged = "-"

// barsALine is how many bars of the picture stand on a line: two lines of a
// usual lead sheet.
const barsALine = 8

// text is the bars of an intro and those from first to last with a mark each,
// eight a line, under a line that says what the marks mean.
func (p *Picture) text(intro, first, last int) string {
	if len(p.bars) == 0 {
		return ""
	}
	if p.last(0) == "" {
		first = max(first, 1) // an upbeat in which nothing was wanted
	}
	used := map[string]bool{}
	var rows strings.Builder
	write := func(bar, number int) {
		mark := p.mark(bar)
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

func (p *Picture) mark(bar int) string {
	if l, known := p.bars[bar]; known {
		return barMarks[l.worst]
	}
	return notJudged
}

// legend names marks.
func legend(used map[string]bool) string {
	names := []string{}
	if used[barMarks[finding.Right]] {
		names = append(names, barMarks[finding.Right]+" right")
	}
	for _, k := range finding.Kinds() {
		if used[barMarks[k]] && k != finding.Right {
			names = append(names, barMarks[k]+" "+kindWords[k])
		}
	}
	if used[notJudged] {
		names = append(names, notJudged+" not judged")
	}
	return strings.Join(names, ", ")
}
