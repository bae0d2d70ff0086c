package abc

import (
	"strings"

	"undersong/internal/sheet/song"
)

// signs are those in a bar that send a player elsewhere (4.14).
type signs struct {
	capo, dalSegno, fine, toCoda, coda, segno bool
}

// jumps are the names of the signs, as decorations and as words over the music, in
// small letters without dots and spaces.
var jumps = map[string]signs{
	"dc": {capo: true}, "dacapo": {capo: true}, "dcalfine": {capo: true}, "dacapoalfine": {capo: true}, "dcalcoda": {capo: true},
	"ds": {dalSegno: true}, "dalsegno": {dalSegno: true}, "dsalfine": {dalSegno: true}, "dalsegnoalfine": {dalSegno: true}, "dsalcoda": {dalSegno: true},
	"fine": {fine: true}, "dacoda": {toCoda: true}, "tocoda": {toCoda: true}, "coda": {coda: true}, "segno": {segno: true},
}

// jump notes a sign in the bar being read or, before its first note, in the one to
// come. It tells whether the name is that of a sign.
func (v *voice) jump(name string) bool {
	s, ok := jumps[strings.NewReplacer(".", "", " ", "").Replace(strings.ToLower(name))]
	if !ok || v.skip > 0 {
		return ok
	}
	b := v.current
	if b == nil {
		b = &v.next
	}
	b.signs = b.signs.with(s)
	return true
}

func (s signs) with(o signs) signs {
	return signs{s.capo || o.capo, s.dalSegno || o.dalSegno, s.fine || o.fine, s.toCoda || o.toCoda, s.coda || o.coda, s.segno || o.segno}
}

// where is the first bar from one on with a sign, or -1.
func where(bars []*bar, from int, has func(signs) bool) int {
	for i := from; i < len(bars); i++ {
		if has(bars[i].signs) {
			return i
		}
	}
	return -1
}

// withJumps lets the order go back where D.C. or D.S. says, then on to Fine, or by
// way of the coda sign to the coda, or to the sign again: repeats are not played
// again, and of endings the last is taken (common practice, no source).
func withJumps(order []int, all []passage, bars []*bar) ([]int, error) {
	from := where(bars, 0, func(s signs) bool { return s.capo || s.dalSegno })
	if from < 0 {
		return order, nil
	}
	target := 0
	if bars[from].signs.dalSegno {
		target = max(where(bars, 0, func(s signs) bool { return s.segno }), 0)
	}
	first, coda := codas(bars)
	played := len(order)
	for played > 0 && order[played-1] != from {
		played--
	}
	order = order[:played:played]
	for _, i := range once(all) {
		if i < target || i > from {
			continue
		}
		order = append(order, i)
		switch {
		case bars[i].signs.fine:
			return bounded(order)
		case i == first && coda > i:
			for _, j := range once(all) {
				if j >= coda {
					order = append(order, j)
				}
			}
			return bounded(order)
		}
	}
	return bounded(order)
}

// codas are the bar from which to go to the coda, and where that begins; -1 for
// none.
func codas(bars []*bar) (from, to int) {
	isCoda := func(s signs) bool { return s.coda }
	from = where(bars, 0, func(s signs) bool { return s.toCoda })
	if from < 0 {
		from = where(bars, 0, isCoda)
	}
	return from, where(bars, from+1, isCoda)
}

// once are the bars without repeats, each passage with its last ending.
func once(all []passage) []int {
	var order []int
	for _, p := range all {
		for i := p.from; i < p.to; i++ {
			order = append(order, i)
		}
		if n := len(p.variants); n > 0 {
			for i := p.variants[n-1].from; i < p.variants[n-1].to; i++ {
				order = append(order, i)
			}
		}
	}
	return order
}

func bounded(order []int) ([]int, error) {
	if len(order) > song.MostBars {
		return nil, errEndless
	}
	return order, nil
}
