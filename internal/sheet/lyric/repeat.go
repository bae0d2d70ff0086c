package lyric

import (
	"fmt"
	"regexp"

	"undersong/internal/sheet/song"
	"undersong/internal/text/source"
)

// repeat has a line played several times.
func (l *laid) repeat(times int) {
	if times < 2 || len(l.bars) == 0 {
		return
	}
	last := len(l.bars) - 1
	for i := range l.bars[:last] {
		if l.bars[i].Opens || l.bars[i].Closes { // x2 beside repeat signs says how often
			l.bars[last].Closes = true
		}
	}
	if !l.bars[last].Closes {
		l.bars[0].Opens = true
	}
	l.bars[last].Closes, l.bars[last].Times = true, times
}

var (
	signOpen  = regexp.MustCompile(`^\s*[|/‖]+:\s*`)
	signClose = regexp.MustCompile(`\s*:[|/‖]+\s*$`)
)

// signs reads repeat signs that stand in the words.
func (ph *phrase) signs() {
	if m := signOpen.FindString(ph.text); m != "" {
		ph.sung, ph.opens = max(ph.sung, columns(m)), true
	}
	if m := signClose.FindStringIndex(ph.text); m != nil {
		ph.text, ph.closes = ph.text[:m[0]], true
	}
}

// signed has the bars of a line repeated as its signs say.
func (l *laid) signed(ph *phrase) {
	if n := len(l.bars); n > 0 {
		l.bars[0].Opens = l.bars[0].Opens || ph.opens
		if last := &l.bars[n-1]; ph.closes && !last.Closes {
			last.Closes, last.Times = true, 2
		}
	}
	l.repeat(ph.times)
}

// closed gives each repeat of a section both its ends.
func closed(bars []song.Bar) {
	open := -1
	free := 0 // where a repeat without its beginning begins
	for i := range bars {
		if bars[i].Opens {
			if open >= 0 {
				bars[i].Opens = false
			} else {
				open = i
			}
		}
		if bars[i].Closes {
			if open < 0 {
				bars[free].Opens = true
			}
			open, free = -1, i+1
		}
	}
	if open >= 0 {
		last := &bars[len(bars)-1]
		last.Closes, last.Times = true, 2
	}
}

// copies has a section played several times, by repeat signs where it has none inside;
// else it says how many copies are to be written.
func copies(bars []song.Bar, times int) (copies int) {
	if times < 2 {
		return 1
	}
	for i := range bars {
		if bars[i].Opens || bars[i].Closes {
			return times
		}
	}
	bars[0].Opens = true
	bars[len(bars)-1].Closes, bars[len(bars)-1].Times = true, times
	return 1
}

// order is the order of playing.
func order(bars []*song.Bar) ([]int, error) {
	var all []int
	open := 0
	for i, b := range bars {
		if b.Opens {
			open = i
		}
		all = append(all, i)
		if b.Closes {
			for n := 1; n < b.Times; n++ {
				for j := open; j <= i; j++ {
					all = append(all, j)
				}
				if len(all) > song.MostBars {
					return nil, tooLong(b.Line)
				}
			}
			open = i + 1
		}
	}
	if len(all) > song.MostBars {
		return nil, tooLong(0)
	}
	return all, nil
}

func tooLong(line int) error {
	return &source.Error{Line: line, Reason: fmt.Sprintf("the song has more than %d bars, repeats included", song.MostBars),
		Hint: "ask for fewer repeats"}
}
