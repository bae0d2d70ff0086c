package capture

import (
	"sort"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// stroke is what one hand struck at one place, once.
type stroke struct {
	bar   int
	at    float64 // its place in cells of the interpretation, from the beginning
	chord chord.Chord
	notes []note // from below
}

func (s *stroke) keys() []pitch.Num { return keysOf(s.notes) }

func (s *stroke) velocity() float64 {
	sum := 0
	for _, n := range s.notes {
		sum += n.velocity
	}
	return float64(sum) / float64(len(s.notes))
}

// sheet is the playing laid over the pattern's bars.
type sheet struct {
	t    *take
	r    *interpretation
	reps []int         // how often each bar of the pattern was played
	rows [2][][]stroke // per hand and cell of the pattern: the strokes there, by time
	low  [2]pitch.Num  // per hand: the register

	shape pattern.Shape // of the one voicing that both hands share, all in rows[Left]; Close where each plays its own
}

func (t *take) sheet(r *interpretation) *sheet {
	s := &sheet{t: t, r: r, reps: make([]int, r.length)}
	for b := range r.bars {
		s.reps[b%r.length]++
	}
	groups := r.counted(t)
	chords := make([]chord.Chord, len(groups))
	for i := range groups {
		bar, _ := r.at(i)
		chords[i] = t.chordIn(bar)
	}
	s.shape = sharedShape(groups, chords)
	hands := t.hands(groups, chords, s.shape)
	for h := range s.rows {
		s.rows[h] = make([][]stroke, r.length*r.perBar)
	}
	for i, g := range groups {
		for _, h := range []pattern.Hand{pattern.Left, pattern.Right} {
			s.add(h, i, g, chords[i], hands[i])
		}
	}
	return s
}

// hands gives every note a hand; a voicing for both is kept together.
func (t *take) hands(groups []group, chords []chord.Chord, shape pattern.Shape) [][]pattern.Hand {
	if shape == pattern.Close {
		return t.share(groups, chords)
	}
	all := make([][]pattern.Hand, len(groups))
	for i, g := range groups {
		all[i] = make([]pattern.Hand, len(g.notes)) // Left
	}
	return all
}

// add lays a hand's part of a group.
func (s *sheet) add(h pattern.Hand, i int, g group, c chord.Chord, hands []pattern.Hand) {
	bar, cell := s.r.at(i)
	st := stroke{bar: bar, at: place(s.r.swing, s.r.pos[i]), chord: c}
	for n, who := range hands {
		if who == h {
			st.notes = append(st.notes, g.notes[n])
		}
	}
	if len(st.notes) == 0 {
		return
	}
	at := &s.rows[h][bar%s.r.length*s.r.perBar+cell]
	if n := len(*at); n > 0 && (*at)[n-1].bar == bar { // two groups on one cell
		last := &(*at)[n-1]
		last.notes = append(last.notes, st.notes...)
		sort.SliceStable(last.notes, func(a, b int) bool { return last.notes[a].key < last.notes[b].key })
		return
	}
	*at = append(*at, st)
}

// steady drops what came less than every other time.
func (s *sheet) steady() {
	for h := range s.rows {
		for i, all := range s.rows[h] {
			if 2*len(all) < s.reps[i/s.r.perBar] {
				s.rows[h][i] = nil
			}
		}
	}
}

// unsure counts the cells that came just every other time.
func (s *sheet) unsure() int {
	n := 0
	for h := range s.rows {
		for i, all := range s.rows[h] {
			if len(all) > 0 && len(all) < s.reps[i/s.r.perBar] && 2*len(all) == s.reps[i/s.r.perBar] {
				n++
			}
		}
	}
	return n
}

func (s *sheet) plays(h pattern.Hand) bool {
	for _, all := range s.rows[h] {
		if len(all) > 0 {
			return true
		}
	}
	return false
}

// cellTime is where a cell of the pattern begins, in ticks from its first bar.
func (s *sheet) cellTime(i int) meter.Ticks { return meter.Ticks(i) * s.r.ticks }

// most reports that more than half of the strokes at a place are so.
func most(all []stroke, is func(*stroke) bool) bool {
	n := 0
	for i := range all {
		if is(&all[i]) {
			n++
		}
	}
	return 2*n > len(all)
}
