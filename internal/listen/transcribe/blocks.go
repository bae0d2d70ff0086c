package transcribe

import (
	"math/bits"
	"time"

	"undersong/internal/listen/chordid"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// A block is a whole chord struck at once and held until the next stroke, with
// nothing else sounding. What was weighed as a likelihood over a bar is plain in
// it: its bass is a position of its own, and its colour is no passing note.
type block struct {
	from, to int // cells, up to the next stroke
	beats    float64
	keys     []pitch.Num
	set      chord.Set
}

func (b *block) bass() pitch.Class { return b.keys[0].Class() }

// withBlocks gives the blocks in a chain their own basses and colours.
func (c *cells) withBlocks(chain []chordSpan, notes []Note) []chordSpan {
	var ear *chordid.Recognizer
	blocks := c.blocks(notes)
	var out []chordSpan
	for _, f := range chain {
		at := f.from
		last, lastKeys := f.candidate, []pitch.Num(nil)
		for len(blocks) > 0 && blocks[0].to <= f.from {
			blocks = blocks[1:]
		}
		for i := range blocks {
			b := &blocks[i]
			if b.from >= f.to {
				break
			}
			from, to := max(b.from, f.from), min(b.to, f.to)
			if 2*(to-from) < b.to-b.from || from > f.from && c.borders[from] >= changeOff || !c.amongBlocks(blocks, i, &f) {
				continue
			}
			if ear == nil {
				ear = chordid.New()
			}
			if !isPart(b.keys, lastKeys) {
				last, lastKeys = b.read(ear, f.candidate), b.keys
			}
			if from > at {
				out = append(out, chordSpan{at, from, f.candidate})
			}
			out = append(out, chordSpan{from, to, last})
			at = to
		}
		if at < f.to {
			out = append(out, chordSpan{at, f.to, f.candidate})
		}
	}
	return joined(out)
}

// amongBlocks reports whether block i has no other strokes near it within a
// span.
func (c *cells) amongBlocks(blocks []block, i int, f *chordSpan) bool {
	at := c.beatOf[blocks[i].from]
	near := func(k int) bool { return k >= f.from && k < f.to && max(c.beatOf[k]-at, at-c.beatOf[k]) < blockReach }
	for j, k := i, blocks[i].from-1; near(k); k-- {
		for j > 0 && blocks[j].from > k {
			j--
		}
		if c.struck[k] > 0 && blocks[j].from != k {
			return false
		}
	}
	for j, k := i, blocks[i].to; near(k); k++ {
		for j+1 < len(blocks) && blocks[j].from < k {
			j++
		}
		if c.struck[k] > 0 && blocks[j].from != k {
			return false
		}
	}
	return true
}

// isPart reports keys that were all struck in the chord before, and its bass is
// not among them: the bass is only not struck again.
func isPart(keys, before []pitch.Num) bool {
	if len(before) == 0 || keys[0] == before[0] {
		return false
	}
	i := 0
	for _, k := range keys {
		for i < len(before) && before[i] < k {
			i++
		}
		if i == len(before) || before[i] != k {
			return false
		}
	}
	return true
}

// read is what a block is, where the span it lies in was heard as r.
func (b *block) read(ear *chordid.Recognizer, r candidate) candidate {
	bass := b.bass()
	if r.typ == chord.None {
		return r
	}
	if b.set&^r.tones() == 0 {
		return b.inversion(ear, r)
	}
	triad := r.typ == chord.Major || r.typ == chord.Minor
	if triad && r.bass == bass && b.set&^r.tones() == chord.Set(0).With(bass) {
		return r // a slash chord
	}
	for _, got := range ear.All(b.set, bass) {
		coloured := candidate{got.Root, bass, got.Type, r.score}
		if got.Cost > blockCost || got.Added != 0 || !coloured.tones().Has(bass) {
			continue
		}
		if added := got.Type == chord.Add9 || got.Type == chord.MinorAdd9; added && b.beats < ninthBeats {
			return r
		}
		return coloured
	}
	return r
}

func (r candidate) tones() chord.Set { return r.typ.Set().Up(int(r.root)) }

// inversion is what a block of r's own tones is.
func (b *block) inversion(ear *chordid.Recognizer, r candidate) candidate {
	bass := b.bass()
	if got := ear.Best(b.set, bass); got.Type == chord.Sixth && got.Root == bass && got.Added == 0 {
		return candidate{got.Root, bass, got.Type, r.score}
	}
	if !b.set.Has(r.root) {
		return r
	}
	if triad := triadOf(r.typ); triad != chord.None && bass.Above(r.root) >= 10 && !b.doubles(bass) {
		r.typ = triad // Am/G: the seventh is only in the bass
	}
	r.bass = bass
	return r
}

// doubles reports a class also above the bass.
func (b *block) doubles(c pitch.Class) bool {
	for _, k := range b.keys[1:] {
		if k.Class() == c {
			return true
		}
	}
	return false
}

// triadOf is the triad under a seventh chord that songs write over its seventh.
func triadOf(t chord.Type) chord.Type {
	switch t {
	case chord.Dominant, chord.MajorSeventh:
		return chord.Major
	case chord.MinorSeventh:
		return chord.Minor
	}
	return chord.None
}

// blocks finds the blocks, in order.
func (c *cells) blocks(notes []Note) []block {
	var out []block
	for k := 0; k < c.count(); {
		to := k + 1
		beats := c.beatPart(k)
		for to < c.count() && c.struck[to] == 0 {
			beats += c.beatPart(to)
			to++
		}
		if b := (block{from: k, to: to, beats: beats}); c.struck[k] >= 3 && beats > blockBeats-1e-9 && c.isBlock(&b, notes, beats) {
			out = append(out, b)
		}
		k = to
	}
	return out
}

// isBlock reports whether the strokes of a block's first cell are one, and
// lists their keys.
func (c *cells) isBlock(b *block, notes []Note, beats float64) bool {
	first, last := time.Duration(1<<62), time.Duration(0)
	var longest, shortest time.Duration
	var in [2]uint64
	for _, n := range c.active[b.from] {
		s, note := &c.notes[n], &notes[n]
		if s.first < b.from {
			return false
		}
		held := note.Off - note.On
		if first > last || held < shortest {
			shortest = held
		}
		first, last = min(first, note.On), max(last, note.On)
		longest = max(longest, held)
		in[s.key>>6] |= 1 << (uint(s.key) & 63)
		b.set = b.set.With(s.class)
	}
	beat := (c.at[b.to] - c.at[b.from]) / beats
	if last-first > keyboard.Together || shortest.Seconds() < blockHeld*max(beat*blockBeats, longest.Seconds()) {
		return false
	}
	for k := pitch.Num(0); k < 128; k++ {
		if in[k>>6]>>(uint(k)&63)&1 == 1 {
			b.keys = append(b.keys, k)
		}
	}
	return bits.OnesCount16(uint16(b.set)) >= 3
}
