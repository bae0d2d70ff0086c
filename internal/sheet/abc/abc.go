// Package abc reads tunes in the notation of the abc music standard 2.1 (December
// 2011), and writes charts in it; section numbers in comments are the standard's.
//
// It reads loosely, as 12.2 wishes: what it does not know is passed over and told.
package abc

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
	"undersong/internal/text/decode"
	"undersong/internal/text/source"
)

// Bounds of a file, far beyond any tune book.
const (
	mostBytes  = 8 << 20
	mostTunes  = 20000
	mostLines  = 100000  // of the head
	mostTune   = 1 << 20 // bytes of a tune
	mostEvents = 100000  // notes and rests of a tune, all voices
)

// Read reads a tune of a file: the one that w names by its number or a title of it,
// or else the first. Errors are *source.Error; file is its name there.
func Read(src []byte, file string, w song.Wish) (*song.Song, error) {
	fail := func(line int, reason, hint string) (*song.Song, error) {
		return nil, &source.Error{File: file, Line: line, Reason: reason, Hint: hint}
	}
	if len(src) > mostBytes {
		return fail(0, "the file is larger than 8 MiB", "cut the tunes that you want out of it")
	}
	text, _ := decode.Text(src)
	if !decode.IsText(text) {
		return fail(0, "this is no text", "an abc file is plain text; save it as UTF-8")
	}
	b, err := cut(text)
	if err != nil {
		return fail(0, err.Error(), "cut the tunes that you want out of it")
	}
	if len(b.tunes) == 0 {
		return fail(0, "this is no abc file: no line begins a tune with X: or names its key with K:", "write a tune's number, title and key over its notes, as in X:1, T:Clementine, K:F")
	}
	at, err := b.choose(w.Tune)
	if err != nil {
		return fail(0, err.Error(), "name one by its number or its title")
	}
	r := newReader(b)
	t := b.tunes[at]
	if t.size <= mostTune {
		r.read(t)
	}
	if t.size > mostTune || r.events > mostEvents {
		return fail(t.line, "this tune is too long", "cut it into several tunes")
	}
	s, err := r.song()
	if err != nil {
		return fail(t.line, err.Error(), "")
	}
	if w.Tune == "" && len(b.tunes) > 1 {
		first := notice(fmt.Sprintf("the first of %d tunes is read; the others are %s", len(b.tunes), b.list(1)))
		s.Notices = append([]song.Notice{first}, s.Notices...)
	}
	if w.Tempo > 0 {
		s.Tempo = w.Tempo
	}
	return s, nil
}

// book is a file cut into its tunes (2.2).
type book struct {
	strict bool   // it says that it is abc 2.1 or later (12.3)
	head   []line // of the file, before its first tune (2.2.2)
	tunes  []tune
}

// line is a line of the file.
type line struct {
	num  int // from 1
	text string
}

type tune struct {
	line   int // of its beginning, from 1
	number string
	titles []string
	lines  []line
	size   int // bytes, and some for each line
}

// cut finds the tunes of a file. Each begins with X: and ends with an empty line;
// but where what follows that looks like the rest of the tune, it is read as such.
func cut(text string) (book, error) {
	first, _, _ := strings.Cut(text, "\n")
	c := cutter{book: book{strict: strict(first)}}
	for more := true; more; {
		var l string
		l, text, more = strings.Cut(text, "\n")
		c.num++
		c.line(strings.TrimRight(l, " \t"))
		if len(c.tunes) > mostTunes || len(c.head) > mostLines {
			return book{}, errors.New("the file is too long")
		}
	}
	c.whole()
	return c.book, nil
}

// cutter cuts a file line by line.
type cutter struct {
	book
	num   int
	now   *tune
	begun bool // its key is past
	gap   bool // an empty line came after that
}

