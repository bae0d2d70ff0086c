package musicxml

import (
	"fmt"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
)

// song puts together what was read.
func (r *reader) song(w song.Wish) (*song.Song, error) {
	order, err := r.play()
	if err != nil {
		return nil, r.failure(0, err.Error(), "save it with fewer repeats")
	}
	p, err := r.chosen(w.Tune)
	if err != nil {
		return nil, err
	}
	b := &binder{r: r, first: r.parts[0], s: &song.Song{Title: r.head.title(), By: r.head.by(), Meter: meter.Meter{Num: 4, Den: 4}, Order: order}}
	if p != nil {
		b.first = p
	}
	if p == nil || !p.pitched() {
		r.tell("", "there are no notes for a tune")
	} else {
		b.tune = tuneOf(p)
		if b.tune.several {
			r.tell("", fmt.Sprintf("of its voices the tune is %s", b.tune.called()))
		}
	}
	b.bind()
	if w.Tempo > 0 {
		b.s.Tempo = w.Tempo
	}
	r.own(b.s)
	b.s.Notices = r.list()
	return b.s, nil
}

func (t *tune) called() string {
	text := "the one without a number"
	if t.voice != "" {
		text = "voice " + brief(t.voice)
	}
	if t.staff > 1 || t.apart {
		text += fmt.Sprintf(" on staff %d", t.staff)
	}
	return text + ", the highest note where there are several"
}

// binder makes the bars of a song.
type binder struct {
	r     *reader
	s     *song.Song
	tune  *tune // nil for none
	first *part // whose signatures count first

	meter  meter.Meter
	chords *part // whose chord symbols count; nil for none
	words  *speaker
}

// bind makes sections and bars.
func (b *binder) bind() {
	b.chords = b.chordPart()
	if b.tune != nil {
		b.words = b.tune.speaker()
	}
	b.s.Sections = []song.Section{{}}
	b.head()
	for i := range b.r.n {
		bar, name := b.bar(i), b.section(i)
		now := &b.s.Sections[len(b.s.Sections)-1]
		switch {
		case name != "" && len(now.Bars) == 0:
			now.Name = name
		case name != "":
			b.s.Sections = append(b.s.Sections, song.Section{Name: name})
			now = &b.s.Sections[len(b.s.Sections)-1]
		}
		now.Bars = append(now.Bars, bar)
	}
	bars := b.s.Bars()
	b.lines(bars)
	b.placeChords(bars)
	b.repeated(bars)
	b.ties(bars)
	if first := bars[0].Len; first < b.s.Meter.Bar() {
		b.s.Upbeat = first
	}
}

// measures are those of all parts at an index, the first part's before the others.
func (b *binder) measures(i int) (all []*measure) {
	if i < len(b.first.measures) {
		all = append(all, b.first.measures[i])
	}
	for _, p := range b.r.parts {
		if p != b.first && i < len(p.measures) {
			all = append(all, p.measures[i])
		}
	}
	return all
}

// number is what a measure is called.
func (b *binder) number(i int) string {
	for _, m := range b.measures(i) {
		if m.number != "" {
			return m.number
		}
	}
	return fmt.Sprint(i + 1)
}

// head reads what holds at the beginning.
func (b *binder) head() {
	found := false
	for _, m := range b.measures(0) {
		if m.time.Num > 0 && !found {
			b.s.Meter, found = m.time, true
		}
	}
	if !found {
		b.r.tell("", "no time signature is written, and 4/4 is taken")
	}
	for _, m := range b.measures(0) {
		if m.key != nil {
			b.s.Key = *m.key
			break
		}
	}
	b.meter = b.s.Meter
	b.tempo()
}

// tempo takes the first that is written in the first two measures, of which one may
// be an upbeat.
func (b *binder) tempo() {
	changes := 0
	for i := range b.r.n {
		for _, m := range b.measures(i) {
			if m.tempos == 0 {
				continue
			}
			felt := m.tempo.in(b.s.Meter)
			switch {
			case i < 2 && b.s.Tempo == 0:
				b.s.Tempo = felt
				changes += m.tempos - 1
			case m.tempos > 1 || felt != b.s.Tempo:
				changes += m.tempos
			}
			if changes > 0 {
				b.r.tell(b.number(i), "the tempo changes, and a chart keeps one")
				return
			}
		}
	}
}

// bar makes a bar but for its chords.
func (b *binder) bar(i int) song.Bar {
	var bar song.Bar
	if !b.r.packed {
		bar.Line = b.measures(i)[0].line
	}
	for _, m := range b.measures(i) {
		if i > 0 && m.time.Num > 0 {
			if m.time != b.meter {
				b.meter, bar.Meter = m.time, m.time
			}
			break
		}
	}
	b.key(i, &bar)
	bar.Len = b.length(i)
	b.flow(i, &bar)
	if b.tune != nil && i < len(b.tune.measures) {
		m := b.tune.measures[i]
		bar.Notes = b.tune.line(m, bar.Len)
		bar.Lyrics = b.words.bar(b.tune.spoken(m))
	}
	return bar
}

// key tells a signature that changes.
func (b *binder) key(i int, bar *song.Bar) {
	if i == 0 {
		return
	}
	for _, m := range b.measures(i) {
		if m.key != nil {
			bar.Key = m.key
			return
		}
	}
}

// length is how long a bar is: what stands in it; the meter's where that is rests
// for whole measures, or nothing.
func (b *binder) length(i int) meter.Ticks {
	var length, resting float64
	implicit := false
	for _, m := range b.measures(i) {
		length, resting = max(length, m.length), max(resting, m.resting)
		implicit = implicit || m.implicit
	}
	bar := b.meter.Bar()
	switch {
	case ticks(length) > bar-rounding && ticks(length) < bar+rounding:
		return bar
	case ticks(length) > 0:
		return ticks(length)
	case implicit && ticks(resting) > 0:
		return ticks(resting)
	}
	return bar
}

// rounding is what the lengths of a bar's notes may come to too little or too much
// where a program has rounded those of tuplets: no note is as short.
const rounding = meter.Quarter / 32

// flow tells repeats, endings and barlines.
func (b *binder) flow(i int, bar *song.Bar) {
	f := &b.r.flow[i]
	bar.Opens, bar.Closes = f.forward, f.backward
	if f.endings != nil {
		bar.Ending = f.endings[0]
	}
	if f.backward {
		bar.Times = f.total
	}
	switch {
	case f.backward:
	case f.line == "light-light":
		bar.Barline = chart.Double
	case f.line == "light-heavy":
		bar.Barline = chart.Final
	}
}

// section is the name of the section that begins with a measure.
func (b *binder) section(i int) string {
	for _, m := range b.measures(i) {
		if m.section != "" {
			return m.section
		}
	}
	return ""
}
