package capture

import (
	"math"
	"time"

	"undersong/internal/chord"
	"undersong/internal/pattern"
	"undersong/internal/pitch"
)

// What makes it unlikely that one hand plays what it is given, against each other;
// costs of single notes are means over all notes, times eight (common practice, no
// source: a left hand lies below middle C and a right above it, a hand spans an
// octave, and a figure that fits one hand is played by the left alone).
const (
	leftTop     = 57   // over A3 a left hand climbs
	perLeftUp   = 0.15 // each semitone
	rightBottom = 64
	perRightLow = 0.10
	easySpan    = 12 // what a hand plays over the whole of a chord
	perSpan     = 0.15
	widest      = 14 // what a hand can hold at once, with a stretch
	tooWide     = 8.0
	heldTooWide = 4.0
	twoHands    = 3.0
	rightOnly   = 3.0
	noRoot      = 0.5 // a right hand's figure that does not stand on the root
	perNotes    = 8.0
	cutChord    = 4.0 // a chord that lies close together, cut between the hands
	apart       = 7   // semitones between the hands where they strike together
)

// always is a split that gives all notes to one hand.
const (
	allLeft  pitch.Num = 128
	allRight pitch.Num = 0
)

// share gives every note a hand. The lowest key of the right hand is found for
// each chord by itself.
func (t *take) share(groups []group, chords []chord.Chord) [][]pattern.Hand {
	splits := t.splits(groups, chords)
	hands := make([][]pattern.Hand, len(groups))
	for i, g := range groups {
		for _, n := range g.notes {
			h := pattern.Left
			if n.key >= splits[chords[i]] {
				h = pattern.Right
			}
			hands[i] = append(hands[i], h)
		}
	}
	return hands
}

func (t *take) splits(groups []group, chords []chord.Chord) map[chord.Chord]pitch.Num {
	byChord := map[chord.Chord][]group{}
	for i, g := range groups {
		byChord[chords[i]] = append(byChord[chords[i]], g)
	}
	sums := map[Hands]float64{LeftAlone: 0, RightAlone: rightOnly, BothHands: twoHands}
	all := map[Hands]map[chord.Chord]pitch.Num{LeftAlone: {}, RightAlone: {}, BothHands: {}}
	for c, gs := range byChord {
		share := float64(len(gs)) / float64(len(groups))
		at, cost := bestSplit(gs, c)
		for h, s := range map[Hands]pitch.Num{LeftAlone: allLeft, RightAlone: allRight} {
			sums[h] += share * splitCost(gs, c, s)
			all[h][c] = s
		}
		sums[BothHands] += share * cost
		all[BothHands][c] = at
	}
	return all[t.whoPlays(sums)]
}

func (t *take) whoPlays(sums map[Hands]float64) Hands {
	if t.o.Hands != FindHands {
		return t.o.Hands
	}
	best := LeftAlone
	for _, h := range []Hands{RightAlone, BothHands} {
		if sums[h] < sums[best] {
			best = h
		}
	}
	return best
}

// bestSplit is the right hand's lowest key where both hands play.
func bestSplit(groups []group, c chord.Chord) (at pitch.Num, cost float64) {
	var used [128]bool
	for _, g := range groups {
		for _, n := range g.notes {
			used[n.key] = true
		}
	}
	at, cost = pitch.MiddleC, math.Inf(1)
	first := true
	for k := pitch.Num(0); k < 128; k++ {
		if !used[k] {
			continue
		}
		if first { // the left hand has the lowest key
			first = false
			continue
		}
		if s := splitCost(groups, c, k); s < cost {
			at, cost = k, s
		}
	}
	if math.IsInf(cost, 1) {
		return pitch.MiddleC, splitCost(groups, c, pitch.MiddleC)
	}
	return at, cost
}

func splitCost(groups []group, c chord.Chord, split pitch.Num) float64 {
	var low, high [2]pitch.Num
	low = [2]pitch.Num{127, 127}
	notes, cost := 0, 0.0
	line := true // the right hand strikes single notes
	var held [2][]note
	for _, g := range groups {
		right := 0
		for _, n := range g.notes {
			h := pattern.Left
			if n.key >= split {
				h = pattern.Right
				right++
				cost += perRightLow * float64(max(0, rightBottom-n.key))
			} else {
				cost += perLeftUp * float64(max(0, n.key-leftTop))
			}
			low[h], high[h] = min(low[h], n.key), max(high[h], n.key)
			notes++
		}
		line = line && right < 2
		if cut := len(g.notes) - right; cut > 0 && right > 0 && g.notes[cut].key-g.notes[cut-1].key < apart {
			cost += cutChord
		}
		cost += reachCost(g, split, &held)
	}
	cost *= perNotes / float64(max(1, notes))
	for h := range low {
		cost += perSpan * float64(max(0, high[h]-low[h]-easySpan))
	}
	if split > allRight && line && low[pattern.Right] < 127 && low[pattern.Right].Class() != c.Root.Class() {
		cost += noRoot
	}
	return cost
}

// overlap is how long a note must sound on to be held under the next.
const overlap = 80 * time.Millisecond

// reachCost is for what a hand would have to hold at once.
func reachCost(g group, split pitch.Num, held *[2][]note) float64 {
	cost := 0.0
	for _, h := range []pattern.Hand{pattern.Left, pattern.Right} {
		lo, hi := pitch.Num(127), pitch.Num(0)
		for _, n := range g.notes {
			if (n.key >= split) == (h == pattern.Right) {
				lo, hi = min(lo, n.key), max(hi, n.key)
			}
		}
		if hi < lo {
			continue
		}
		if hi-lo > widest {
			cost += tooWide
		}
		var still []note
		stretched := false
		for _, n := range held[h] {
			if n.off > g.notes[0].on+overlap {
				still = append(still, n)
				stretched = stretched || max(hi, n.key)-min(lo, n.key) > widest
			}
		}
		if stretched {
			cost += heldTooWide
		}
		for _, n := range g.notes {
			if (n.key >= split) == (h == pattern.Right) {
				still = append(still, n)
			}
		}
		held[h] = still
	}
	return cost
}
