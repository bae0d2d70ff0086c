package chart

import "undersong/internal/music/meter"

// Played is a bar in the order of playing.
type Played struct {
	Bar     *Bar        // as written, in the chart
	Number  int         // counted as played: 1 and up, the upbeat 0; Bar.Number is the printed one
	Pass    int         // time through the repeat, from 1; 1 outside repeats
	Section string      // name of the section
	Start   meter.Ticks // from the beginning of the chart; the upbeat, or else bar 1, is at 0
}

// Lyric is the words sung to this bar now: the verse that belongs to this pass,
// or the last there is; "" without words.
func (p Played) Lyric() string {
	if n := len(p.Bar.Lyrics); n > 0 {
		return p.Bar.Lyrics[min(p.Pass, n)-1]
	}
	return ""
}

// Unfold lists the bars as they are played, repeats and endings written out.
// For a chart from Parse they are MaxBars at most.
func (c *Chart) Unfold() []Played {
	var all []Played
	var at meter.Ticks
	number := 0
	c.play(func(b *Bar, pass int, s *Section) bool {
		if b.Number != 0 {
			number++
		}
		all = append(all, Played{b, number, pass, s.Name, at})
		at += b.Len
		return true
	})
	return all
}

// playedBars counts the bars of Unfold, to just above MaxBars.
func playedBars(c *Chart) int {
	n := 0
	c.play(func(b *Bar, _ int, _ *Section) bool {
		n++
		return n <= MaxBars+1
	})
	return n
}

// play visits the bars in the order of playing until yield is false.
func (c *Chart) play(yield func(*Bar, int, *Section) bool) {
	for i := range c.Sections {
		s := &c.Sections[i]
		bars := s.bars()
		for from := 0; from < len(bars); {
			to := passage(bars, from)
			for pass := 1; pass <= times(bars[from:to]); pass++ {
				for _, b := range bars[from:to] {
					if (b.Ending == 0 || b.Ending == pass) && !yield(b, pass, s) {
						return
					}
				}
			}
			from = to
		}
	}
}

// passage is the end of what begins at from: a whole repeat with its endings,
// or a single bar.
func passage(bars []*Bar, from int) int {
	if !bars[from].Opens {
		return from + 1
	}
	closed := false
	for i := from; i < len(bars); i++ {
		b := bars[i]
		if i > from && (b.Opens || closed && b.Ending == 0) {
			return i
		}
		closed = closed || b.Closes
	}
	return len(bars)
}

// times is how often a passage is played.
func times(bars []*Bar) int {
	for _, b := range bars {
		if b.Closes {
			return max(b.Times, 1)
		}
	}
	return 1
}
