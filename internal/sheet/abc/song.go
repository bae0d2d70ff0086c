package abc

import (
	"errors"
	"fmt"
	"strings"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/song"
)

func notice(text string) song.Notice { return song.Notice{Text: text} }

var errEmpty = errors.New("this tune has no notes")

// song makes the song of what was read.
func (r *reader) song() (*song.Song, error) {
	v := r.tune()
	if v == nil {
		return nil, errEmpty
	}
	s := &song.Song{Title: r.title, By: strings.Join(r.by, ", "), Asks: r.asks}
	first := v.bars[0]
	s.Key, s.Meter = v.firstKey.key, v.firstMeter
	usual := false
	if v.free {
		s.Meter, usual = usualMeter(v.bars)
	}
	s.Tempo = r.tempo.felt(s.Meter, v.unit)
	if r.ours || int64(r.unit)*melody.Fine != defaultUnit(s.Meter) {
		s.Unit = r.unit
	}
	r.num = 0 // what is told from here on is about all of the tune
	order, err := r.played(v.bars)
	if err != nil {
		return nil, err
	}
	s.Order = order
	r.sections(s, v)
	if _, length := first.place(); length < s.Meter.Bar() && (!v.free || usual) && len(v.bars) > 1 {
		s.Upbeat = length
	}
	untie(s)
	move(s, v.shift)
	r.remarks(s, v)
	return s, nil
}

// usualMeter is the meter in quarters that more than half of the bars fill; 4/4 where
// there is none.
func usualMeter(bars []*bar) (m meter.Meter, usual bool) {
	count := map[meter.Ticks]int{}
	for _, b := range bars {
		_, length := b.place()
		count[length]++
	}
	for n := 2; n <= 5; n++ {
		if 2*count[meter.Ticks(n)*meter.Quarter] > len(bars) {
			return meter.Meter{Num: n, Den: 4}, true
		}
	}
	return common, false
}

// sections puts the bars into the song, a section for each part.
func (r *reader) sections(s *song.Song, v *voice) {
	for i, b := range v.bars {
		if i == 0 || b.part != v.bars[i-1].part {
			p := r.parts[b.part]
			s.Sections = append(s.Sections, song.Section{Name: p.name, Pattern: p.pattern})
		}
		var next *bar
		if i+1 < len(v.bars) {
			next = v.bars[i+1]
		}
		out := b.written(next)
		if i == 0 {
			out.Meter, out.Key = meter.Meter{}, nil
		}
		in := &s.Sections[len(s.Sections)-1]
		in.Bars = append(in.Bars, out)
	}
}

// written is the bar as the song has it. A chord that stands behind its last note
// is the next bar's.
func (b *bar) written(next *bar) song.Bar {
	at, length := b.place()
	out := song.Bar{Len: length, Meter: b.meter, Key: b.key, Lyrics: b.sungTo(), Breaks: b.breaks, Simile: b.simile,
		Opens: b.first, Closes: b.last, Times: b.times, Ending: b.ending, Barline: b.barline, Line: b.line, Col: b.col}
	for _, c := range b.chords {
		if c.event < len(at) {
			out.Chords = append(out.Chords, symbolOf(at[c.event], c.text))
		} else if next != nil && (len(next.chords) == 0 || next.chords[0].event > 0) {
			next.chords = append([]symbol{{0, c.text}}, next.chords...)
		}
	}
	for i, e := range b.events {
		if e.rest {
			continue
		}
		n := e.note
		n.At, n.Dur = at[i], length-at[i]
		if i+1 < len(at) {
			n.Dur = at[i+1] - at[i]
		}
		if n.Dur < 1 {
			continue // too short to be heard
		}
		if last := len(out.Notes) - 1; e.joins && last >= 0 && out.Notes[last].Pitch == n.Pitch {
			out.Notes[last].Dur += n.Dur
			out.Notes[last].Tied, out.Notes[last].Ends = n.Tied, out.Notes[last].Ends || n.Ends
			continue
		}
		out.Notes = append(out.Notes, n)
	}
	return out
}

// untie takes away ties that lead to no note of the same pitch, as the bars are
// written or played.
func untie(s *song.Song) {
	bars := s.Bars()
	follows := map[int][]int{}
	for k, i := range s.Order {
		if k+1 < len(s.Order) && len(follows[i]) < 8 {
			follows[i] = append(follows[i], s.Order[k+1])
		}
	}
	for i, b := range bars {
		for j := range b.Notes {
			n := &b.Notes[j]
			if !n.Tied {
				continue
			}
			n.Tied = false
			if j+1 < len(b.Notes) {
				next := b.Notes[j+1]
				n.Tied = next.At == n.At+n.Dur && next.Pitch == n.Pitch
				continue
			}
			for _, k := range follows[i] {
				if next := bars[k]; n.At+n.Dur == b.Len && len(next.Notes) > 0 && next.Notes[0].At == 0 && next.Notes[0].Pitch == n.Pitch {
					n.Tied = true
				}
			}
		}
	}
}

// steps are the letters that so many semitones up are commonly written with: a minor
// second for one, an augmented fourth for six (common practice, no source).
var steps = [12]int{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6}

// move makes the song sound where its clef and transpose= say (4.6): whole octaves
// move the tune alone, the rest also key and chords.
func move(s *song.Song, shift int) {
	if shift == 0 {
		return
	}
	semitones := int(pitch.ClassOf(shift))
	octaves := (shift - semitones) / 12
	iv := pitch.Interval{Steps: steps[semitones], Semitones: semitones}
	for _, b := range s.Bars() {
		for i, n := range b.Notes {
			b.Notes[i] = n.Transpose(iv, octaves)
		}
		for i, c := range b.Chords {
			if semitones != 0 && c.Known && !c.Chord.IsNone() {
				moved := c.Chord.Transpose(iv)
				b.Chords[i].Chord, b.Chords[i].Text = moved, moved.String()
			}
		}
		if b.Key != nil {
			*b.Key = moved(*b.Key, iv)
		}
	}
	s.Key = moved(s.Key, iv)
}

func moved(k pitch.Key, iv pitch.Interval) pitch.Key {
	k.Tonic = k.Tonic.Up(iv)
	if f := k.Fifths(); f < -7 || f > 7 {
		return k.Simplest()
	}
	return k
}

// remarks are the notices: what was told while reading, and what holds for all of
// the tune.
func (r *reader) remarks(s *song.Song, v *voice) {
	add := func(format string, args ...any) {
		s.Notices = append(s.Notices, notice(fmt.Sprintf(format, args...)))
	}
	if len(r.other) > 0 {
		add("further titles: %s", strings.Join(r.other, "; "))
	}
	if v.free {
		add("the tune names no meter, and %s is taken", s.Meter)
	}
	if v.firstKey.mode != "" {
		add("the key is %s %s, and told as %s", v.firstKey.key.Tonic, v.firstKey.mode, s.Key)
	}
	if v.shift != 0 {
		add("the tune is moved by %d semitones, as its clef or transpose= says", v.shift)
	}
	for _, n := range r.told.list {
		if k := r.told.count[n.Text]; k > 1 {
			n.Text += fmt.Sprintf(" (%d, first here)", k)
		}
		s.Notices = append(s.Notices, n)
	}
}
