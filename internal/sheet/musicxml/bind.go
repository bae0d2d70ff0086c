package musicxml

import (
	"slices"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
)

// chordPart is the part whose chord symbols count: the tune's where it has some,
// else the one with most.
func (b *binder) chordPart() *part {
	var best *part
	most, having := 0, 0
	for _, p := range b.r.parts {
		n := 0
		for _, m := range p.measures {
			n += len(m.chords)
		}
		if n == 0 {
			continue
		}
		having++
		if n > most {
			best, most = p, n
		}
		if b.tune != nil && p == b.tune.part {
			best, most = p, 1<<30
		}
	}
	if having > 1 {
		b.r.tell("", "chord symbols are taken from "+b.r.called(best)+": several parts have some")
	}
	return best
}

// placeChords puts the chord symbols into their bars; one at the end of a bar
// belongs to the next.
func (b *binder) placeChords(bars []*song.Bar) {
	if b.chords == nil {
		return
	}
	for i, m := range b.chords.measures {
		for _, h := range m.chords {
			at, to := ticks(h.at), i
			for to+1 < len(bars) && at >= bars[to].Len {
				at -= bars[to].Len
				to++
			}
			at = max(0, min(at, bars[to].Len-1))
			bars[to].Chords = append(bars[to].Chords, song.Symbol{At: at, Text: h.text, Chord: h.chord, Known: h.known})
			if !h.known {
				b.r.tell(b.number(i), "chords that are not known here keep their text alone")
			}
		}
	}
	for i, bar := range bars {
		slices.SortStableFunc(bar.Chords, func(a, b song.Symbol) int { return int(a.At - b.At) })
		n := len(bar.Chords)
		bar.Chords = slices.CompactFunc(bar.Chords, func(a, b song.Symbol) bool { return a.At == b.At })
		if len(bar.Chords) < n {
			b.r.tell(b.number(i), "of chords at one place the first counts")
		}
	}
}

// lines ends the sheet's lines where the page's do.
func (b *binder) lines(bars []*song.Bar) {
	for i, bar := range bars[:len(bars)-1] {
		for _, m := range b.measures(i + 1) {
			bar.Breaks = bar.Breaks || m.system
		}
	}
}

// repeated fills in what is written as a sign that repeats the measures before.
func (b *binder) repeated(bars []*song.Bar) {
	for i, bar := range bars {
		for _, p := range b.r.parts {
			if i >= len(p.measures) || p.measures[i].repeats == 0 || i < p.measures[i].repeats {
				continue
			}
			from := bars[i-p.measures[i].repeats]
			if b.tune != nil && p == b.tune.part && len(bar.Notes) == 0 {
				bar.Notes = cutTo(from.Notes, bar.Len)
				bar.Simile = p.measures[i].repeats == 1 && len(bar.Chords) == 0
			}
			if p == b.chords && len(bar.Chords) == 0 {
				bar.Chords = slices.DeleteFunc(slices.Clone(from.Chords), func(c song.Symbol) bool { return c.At >= bar.Len })
			}
		}
	}
}

// cutTo is notes of another bar in one of a length.
func cutTo(notes []melody.Note, length meter.Ticks) []melody.Note {
	var all []melody.Note
	for _, n := range notes {
		if n.At < length {
			n.Dur = min(n.Dur, length-n.At)
			all = append(all, n)
		}
	}
	return all
}

// ties takes away those that lead to no note of the same pitch, in any order of
// playing.
func (b *binder) ties(bars []*song.Bar) {
	good := make([]bool, len(bars)) // the last note's tie leads on
	for k, i := range b.s.Order {
		n := len(bars[i].Notes)
		if n == 0 || k+1 == len(b.s.Order) {
			continue
		}
		last, next := bars[i].Notes[n-1], bars[b.s.Order[k+1]].Notes
		good[i] = good[i] || last.At+last.Dur == bars[i].Len && len(next) > 0 && next[0].At == 0 && next[0].Pitch.Num() == last.Pitch.Num()
	}
	for i, bar := range bars {
		for j := range bar.Notes {
			n := &bar.Notes[j]
			if j == len(bar.Notes)-1 {
				n.Tied = n.Tied && good[i]
				continue
			}
			next := &bar.Notes[j+1]
			if n.Tied = n.Tied && n.At+n.Dur == next.At && n.Pitch.Num() == next.Pitch.Num(); n.Tied {
				next.Pitch = n.Pitch // by one name
			}
		}
	}
}
