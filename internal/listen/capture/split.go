package capture

import (
	"math"
	"slices"
	"time"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// unit is notes that one hand strikes together.
type unit struct {
	notes []note
	block bool // a chord rather than a bass or a note of a figure
}

// unitsOf breaks a group where it gapes, and a bass off the whole chord over it.
func unitsOf(g group, c chord.Chord) []unit {
	var all []unit
	from := 0
	for i := 1; i <= len(g.notes); i++ {
		if i < len(g.notes) && g.notes[i].key-g.notes[i-1].key < apart {
			continue
		}
		part := g.notes[from:i]
		if bassUnder(part, c) {
			all = append(all, unit{part[:1], false})
			part = part[1:]
		}
		all = append(all, unit{part, len(part) > 1})
		from = i
	}
	return all
}

// bassUnder reports a bass under a whole chord: one of its notes, or foreign to it.
func bassUnder(part []note, c chord.Chord) bool {
	upper, bass := keysOf(part[1:]), part[0].key.Class()
	return len(part) > 3 && wholeChord(upper, c) && (classesOf(upper).Has(bass) || !c.Set().Has(bass))
}

// split is the right hand's lowest single note and the lowest note of its lowest
// chord: a walking bass may climb past the chord above it.
type split struct{ line, block pitch.Num }

var (
	allLeft  = split{128, 128}
	allRight = split{0, 0}
)

// hand is who plays a unit; over a right hand's unit all is the right's.
func (s split) hand(u *unit, under pattern.Hand) pattern.Hand {
	at := s.line
	if u.block {
		at = s.block
	}
	if under == pattern.Right || u.notes[0].key >= at {
		return pattern.Right
	}
	return pattern.Left
}

// simultaneity is a group in its units.
type simultaneity struct {
	units []unit
	on    time.Duration
}

// share gives every note a hand, found for each chord by itself.
func (t *take) share(groups []group, chords []chord.Chord) [][]pattern.Hand {
	byChord := map[chord.Chord][]simultaneity{}
	var order []chord.Chord
	all := make([]simultaneity, len(groups))
	for i, g := range groups {
		all[i] = simultaneity{unitsOf(g, chords[i]), g.notes[0].on}
		if byChord[chords[i]] == nil {
			order = append(order, chords[i])
		}
		byChord[chords[i]] = append(byChord[chords[i]], all[i])
	}
	splits := t.splits(byChord, order, float64(len(groups)))
	hands := make([][]pattern.Hand, len(groups))
	for i, m := range all {
		h := pattern.Left
		for k := range m.units {
			h = splits[chords[i]].hand(&m.units[k], h)
			for range m.units[k].notes {
				hands[i] = append(hands[i], h)
			}
		}
	}
	return hands
}

func (t *take) splits(byChord map[chord.Chord][]simultaneity, order []chord.Chord, n float64) map[chord.Chord]split {
	sums := [...]float64{LeftAlone: 0, RightAlone: rightOnly, BothHands: twoHands}
	all := [...]map[chord.Chord]split{LeftAlone: {}, RightAlone: {}, BothHands: {}}
	for _, c := range order {
		ms := byChord[c]
		share := float64(len(ms)) / n
		for h, s := range map[Hands]split{LeftAlone: allLeft, RightAlone: allRight} {
			sums[h] += share * splitCost(ms, c, s)
			all[h][c] = s
		}
		at, cost := bestSplit(ms, c)
		sums[BothHands] += share * cost
		all[BothHands][c] = at
	}
	return all[t.whoPlays(sums[:])]
}

func (t *take) whoPlays(sums []float64) Hands {
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

// bestSplit is the likeliest where both hands play.
func bestSplit(ms []simultaneity, c chord.Chord) (split, float64) {
	lines, blocks := bottoms(ms)
	best, cost := split{pitch.MiddleC, pitch.MiddleC}, math.Inf(1)
	for _, line := range lines {
		for _, block := range blocks {
			s := split{line, block}
			if !bothPlay(ms, s) {
				continue
			}
			if v := splitCost(ms, c, s); v < cost {
				best, cost = s, v
			}
		}
	}
	if single(ms) && lines[len(lines)-2]-lines[0] <= easySpan {
		cost += oneLine
	}
	return best, cost
}

// single reports one note at a time.
func single(ms []simultaneity) bool {
	for _, m := range ms {
		if len(m.units) > 1 || m.units[0].block {
			return false
		}
	}
	return true
}

// bottoms are where units begin, and above them all.
func bottoms(ms []simultaneity) (lines, blocks []pitch.Num) {
	for _, m := range ms {
		for _, u := range m.units {
			if u.block {
				blocks = append(blocks, u.notes[0].key)
			} else {
				lines = append(lines, u.notes[0].key)
			}
		}
	}
	for _, all := range []*[]pitch.Num{&lines, &blocks} {
		slices.Sort(*all)
		*all = append(slices.Compact(*all), 128)
	}
	return lines, blocks
}

func bothPlay(ms []simultaneity, s split) bool {
	var plays [2]bool
	for _, m := range ms {
		h := pattern.Left
		for k := range m.units {
			h = s.hand(&m.units[k], h)
			plays[h] = true
		}
	}
	return plays[0] && plays[1]
}

// burden gathers what a split asks of the hands.
type burden struct {
	low, high  [2]pitch.Num
	notes      int
	each       pitch.Num // semitones that single notes lie off their side
	blocks     int
	middles    float64 // the same of the middles of chords
	whole      float64 // costs of simultaneities
	rightBlock bool
	leftBlocks pitch.Num // the lowest note of the left's chords
	held       [2][]note
}

func splitCost(ms []simultaneity, c chord.Chord, s split) float64 {
	b := burden{low: [2]pitch.Num{127, 127}, leftBlocks: 127}
	for i := range ms {
		b.add(&ms[i], s)
	}
	cost := b.whole + perOffSide*(float64(b.each)/float64(max(1, b.notes))+b.middles/float64(max(1, b.blocks)))
	for h := range b.low {
		cost += perSpan * float64(max(0, b.high[h]-b.low[h]-easySpan))
	}
	right := b.low[pattern.Right]
	if s != allRight && !b.rightBlock && right < 127 && right.Class() != c.Root.Class() {
		cost += noRoot
	}
	if right < b.leftBlocks && b.leftBlocks < 127 {
		cost += crossed
	}
	return cost
}

func (b *burden) add(m *simultaneity, s split) {
	var struck [2][]note
	h := pattern.Left
	for k := range m.units {
		u := &m.units[k]
		h = s.hand(u, h)
		struck[h] = append(struck[h], u.notes...)
		for _, n := range u.notes {
			b.note(h, n.key)
		}
		if len(u.notes) > 2 {
			b.block(h, keysOf(u.notes))
		}
	}
	for h := range struck {
		b.reach(pattern.Hand(h), struck[h], m.on)
	}
}

func (b *burden) note(h pattern.Hand, k pitch.Num) {
	b.notes++
	b.low[h], b.high[h] = min(b.low[h], k), max(b.high[h], k)
	if h == pattern.Right {
		b.each += max(0, rightBottom-k)
	} else {
		b.each += max(0, k-leftTop)
	}
}

func (b *burden) block(h pattern.Hand, keys []pitch.Num) {
	middle := middleKey(keys)
	b.blocks++
	if h == pattern.Right {
		b.rightBlock = true
		b.middles += max(0, blockMiddle-middle)
	} else {
		b.leftBlocks = min(b.leftBlocks, keys[0])
		b.middles += max(0, middle-blockMiddle)
	}
}

// reach is for what a hand would have to strike or hold at once.
func (b *burden) reach(h pattern.Hand, struck []note, on time.Duration) {
	if len(struck) == 0 {
		return
	}
	if struck[len(struck)-1].key-struck[0].key > widest+2 {
		b.whole += tooWide
	}
	still := slices.DeleteFunc(b.held[h], func(n note) bool { return n.off <= on+overlap })
	if len(still) > 0 {
		b.whole += holdMoves
	}
	b.held[h] = append(still, struck...)
}
