package words

import (
	"fmt"

	"undersong/internal/judge/finding"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// kindWords name the kinds in a sentence.
var kindWords = map[finding.Kind]string{
	finding.Right: "right", finding.Lost: "lost", finding.WrongChord: "wrong chord", finding.WrongBass: "wrong bass", finding.WrongInversion: "wrong inversion",
	finding.WrongNote: "wrong note", finding.Missing: "missing", finding.Extra: "extra", finding.Spread: "notes not together", finding.Late: "late", finding.Early: "early",
	finding.Blurred: "blurred pedal", finding.Short: "too short", finding.Balance: "out of balance",
	finding.Stopped: "stopped", finding.WentBack: "went back", finding.LostBeat: "beats lost",
}

var partWords = map[finding.Part]string{
	finding.LeftHand: "left hand", finding.RightHand: "right hand", finding.BothHands: "both hands", finding.Foot: "pedal",
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

// ordinals name how many times something came, from the second on.
var ordinals = []string{"second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"}

func ordinal(n int) string {
	if n-2 < len(ordinals) {
		return ordinals[n-2]
	}
	return fmt.Sprintf("%dth", n)
}

// timeName is ", third time" and so on; the second needs no more than "again".
func timeName(n int) string {
	if n < 3 {
		return ""
	}
	if n-2 < len(ordinals) {
		return ", " + ordinal(n) + " time"
	}
	return fmt.Sprintf(", %d times now", n)
}
