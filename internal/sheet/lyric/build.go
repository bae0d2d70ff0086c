package lyric

import (
	"math"

	"undersong/internal/music/chord"
	"undersong/internal/sheet/song"
)

// built is a part laid out, as others take its chords over.
type built struct {
	part   *part
	laid   []laid // of each phrase
	worded []int  // the phrases that have words
}

// builder makes the sections of a song.
type builder struct {
	layer
	song  *song.Song
	done  []built // parts that have chords of their own
	bars  int     // written so far
	taken []taken // parts that took the chords of others
	bare  []*part // parts with words that found none
	empty []*part // parts with neither
}

// taken says which part took whose chords, and whether their lines agree in number.
type taken struct {
	part, from *part
	uneven     bool
}

// build lays all parts out. It stops where there are more bars than a song may have.
func (b *builder) build(parts []part) error {
	for i := range parts {
		p := &parts[i]
		all := b.lay(p)
		if len(all) == 0 {
			continue
		}
		sec := song.Section{Name: p.name}
		for _, l := range all {
			sec.Bars = append(sec.Bars, l.bars...)
		}
		closed(sec.Bars)
		n := copies(sec.Bars, p.times)
		if b.bars += len(sec.Bars) * n; n > song.MostBars || b.bars > song.MostBars {
			return tooLong(p.line)
		}
		for once := sec.Bars; n > 1; n-- {
			sec.Bars = append(sec.Bars, once...)
		}
		b.song.Sections = append(b.song.Sections, sec)
	}
	return nil
}

// lay lays out the phrases of a part, by the chords of another where it has none.
func (b *builder) lay(p *part) []laid {
	for i := range p.phrases {
		p.phrases[i].signs()
	}
	if p.chorded() {
		own := built{part: p}
		for i := range p.phrases {
			ph := &p.phrases[i]
			l := b.layer.lay(ph)
			l.signed(ph)
			if ph.text != "" {
				own.worded = append(own.worded, i)
			}
			own.laid = append(own.laid, l)
		}
		b.done = append(b.done, own)
		return own.laid
	}
	if from := b.source(p); from != nil {
		return b.borrow(p, from)
	}
	if !p.worded() {
		b.empty = append(b.empty, p)
		return nil
	}
	b.bare = append(b.bare, p)
	var all []laid
	for i := range p.phrases {
		l := b.layer.lay(&p.phrases[i])
		l.signed(&p.phrases[i])
		all = append(all, l)
	}
	if first := all[0].bars; len(b.song.Sections) == 0 && len(first) > 0 {
		first[0].Chords = []song.Symbol{song.Name(0, chord.None.Suffix())}
	}
	return all
}

// source is the part whose chords another takes: the first of its name, else of its
// kind.
func (b *builder) source(p *part) *built {
	kind := p.kind
	if p.from != "" {
		kind = p.from
	}
	for i := range b.done {
		if q := &b.done[i]; p.from == "" && p.name != "" && q.part.name == p.name {
			return q
		}
	}
	for i := range b.done {
		if q := &b.done[i]; q.part.kind == kind && kind != "part" && (q.part.worded() || !p.worded()) {
			return q
		}
	}
	return nil
}

// borrow lays a part out by the chords of another.
func (b *builder) borrow(p *part, from *built) []laid {
	if !p.worded() {
		if p.from == "" && p.kind != "instrumental" {
			p.name = from.part.name
		}
		b.taken = append(b.taken, taken{part: p, from: from.part})
		return recalled(from.laid, p.from == "" && p.kind != "instrumental")
	}
	n := len(from.worded)
	b.taken = append(b.taken, taken{p, from.part, len(p.phrases) != n})
	var all []laid
	if len(p.phrases) == n {
		next := 0
		for i, l := range from.laid {
			if next < n && from.worded[next] == i {
				all = append(all, l.with(&p.phrases[next], &from.part.phrases[i]))
				next++
			} else {
				all = append(all, l)
			}
		}
		return all
	}
	for i := range p.phrases {
		k := from.worded[i%n]
		all = append(all, from.laid[k].with(&p.phrases[i], &from.part.phrases[k]))
	}
	return all
}

// recalled are the bars of a part once more, with its words or without.
func recalled(all []laid, words bool) []laid {
	out := make([]laid, len(all))
	for i, l := range all {
		out[i] = laid{append([]song.Bar(nil), l.bars...), l.cuts}
		for j := range out[i].bars {
			if !words {
				out[i].bars[j].Lyrics = nil
			}
		}
	}
	return out
}

// with is a line's bars under other words: each begins at the syllable that is as far
// into the line.
func (l laid) with(ph, old *phrase) laid {
	out := laid{append([]song.Bar(nil), l.bars...), make([]int, len(l.cuts))}
	was, is := syllables(old.text, old.sung), syllables(ph.text, ph.sung)
	for i, cut := range l.cuts {
		n := 0
		for n < len(was) && was[n] < cut {
			n++
		}
		at := columns(ph.text)
		if k := scaled(n, len(was), len(is)); k < len(is) {
			at = is[k]
		}
		out.cuts[i] = at
	}
	out.words(ph.text, ph.sung)
	for i := range out.bars {
		out.bars[i].Line = ph.line
	}
	return out
}

func scaled(n, of, to int) int {
	if of == 0 {
		return 0
	}
	return int(math.Round(float64(n) * float64(to) / float64(of)))
}
