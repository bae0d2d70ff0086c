package chart

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"undersong/internal/music/chord"
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/text/source"
	"undersong/internal/text/visible"
)

// Bounds of a chart; they are far beyond any tune.
const (
	MaxBytes = 1 << 20 // of the text
	MaxBars  = 10000   // as played, repeats included
)

const barsHint = "write bars such as | C | F . G7 . | C |"

// Parse reads a chart. file is its name for errors, which are *source.Error, or source.Errors
// where there are several.
func Parse(src []byte, file string) (*Chart, error) {
	if e := refuse(src); e != nil {
		e.File = file
		return nil, e
	}
	p := &parser{file: file, lines: source.Lines(visible.Read(string(src))), c: &Chart{Meter: meter.Meter{Num: 4, Den: 4}, Tempo: DefaultTempo, Untimed: true}}
	p.read()
	if err := p.errs.OrNil(); err != nil {
		return nil, err
	}
	return p.c, nil
}

// refuse says why src cannot be the text of a chart at all.
func refuse(src []byte) *source.Error {
	if len(src) > MaxBytes {
		return &source.Error{Line: 1, Col: 1, Reason: "the file is larger than 1 MiB", Hint: "a chart is a page of text; is this the right file?"}
	}
	if bytes.HasPrefix(src, []byte("MThd")) {
		return &source.Error{Line: 1, Col: 1, Reason: "this is a MIDI file, and no chart", Hint: "a chart is a text file; it comes first, and a MIDI file after it; undersong hear FILE.mid --chart-out FILE writes one of a recording"}
	}
	if line, col, reason := source.Unreadable(src); reason != "" {
		return &source.Error{Line: line, Col: col, Reason: reason, Hint: "a chart is plain text; save it as UTF-8"}
	}
	return nil
}

// parser reads a chart line by line.
type parser struct {
	file  string
	lines []string
	c     *Chart
	errs  source.Errors

	at         int            // line being read, from 0
	headings   map[string]int // line of each heading read, from 1
	upbeatText string
	stop       bool // nothing that follows would make sense

	begun   bool        // something has been read, be it wrong
	inMusic bool        // a section or a bar has been read: no more headings
	section *section    // being read
	lost    bool        // the line above was wrong: words under it are no further error
	under   *Line       // line of bars that words may stand under
	bars    int         // read so far, the upbeat left out
	prev    *Bar        // last bar read
	upbeat  bool        // it has been read
	missing bool        // a bar could not be read: repeats are not checked
	home    chord.Chord // last chord read that is one

	reader *melody.Reader // of the tune, from its first line on
	tune   *tune          // waits for the line of bars below it
	sung   bool           // the bars above have their tune
}

func (p *parser) read() {
	p.headings = map[string]int{}
	for p.at = range p.lines {
		if p.stop || len(p.errs) >= source.MostErrors {
			break
		}
		p.line(p.lines[p.at])
	}
	if p.bars == 0 && !p.inMusic && len(p.headings) == 0 && len(p.errs) > 1 {
		p.errs = p.errs[:1] // no chart at all: once is enough
	}
	p.strayTune()
	p.endSection()
	p.finish()
}

// finish checks what only the whole text can tell.
func (p *parser) finish() {
	switch {
	case p.stop || len(p.errs) >= source.MostErrors:
	case strings.TrimSpace(strings.Join(p.lines, "")) == "":
		p.failAt(1, 1, "the chart is empty", barsHint)
	case p.bars == 0 && len(p.errs) == 0:
		p.failAt(1, 1, "the chart has no bars", barsHint)
	case p.bars > 0 && len(p.c.Fills) > 0 && p.fillsAstray():
	case p.bars > 0 && p.headings["key"] == 0:
		p.failAt(1, 1, "the chart names no key", "write it at the top, as in key: "+p.likelyKey())
	case len(p.errs) == 0 && playedBars(p.c) > MaxBars:
		p.failAt(1, 1, fmt.Sprintf("with its repeats the chart is longer than %d bars", MaxBars), "repeat fewer times")
	}
}

// likelyKey guesses from the last chord, where tunes come home.
func (p *parser) likelyKey() string {
	tones := p.home.Type.Set()
	k := pitch.Key{Tonic: p.home.Root, Minor: tones.Has(3) && !tones.Has(4)}
	if f := k.Fifths(); f < -7 || f > 7 {
		k = k.Simplest()
	}
	return k.String()
}

// line reads one line, whatever it is.
func (p *parser) line(raw string) {
	text := strings.TrimSpace(raw)
	name, isHeading := headingName(text)
	switch {
	case text == "":
		p.strayTune()
		p.under, p.lost = nil, false
	case text[0] == '#':
	case isWords(text):
		p.words(raw)
	case isTune(text):
		p.tuneLine(raw)
	case isHeading && (known(name) || !p.inMusic && !strings.Contains(text, "|")):
		p.heading(raw, name)
	case strings.HasPrefix(text, "[") && !strings.Contains(text, "|"):
		p.sectionName(raw)
	case strings.Contains(text, "|"):
		p.barLine(raw)
	case p.under != nil && !chordLine(text):
		p.addVerse(text)
	case !p.lost || chordLine(text):
		p.strayText(raw, text)
	}
	p.begun = p.begun || text != "" && text[0] != '#'
}

func (p *parser) strayText(raw, text string) {
	col := indent(raw)
	switch {
	case chordLine(text):
		p.fail(col, "these chords stand without barlines", "put a | at each end of every bar, as in | C | G7 |, or begin the line with w: if it is words")
	case p.inMusic:
		p.fail(col, "these words stand under no bars", "words go on the line directly below their bars; begin a remark with #")
	case !p.begun:
		p.fail(col, "a chart begins with headings and bars, not with plain text", "write title: "+short(text)+" here and bars such as | C | F . G7 . | C | below; begin a remark with #")
	default:
		p.fail(col, "this is neither a heading, nor a section, nor bars", "write key: F, [Verse] or | F | C7 |; begin a remark with #")
	}
	p.under, p.lost = nil, p.inMusic
}

// fail notes an error on the line being read.
func (p *parser) fail(col int, reason, hint string) { p.failAt(p.at+1, col, reason, hint) }

func (p *parser) failAt(line, col int, reason, hint string) {
	if len(p.errs) < source.MostErrors {
		p.errs = append(p.errs, &source.Error{File: p.file, Line: line, Col: col, Text: p.lines[line-1], Reason: reason, Hint: hint})
	}
}

// indent is the column of a line's first letter.
func indent(raw string) int {
	rest := strings.TrimLeftFunc(raw, unicode.IsSpace)
	return 1 + utf8.RuneCountInString(raw[:len(raw)-len(rest)])
}

// short keeps a quoted text to a readable length.
func short(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}
