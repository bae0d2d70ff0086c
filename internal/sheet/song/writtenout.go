package song

import (
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/chart"
)

// writtenOut writes the bars one after another as they are played. Incomplete bars
// that make a whole one together, as at a repeat with an upbeat, are joined.
func (b *builder) writtenOut() (*chart.Chart, error) {
	c := b.begin()
	w := &stream{b: b, c: c, bars: b.song.Bars(), times: map[int]int{}, once: map[int]bool{}}
	w.count()
	for k, i := range b.song.Order {
		w.take(i, k == 0)
		if k+1 < len(b.song.Order) && b.song.Order[k+1] <= i {
			w.breakLine()
		}
	}
	w.end()
	b.layOut(c)
	untie(c.Bars())
	if len(b.song.Order) > len(w.bars) {
		b.tell(nil, "its repeats are written out: %d bars", w.number)
	}
	order := make([]int, len(c.Bars()))
	for i := range order {
		order[i] = i
	}
	return finished(c, order)
}

// stream makes whole bars of those played.
type stream struct {
	b     *builder
	c     *chart.Chart
	bars  []*Bar
	times map[int]int  // how often each bar was played so far
	once  map[int]bool // bars that are played once
	names []*Section   // the section of each bar
	now   *Section
	part  *part

	bar    chart.Bar // being filled
	filled meter.Ticks
	breaks bool
	number int // bars so far, the upbeat left out
}

func (w *stream) count() {
	for i := range w.b.song.Sections {
		for range w.b.song.Sections[i].Bars {
			w.names = append(w.names, &w.b.song.Sections[i])
		}
	}
	for _, i := range w.b.song.Order {
		w.times[i]++
		w.once[i] = w.times[i] == 1
	}
	clear(w.times)
}

// take adds a bar as played.
func (w *stream) take(i int, first bool) {
	s, full := w.bars[i], w.b.meter.Bar()
	length := w.b.scale(s.Len)
	if w.filled > 0 && w.filled+length > full {
		w.b.tell(s, "the bar before is filled up with rest")
		w.end()
	}
	if w.filled == 0 && (w.part == nil || w.names[i] != w.now) {
		w.now = w.names[i]
		w.part = w.b.section(w.now.Name, w.now.Pattern)
	}
	w.append(s, w.words(i, s), length)
	switch {
	case first && length < full && length%meter.Sixteenth == 0 && len(w.bars) > 1:
		w.bar.Number, w.bar.Len, w.c.Upbeat = 0, length, length
		w.flush(length)
	case w.filled >= full:
		w.whole()
	}
	w.times[i]++
}

// words are those sung now: all verses where the bar comes once, else the one that
// belongs to this time.
func (w *stream) words(i int, s *Bar) []string {
	if w.once[i] || len(s.Lyrics) == 0 {
		return s.Lyrics
	}
	return []string{s.Lyrics[min(w.times[i], len(s.Lyrics)-1)]}
}

// append adds a bar's content to the one being filled.
func (w *stream) append(s *Bar, words []string, length meter.Ticks) {
	if w.filled == 0 {
		w.bar, w.breaks = chart.Bar{Number: 1}, false
	}
	w.breaks = w.breaks || s.Breaks
	w.bar.Melody = append(w.bar.Melody, w.b.notes(s, w.filled)...)
	end := w.filled + length
	for _, p := range w.b.chords.place(s, max(length, 1)) {
		p.At += w.filled
		w.bar.Chords = append(w.bar.Chords, p)
	}
	for v, text := range words {
		for len(w.bar.Lyrics) <= v {
			w.bar.Lyrics = append(w.bar.Lyrics, "")
		}
		w.bar.Lyrics[v] = sung(w.bar.Lyrics[v] + " " + text)
	}
	w.filled = end
}

// whole puts the bars that are full into the chart. What is left begins the next.
func (w *stream) whole() {
	full := w.b.meter.Bar()
	for w.filled >= full {
		rest := w.cut(full)
		w.bar.Len = full
		w.flush(full)
		w.bar, w.filled = rest, w.filled-full
	}
}

// end fills the bar up and puts it into the chart, if one has been begun.
func (w *stream) end() {
	if w.whole(); w.filled > 0 {
		w.filled = w.b.meter.Bar()
		w.whole()
	}
}

// breakLine ends a line with the bar being filled, or with the one before: the music
// goes back.
func (w *stream) breakLine() {
	if n := len(w.part.broken); w.filled == 0 && n > 0 {
		w.part.broken[n-1] = true
		return
	}
	w.breaks = true
}

// flush adds the bar being filled to the chart.
func (w *stream) flush(length meter.Ticks) {
	w.number += min(w.bar.Number, 1)
	w.bar.Chords = w.b.chords.tidy(w.bar.Chords, length)
	w.part.add(w.bar, w.breaks)
	if w.bar.Number == 0 {
		w.bar, w.filled = chart.Bar{}, 0
	}
}

// cut takes what lies beyond a whole bar into the next. A note over the barline is
// tied.
func (w *stream) cut(full meter.Ticks) chart.Bar {
	rest := chart.Bar{Number: 1}
	var kept []melody.Note
	for _, n := range w.bar.Melody {
		switch {
		case n.At >= full:
			n.At -= full
			rest.Melody = append(rest.Melody, n)
		case n.At+n.Dur > full:
			over := n
			over.At, over.Dur = 0, n.At+n.Dur-full
			n.Dur, n.Tied, n.Ends = full-n.At, true, false
			kept, rest.Melody = append(kept, n), append(rest.Melody, over)
		default:
			kept = append(kept, n)
		}
	}
	w.bar.Melody = kept
	var chords []chart.Placed
	for _, p := range w.bar.Chords {
		if p.At < full {
			chords = append(chords, p)
			rest.Chords = []chart.Placed{{Chord: p.Chord}}
			continue
		}
		p.At -= full
		rest.Chords = append(rest.Chords, p)
	}
	w.bar.Chords = chords
	return rest
}
