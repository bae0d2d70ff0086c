package capture

import (
	"math"
	"math/bits"

	"undersong/internal/chord"
)

// token is what a cell strikes, as far as repetitions are compared by it.
type token struct {
	low  int    // the lowest note, over the chord's root
	set  uint32 // chord tones by their order in the chord, foreign notes above them
	many bool   // three notes or more: one may be missing
}

// foreignBit is the place of the first foreign note, a semitone over the root.
const foreignBit = 8

// tokenOf compares by key where one chord lies under all, else by degree.
func tokenOf(g group, c chord.Chord, byKey bool) token {
	k := token{many: len(g.notes) > 2}
	for i, n := range g.notes {
		bit := ordinal(c, n.key.Class().Above(c.Root.Class()))
		k.set |= 1 << bit
		if i == 0 {
			k.low = bit
			if byKey && !k.many {
				k.low = int(n.key)
			}
		}
	}
	return k
}

// ordinal numbers the chord's tones from the root; foreign notes follow.
func ordinal(c chord.Chord, above int) int {
	for i, t := range c.Type.Tones() {
		if t.Interval.Semitones%12 == above {
			return i
		}
	}
	return foreignBit + above
}

func (k token) none() bool { return k.set == 0 }

// like reports tokens that mean the same: of many notes one may be missing, and
// their inversion is the player's own.
func (k token) like(o token) bool {
	if k.many && o.many {
		return bits.OnesCount32(k.set^o.set) <= 1
	}
	return k.set == o.set && k.low == o.low
}

// merge is two groups on one cell.
func (k token) merge(o token) token {
	if k.none() {
		return o
	}
	return token{low: min(k.low, o.low), set: k.set | o.set, many: true}
}

// What a pattern's description costs when its length is chosen: each stroke, each
// further bar, each cell in which a bar differs from those before; and each stroke
// that is then a slip.
const (
	perStroke = 1.5
	perBar    = 1.5
	perChange = 4.0
	perSlip   = 6.0
	perBroken = 3.0
)

// fold finds the length in bars after which the playing repeats.
func (r *reading) fold(t *take) {
	bars := r.tokens(t)
	best := math.Inf(1)
	for length := 1; length <= min(MostBars, r.bars); length++ {
		medoid, slips := vote(bars, length)
		cost := describe(medoid) + perSlip*float64(slips)
		if r.bars%length != 0 {
			cost += perBroken
		}
		if cost < best {
			best, r.length, r.slips = cost, length, slips
		}
	}
}

func (r *reading) tokens(t *take) [][]token {
	bars := make([][]token, r.bars)
	for i := range bars {
		bars[i] = make([]token, r.perBar)
	}
	byKey := t.oneChord()
	for i, g := range r.counted(t) {
		bar, cell := r.at(i)
		k := &bars[bar][cell]
		*k = k.merge(tokenOf(g, t.chordIn(bar), byKey))
	}
	return bars
}

// vote lays the bars over each other and takes what most have.
func vote(bars [][]token, length int) (medoid [][]token, slips int) {
	medoid = make([][]token, length)
	for phase := range medoid {
		medoid[phase] = make([]token, len(bars[0]))
		for cell := range medoid[phase] {
			best, all := 0, 0
			for b := phase; b < len(bars); b += length {
				all++
				n := 0
				for o := phase; o < len(bars); o += length {
					if bars[o][cell].like(bars[b][cell]) {
						n++
					}
				}
				if n > best {
					best, medoid[phase][cell] = n, bars[b][cell]
				}
			}
			slips += all - best
		}
	}
	return medoid, slips
}

func describe(bars [][]token) float64 {
	cost := 0.0
	for i, bar := range bars {
		if i == 0 {
			cost += perStroke * float64(strokes(bar))
			continue
		}
		least := math.Inf(1)
		for _, before := range bars[:i] {
			n := 0
			for c := range bar {
				if !bar[c].like(before[c]) {
					n++
				}
			}
			least = min(least, perChange*float64(n))
		}
		cost += perBar + min(least, perStroke*float64(strokes(bar)))
	}
	return cost
}

func strokes(bar []token) int {
	n := 0
	for _, k := range bar {
		if !k.none() {
			n++
		}
	}
	return n
}

// foldCost is what repetition says about a reading. Fewer strokes in a pattern
// speak for it, but little: halving every bar must not win by that.
func (r *reading) foldCost() float64 {
	perPattern := float64(len(r.pos)*r.length) / float64(r.bars)
	return perSlip*float64(r.slips) + 1.2*math.Log2(1+perPattern) + 0.5*float64(r.length-1)
}