func (c *cutter) line(text string) {
	if field := strings.TrimLeft(text, " \t"); len(field) > 1 && field[1] == ':' && (!c.begun || strings.IndexByte("IKLMPQRSTUVWXmrsw+", field[0]) >= 0) {
		text = field // pasted with a margin
	}
	switch {
	case strings.HasPrefix(text, "X:"):
		c.tunes = append(c.tunes, tune{line: c.num, number: strings.TrimSpace(uncomment(text[2:]))})
		c.now, c.gap, c.begun = &c.tunes[len(c.tunes)-1], false, false
	case text == "":
		c.gap = c.begun
	case c.now == nil && len(c.tunes) == 0:
		c.head = append(c.head, line{c.num, text})
	case c.now == nil:
	case c.gap && !goesOn(text), text[0] == '<': // the page around the tune (2.3)
		c.now = nil
	default:
		c.gap = false
		c.now.add(line{c.num, text})
		c.begun = c.begun || strings.HasPrefix(text, "K:")
	}
}

// whole takes a file without X: as one tune if it names a key (10.5.1).
func (b *book) whole() {
	if len(b.tunes) > 0 {
		return
	}
	for _, l := range b.head {
		if strings.HasPrefix(l.text, "K:") {
			t := tune{line: 1}
			for _, l := range b.head {
				t.add(l)
			}
			b.tunes, b.head = []tune{t}, nil
			return
		}
	}
}

func (t *tune) add(l line) {
	if t.size += len(l.text) + 16; t.size > mostTune {
		return
	}
	t.lines = append(t.lines, l)
	if strings.HasPrefix(l.text, "T:") {
		t.titles = append(t.titles, plainText(uncomment(l.text[2:])))
	}
}

// strict reports the first line of a file that follows abc 2.1 or later (2.1).
func strict(first string) bool {
	version := strings.TrimPrefix(strings.TrimSpace(first), "%abc-")
	v, err := strconv.ParseFloat(version, 64)
	return err == nil && v >= 2.1
}

// goesOn reports a line after an empty one that is no free text (2.2.3) but the
// rest of the tune: a field of a tune's body, a comment, or bars of notes.
func goesOn(text string) bool {
	if strings.HasPrefix(text, "%") || len(text) > 1 && text[1] == ':' && strings.IndexByte("IKLMPQVWTsw+", text[0]) >= 0 {
		return true
	}
	if !strings.Contains(text, "|") {
		return false
	}
	strange, quoted := 0, false
	for _, r := range text {
		switch {
		case r == '"' || r == '!':
			quoted = !quoted
		case !quoted && (r >= 'h' && r <= 'w' || r >= 'I' && r <= 'W' || r > 127):
			strange++
		}
	}
	return strange*8 < len(text)
}

// choose is the place of the tune that is wished for: a number X: or a title.
func (b *book) choose(wish string) (int, error) {
	if wish == "" {
		return 0, nil
	}
	for i, t := range b.tunes {
		if t.number == wish {
			return i, nil
		}
	}
	for _, same := range []func(string) bool{
		func(title string) bool { return strings.EqualFold(title, wish) },
		func(title string) bool { return strings.Contains(strings.ToLower(title), strings.ToLower(wish)) },
	} {
		for i, t := range b.tunes {
			for _, title := range t.titles {
				if same(title) {
					return i, nil
				}
			}
		}
	}
	return 0, fmt.Errorf("the file has no tune %q; it has %s", wish, b.list(0))
}

// list names the tunes from one on, some of them.
func (b *book) list(from int) string {
	const most = 8
	var names []string
	for _, t := range b.tunes[from:min(len(b.tunes), from+most)] {
		name := t.number
		if len(t.titles) > 0 {
			name = strings.TrimSpace(name + " " + t.titles[0])
		}
		names = append(names, name)
	}
	if len(b.tunes) > from+most {
		names = append(names, "...")
	}
	return strings.Join(names, "; ")
}

// common is the meter of a tune without one.
var common = meter.Meter{Num: 4, Den: 4}
