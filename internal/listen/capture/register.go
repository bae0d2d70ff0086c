package capture

import (
	"math"
	"slices"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// usual are the registers that a hand may be written in, the usual one first: as
// Parse has them, and from a C on.
var usual = [2][]pitch.Num{
	pattern.Left:  {40, 36, 48, 24, 60},
	pattern.Right: {55, 60, 48, 64, 72, 36},
}

// centerMean is how many semitones over a register the middle of a hand's chords lies.
var centerMean = middleKey(chord.HandAt(0))

// setRegister finds from where up a hand plays.
func (s *sheet) setRegister(h pattern.Hand, blocks bool) {
	best := math.Inf(-1)
	tries := s.registers(h, blocks)
	for low := pitch.Num(28); low <= 72; low++ {
		if !slices.Contains(tries, low) {
			tries = append(tries, low)
		}
	}
	for i, low := range tries {
		score := -perRank * float64(i)
		if i >= len(usual[h]) {
			score = -unusual
		}
		if s.onlyBlocks(h) && blocks {
			score += s.blockScore(h, low)
		} else {
			score += s.toneScore(h, low, blocks)
		}
		if score > best+1e-9 {
			best, s.low[h] = score, low
		}
	}
}

// registers lists those to try, the likeliest first. A left hand that goes over
// its octave begins low, so that it does not climb into the right; so does a
// right hand that plays figures begin on middle C (common practice, no source).
func (s *sheet) registers(h pattern.Hand, blocks bool) []pitch.Num {
	all := slices.Clone(usual[h])
	if s.wide(h, blocks) {
		all[0], all[1] = all[1], all[0]
	}
	return all
}

func (s *sheet) wide(h pattern.Hand, blocks bool) bool {
	for _, all := range s.rows[h] {
		if len(all) == 0 || blocks && s.whole(all) {
			continue
		}
		if h == pattern.Right && !s.several(all) || h == pattern.Left && most(all, func(st *stroke) bool {
			keys := st.keys()
			return keys[len(keys)-1]-s.lowestOf(h, st.chord) >= 12
		}) {
			return true
		}
	}
	return false
}

// lowestOf is the lowest key that a hand strikes over a chord.
func (s *sheet) lowestOf(h pattern.Hand, c chord.Chord) pitch.Num {
	low := pitch.Num(127)
	for _, all := range s.rows[h] {
		for i := range all {
			if all[i].chord == c {
				low = min(low, all[i].keys()[0])
			}
		}
	}
	return low
}

func (s *sheet) onlyBlocks(h pattern.Hand) bool {
	for _, all := range s.rows[h] {
		if len(all) > 0 && !s.whole(all) {
			return false
		}
	}
	return true
}

// toneScore is how well a hand's degrees agree over the chords when they are
// counted in a register.
func (s *sheet) toneScore(h pattern.Hand, low pitch.Num, blocks bool) float64 {
	score, cells, off := 0.0, 0, 0.0
	lowest := map[chord.Chord]pitch.Num{}
	rooted := map[chord.Chord]bool{}
	for i, all := range s.rows[h] {
		if len(all) == 0 || blocks && s.whole(all) {
			continue
		}
		tones, support := s.tones(h, i, low)
		cells++
		score += support
		for _, t := range tones {
			score -= perMark * math.Abs(float64(t.Octave))
		}
		noteLowest(all, lowest, rooted)
	}
	for c, k := range lowest {
		off += math.Abs(math.Floor(float64(k-c.Root.Class().From(low)) / 12))
	}
	score = score/float64(max(1, cells)) - rootMark*off/float64(max(1, len(lowest)))
	if blocks {
		score -= perOff * s.blocksOff(h, low)
	}
	return score
}

// blocksOff is how far a hand's whole chords lie, on average, from where they would
// with the octave marks that fit best, in semitones.
func (s *sheet) blocksOff(h pattern.Hand, low pitch.Num) float64 {
	sum, n := 0.0, 0
	for _, all := range s.rows[h] {
		if len(all) > 0 && s.whole(all) {
			for i := range all {
				away := middleKey(all[i].keys()) - float64(low) - centerMean
				sum += math.Abs(away - 12*math.Round(away/12))
				n++
			}
		}
	}
	return sum / float64(max(1, n))
}

// noteLowest keeps the lowest root that each chord has; where it has none, the
// lowest key.
func noteLowest(all []stroke, lowest map[chord.Chord]pitch.Num, rooted map[chord.Chord]bool) {
	for i := range all {
		c := all[i].chord
		for _, k := range all[i].keys() {
			isRoot := k.Class() == c.Root.Class()
			was, had := lowest[c]
			switch {
			case isRoot && !rooted[c], !had, rooted[c] == isRoot && k < was:
				lowest[c], rooted[c] = k, rooted[c] || isRoot
			}
		}
	}
}

// blockScore is how many whole chords lie where a demonstration would put them.
func (s *sheet) blockScore(h pattern.Hand, low pitch.Num) float64 {
	prev := chord.HandAt(low)
	hits, n, away := 0, 0, 0.0
	for _, st := range s.inTime(h) {
		want := chord.Nearest(prev, st.chord.HandTones(4), low)
		keys := st.keys()
		n++
		if slices.Equal(want, keys) {
			hits++
		}
		away += math.Abs(middleKey(keys) - float64(low) - centerMean)
		prev = keys
	}
	if n == 0 {
		return 0
	}
	return float64(hits)/float64(n) - perOff*away/float64(n)
}

// inTime lists a hand's strokes as they were played.
func (s *sheet) inTime(h pattern.Hand) []*stroke {
	var all []*stroke
	for i := range s.rows[h] {
		for n := range s.rows[h][i] {
			all = append(all, &s.rows[h][i][n])
		}
	}
	slices.SortStableFunc(all, func(a, b *stroke) int {
		switch {
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return 0
	})
	return all
}
