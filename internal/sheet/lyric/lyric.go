// Package lyric reads lyric sheets: words with chord names, as people type and paste
// them. Names stand on lines of their own above the words or in brackets inside them;
// such a sheet has no bars, so that those are assumed.
package lyric

import (
	"errors"
	"fmt"
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
	"undersong/internal/text/decode"
	"undersong/internal/text/source"
)

// A sheet may be so long: far beyond any song with the page it was pasted from.
const (
	mostBytes  = 1 << 16
	mostLines  = 3000
	mostInLine = 300 // bytes; longer ones are passed over as prose
)

// expected says what would be a sheet.
const expected = "a lyric sheet has chord names on lines of their own above the words, such as \"G    D7\", " +
	"or in brackets inside them, such as \"[G]Down in the [D7]valley\""

// Read reads a lyric sheet; file names it in errors, which are *source.Error.
func Read(src []byte, file string, w song.Wish) (*song.Song, error) {
	s, err := read(src, w)
	var at *source.Error
	if errors.As(err, &at) {
		at.File = file
	}
	return s, err
}

// Is reports whether a text is a lyric sheet.
func Is(src []byte) bool {
	sh, _, err := parse(src)
	return err == nil && sh.refuse() == nil
}

func read(src []byte, w song.Wish) (*song.Song, error) {
	sh, from, err := parse(src)
	if err != nil {
		return nil, err
	}
	if err := sh.refuse(); err != nil {
		return nil, err
	}
	sh.name()
	return sh.song(w, from)
}

// parse reads the sheet of a text, and says in which encoding that was.
func parse(src []byte) (sh *sheet, from string, err error) {
	if len(src) > mostBytes {
		return nil, "", &source.Error{Reason: fmt.Sprintf("a lyric sheet has at most %d bytes, this file has %d", mostBytes, len(src)), Hint: expected}
	}
	text, from := decode.Text(src)
	if line, col, reason := source.Unreadable([]byte(text)); reason != "" {
		return nil, "", &source.Error{Line: line, Col: col, Reason: reason, Hint: expected}
	}
	if n := strings.Count(text, "\n"); n >= mostLines {
		return nil, "", &source.Error{Line: mostLines + 1, Reason: fmt.Sprintf("a lyric sheet has at most %d lines", mostLines), Hint: expected}
	}
	sh = &sheet{judged: map[string]verdict{}}
	sh.rows = clean(text, &sh.aside)
	sh.d = speech(sh.rows)
	sh.read()
	return sh, from, nil
}

// refuse tells a text that is no lyric sheet.
func (s *sheet) refuse() error {
	sure, names := 0, 0
	for _, p := range s.parts {
		for _, ph := range p.phrases {
			for _, t := range ph.chords {
				if t.mark == name {
					names++
					if ph.inline || !weak(t) {
						sure++
					}
				}
			}
		}
	}
	if sure > 0 {
		return nil
	}
	e := &source.Error{Reason: "no line of this text is one of chord names", Hint: expected}
	for _, r := range s.rows {
		if !r.blank() {
			e.Line, e.Text = r.num, r.text
			break
		}
	}
	switch {
	case e.Line == 0:
		e.Reason = "there is nothing in this file"
	case names > 0:
		e.Reason = "what may be chord names here may as well be words"
	}
	return e
}

// song builds the song of what was read.
func (s *sheet) song(w song.Wish, from string) (*song.Song, error) {
	out := &song.Song{Title: s.title, By: s.by, Meter: s.heading.meter, Tempo: s.tempo}
	n := notes{song: out, sheet: s, wish: w}
	slashed := s.slashed()
	switch {
	case w.Meter.Num > 0:
		out.Meter = w.Meter
	case out.Meter.Num == 0 && slashed.Num > 0:
		out.Meter = slashed
	case out.Meter.Num == 0:
		out.Meter = meter.Meter{Num: 4, Den: 4}
	}
	if w.Tempo > 0 {
		out.Tempo = w.Tempo
	}
	b := &builder{song: out, layer: layer{meter: out.Meter, per: w.BarsPerChord, d: weigh(s.parts)}}
	b.usual = b.measured(s.parts)
	if err := b.build(s.parts); err != nil {
		return nil, err
	}
	var err error
	if out.Order, err = order(out.Bars()); err != nil {
		return nil, err
	}
	out.Words = s.words(b.d)
	n.key(played(out))
	n.tell(b, from)
	return out, nil
}

// slashed is the meter that all bars with slashes for beats show; zero where they
// disagree, or there are none.
func (s *sheet) slashed() meter.Meter {
	l := layer{meter: meter.Meter{Num: 4, Den: 4}}
	n := 0
	for _, p := range s.parts {
		for i := range p.phrases {
			if !p.phrases[i].exact() {
				continue
			}
			for _, c := range l.split(&p.phrases[i]) {
				k, beats := len(c.slots), 0
				for _, t := range c.slots {
					if t.mark == beat {
						beats++
					}
				}
				if beats == 0 {
					continue
				}
				if n > 0 && n != k {
					return meter.Meter{}
				}
				n = k
			}
		}
	}
	if m, err := meter.Parse(fmt.Sprintf("%d/4", n)); err == nil {
		return m
	}
	return meter.Meter{}
}

// words are the lines of words with the chords over them.
func (s *sheet) words(d decorated) []song.Words {
	var all []song.Words
	for _, p := range s.parts {
		for _, ph := range p.phrases {
			if ph.text == "" {
				continue
			}
			w := song.Words{Line: ph.line, Text: strings.TrimRight(ph.text, " ")}
			for _, t := range ph.chords {
				if t.mark == name {
					w.Chords = append(w.Chords, song.Over{Symbol: t.text, Column: d.column(t)})
				}
			}
			all = append(all, w)
		}
	}
	return all
}

// played are the chords that are known, in the order of playing.
func played(s *song.Song) []chord.Chord {
	var all []chord.Chord
	bars := s.Bars()
	for _, i := range s.Order {
		for _, c := range bars[i].Chords {
			if c.Known && !c.Chord.IsNone() {
				all = append(all, c.Chord)
			}
		}
	}
	return all
}
