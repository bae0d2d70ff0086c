package capture

import (
	"math"
	"slices"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// cell writes what a hand strikes at a place of the pattern.
func (s *sheet) cell(h pattern.Hand, i int, blocks bool) pattern.Cell {
	all := s.rows[h][i]
	if blocks && s.whole(all) {
		return s.wholeCell(h, all)
	}
	if c, ok := s.rootless(all); ok {
		return c
	}
	tones, support := s.tones(h, i, s.low[h])
	if h == pattern.Left {
		if c, ok := s.approach(i, tones, support); ok {
			return c
		}
	}
	if c, ok := s.anyTone(all, support); ok {
		return c
	}
	return pattern.Cell{Kind: pattern.Tones, Tones: tones}
}

func (s *sheet) whole(all []stroke) bool {
	return most(all, func(st *stroke) bool { return wholeChord(st.keys(), st.chord) })
}

// blocks reports a hand whose whole chords are free to lie in any inversion: the
// left between its basses; the right only where it strikes nothing else, for in a
// figure every note has its place.
func (s *sheet) blocks(h pattern.Hand) bool {
	for _, all := range s.rows[h] {
		if len(all) > 0 && !s.whole(all) && (h == pattern.Right || s.several(all) && !s.octaves(all)) {
			return h == pattern.Left && s.wideApart()
		}
	}
	return true
}

func (s *sheet) several(all []stroke) bool {
	return most(all, func(st *stroke) bool { return len(st.notes) > 1 })
}

// octaves reports octaves and tenths, as basses are played.
func (s *sheet) octaves(all []stroke) bool {
	return most(all, func(st *stroke) bool {
		k := st.keys()
		return len(k) == 2 && k[1]-k[0] >= 12
	})
}

// wideApart reports a left hand whose whole chords lie over its other strokes.
func (s *sheet) wideApart() bool {
	chords, rest := pitch.Num(127), pitch.Num(0)
	for _, all := range s.rows[pattern.Left] {
		for i := range all {
			k := all[i].keys()
			if wholeChord(k, all[i].chord) {
				chords = min(chords, k[0])
			} else {
				rest = max(rest, k[0])
			}
		}
	}
	return chords > rest
}

// wholeCell is a whole chord: in any inversion, unless a named one is asked for or
// was kept over different chords.
func (s *sheet) wholeCell(h pattern.Hand, all []stroke) pattern.Cell {
	c := pattern.Cell{Kind: pattern.Whole, Inversion: pattern.AnyInversion}
	c.Octave = s.octaveOf(h, all)
	if s.t.o.Inversions || keptInversion(all) {
		c.Inversion = max(0, inversionOf(all[0].keys(), all[0].chord))
		if c.Inversion > 3 {
			c.Inversion = pattern.AnyInversion
		}
	}
	return c
}

// keptInversion reports one inversion over different chords, which a hand that
// moves as little as it can would not have played.
func keptInversion(all []stroke) bool {
	same := inversionOf(all[0].keys(), all[0].chord)
	moved := false
	for i := 1; i < len(all); i++ {
		keys, prev := all[i].keys(), all[i-1].keys()
		if inversionOf(keys, all[i].chord) != same {
			return false
		}
		near := chord.Nearest(prev, all[i].chord.HandTones(4), prev[0]-12)
		moved = moved || all[i].chord != all[i-1].chord && near[0].Class() != keys[0].Class()
	}
	return moved
}

// octaveOf is by how many octaves whole chords lie over the hand's register.
func (s *sheet) octaveOf(h pattern.Hand, all []stroke) int {
	mean := 0.0
	for i := range all {
		mean += middleKey(all[i].keys()) / float64(len(all))
	}
	octave := int(math.Round((mean - float64(s.low[h]) - centerMean) / 12))
	return min(max(octave, -3), 3)
}

func middleKey(keys []pitch.Num) float64 {
	sum := 0
	for _, k := range keys {
		sum += int(k)
	}
	return float64(sum) / float64(len(keys))
}

// rootless is a chord without its root, a seventh with its ninth: told from
// several chords, one of them with a seventh, none with its root.
func (s *sheet) rootless(all []stroke) (pattern.Cell, bool) {
	c := pattern.Cell{Kind: pattern.Whole, Inversion: pattern.AnyInversion, Without: 1}
	sevenths, ninths := 0, 0
	for i := range all {
		st := &all[i]
		classes := classesOf(st.keys())
		root := st.chord.Root.Class()
		wanted := setOf(st.chord.HandTones(4)) &^ chord.Set(0).With(root)
		must := wanted
		if len(st.chord.HandTones(4)) > 3 {
			must &^= st.chord.Type.Optional().Up(int(root))
		}
		nine := chord.Set(0).With(root.Up(1)).With(root.Up(2))
		if classes&must != must || classes&^(wanted|nine) != 0 || len(st.notes) < 2 {
			return c, false
		}
		if len(st.chord.Type.Tones()) == 4 {
			sevenths++
		}
		if classes&nine&^wanted != 0 {
			ninths++
		}
	}
	c.Ninth = ninths > 0
	return c, sevenths > 0 && ninths <= sevenths
}

// approach turns the last lone stroke of a bar into an approach note, where it
// leads to the next root more surely than it is a certain degree.
func (s *sheet) approach(i int, tones []pattern.Tone, support float64) (pattern.Cell, bool) {
	if !s.lastOfBar(i) {
		return pattern.Cell{}, false
	}
	all := s.rows[pattern.Left][i]
	l := s.leading(all)
	share := float64(l.all) / float64(len(all))
	sure := len(tones) == 1 && (support > share || support == share && !tones[0].Written)
	if 2*l.all <= len(all) || sure || l.foreign == 0 {
		return pattern.Cell{}, false
	}
	c := pattern.Cell{Kind: pattern.Approach}
	if l.half == l.all && l.outside > 0 {
		c.Step = pattern.HalfStep
	}
	if l.below == 0 {
		c.Octave = 1
	}
	return c, true
}

// leading counts lone strokes a half or whole step from the next root: of them those
// from below, by a half step, outside the key, and foreign to their chord.
type leading struct{ all, below, half, outside, foreign int }

func (s *sheet) leading(all []stroke) leading {
	var l leading
	for n := range all {
		st := &all[n]
		key := st.notes[0].key
		step := key.Class().Above(s.t.chordIn(st.bar + 1).Root.Class())
		if step > 2 && step < 10 || len(st.notes) > 1 {
			continue
		}
		l.all++
		if step > 2 {
			l.below++
		}
		if step == 1 || step == 11 {
			l.half++
		}
		if !chord.Scale(*s.t.o.Key).Has(key.Class()) {
			l.outside++
		}
		if !st.chord.Set().Has(key.Class()) {
			l.foreign++
		}
	}
	return l
}

// lastOfBar reports the left hand's last stroke before a barline.
func (s *sheet) lastOfBar(i int) bool {
	end := (i/s.r.perBar + 1) * s.r.perBar
	for n := i + 1; n < end; n++ {
		if len(s.rows[pattern.Left][n]) > 0 {
			return false
		}
	}
	return i%s.r.perBar > 0
}

// anyTone is a cell that any chord tone fills: what stands where less than half of the
// repetitions agree on one.
func (s *sheet) anyTone(all []stroke, support float64) (pattern.Cell, bool) {
	free := len(all) >= 3 && support < 0.5
	for i := range all {
		st := &all[i]
		free = free && len(st.notes) == 1 && st.chord.Set().Has(st.notes[0].key.Class())
	}
	return pattern.Cell{Kind: pattern.Tones, Tones: []pattern.Tone{{AnyOctave: true}}}, free
}

// candidate is a way to write a note, and how many strokes have it.
type candidate struct {
	tone  pattern.Tone
	rank  int // the plainest first
	count int
}

// tones are the degrees that most strokes at a place have, low to high, and how
// sure they are: the mean share of the strokes that have them.
func (s *sheet) tones(h pattern.Hand, i int, low pitch.Num) ([]pattern.Tone, float64) {
	all := s.rows[h][i]
	left := make([][]note, len(all))
	for n := range all {
		left[n] = all[n].notes
	}
	var tones []pattern.Tone
	sum := 0.0
	for len(tones) < 6 {
		best, ok := s.likeliest(all, left, low)
		if !ok || 2*best.count <= len(all) && len(tones) > 0 && !(2*best.count == len(all) && len(all) == 2) {
			break
		}
		if best.count < len(all) && len(all) >= 4 && len(tones) > 0 && len(all)-best.count >= 2 {
			best.tone.Optional = true
		}
		tones = append(tones, best.tone)
		sum += float64(best.count) / float64(len(all))
	}
	if len(tones) == 1 {
		return s.eitherOctave(all, tones[0], sum, low)
	}
	return tones, sum / float64(max(1, len(tones)))
}

// likeliest is the tone that most strokes have, which is then taken out of left.
func (s *sheet) likeliest(all []stroke, left [][]note, low pitch.Num) (candidate, bool) {
	var found []candidate
	for n := range all {
		for _, note := range left[n] {
			for rank, tone := range s.names(note.key, all[n].chord, low) {
				at := slices.IndexFunc(found, func(c candidate) bool { return c.tone == tone })
				if at < 0 {
					at = len(found)
					found = append(found, candidate{tone: tone, rank: rank})
				}
				found[at].count++
				found[at].rank = max(found[at].rank, rank)
			}
		}
	}
	best := candidate{}
	for _, c := range found {
		if c.count > best.count || c.count == best.count && c.rank < best.rank {
			best = c
		}
	}
	for n := range left {
		for m, note := range left[n] {
			if slices.Contains(s.names(note.key, all[n].chord, low), best.tone) {
				left[n] = slices.Delete(slices.Clone(left[n]), m, m+1)
				break
			}
		}
	}
	return best, best.count > 0
}

// names are the ways to write a key; as a note of the key of the piece only where
// the chords tell that from a degree.
func (s *sheet) names(key pitch.Num, c chord.Chord, low pitch.Num) []pattern.Tone {
	all := names(key, c, low)
	if !s.t.oneChord() {
		if tone, ok := ofKey(key, *s.t.o.Key, low); ok {
			all = append(all, tone)
		}
	}
	return all
}

// eitherOctave frees a lone tone that came in several octaves.
func (s *sheet) eitherOctave(all []stroke, tone pattern.Tone, support float64, low pitch.Num) ([]pattern.Tone, float64) {
	n := 0
	for i := range all {
		if len(all[i].notes) != 1 {
			continue
		}
		for _, other := range s.names(all[i].notes[0].key, all[i].chord, low) {
			if simple(other) == simple(tone) && other.Written == tone.Written && other.Alter == tone.Alter && other.OfKey == tone.OfKey {
				n++
				break
			}
		}
	}
	if share := float64(n) / float64(len(all)); share > support && 2*n > len(all) {
		tone.AnyOctave = true
		support = share
	}
	return []pattern.Tone{tone}, support
}
