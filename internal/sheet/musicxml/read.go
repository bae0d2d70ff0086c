// Package musicxml reads scores in MusicXML 4.0 and older, plain or compressed,
// partwise or timewise, as songs: one voice of one part as the tune, with chord
// symbols, words and the order of playing. It writes charts as MusicXML lead
// sheets.
package musicxml

import (
	"bytes"
	"fmt"

	"undersong/internal/sheet/song"
	"undersong/internal/text/source"
)

// MostBytes bounds a score, unpacked, far beyond any song's.
const MostBytes = 8 << 20

// mostPacked bounds a compressed file.
const mostPacked = 4 << 20

// Is reports whether src looks like MusicXML or an archive that may hold some.
func Is(src []byte) bool {
	if isZip(src) {
		return true
	}
	text, _ := toUTF8(src[:min(len(src), 4096)&^1])
	text = bytes.TrimSpace(text)
	return bytes.HasPrefix(text, []byte("<?xml")) || bytes.HasPrefix(text, []byte("<!DOCTYPE score-")) || bytes.HasPrefix(text, []byte("<score-"))
}

// Read reads a score. file is its name for errors, which are *source.Error. Of w,
// Tune chooses a part, by its number from 1, its id or its name, and Tempo takes
// the place of the score's.
func Read(src []byte, file string, w song.Wish) (*song.Song, error) {
	packed := isZip(src)
	if packed {
		inner, err := unpack(src)
		if err != nil {
			return nil, &source.Error{File: file, Reason: err.Error(), Hint: "save it anew as MusicXML from the program that made it"}
		}
		src = inner
	}
	if len(src) > MostBytes {
		return nil, &source.Error{File: file, Reason: fmt.Sprintf("the score is larger than %d MiB", MostBytes>>20), Hint: "save the song alone, or only the part that has its tune"}
	}
	r := newReader(src, file)
	if err := r.score(); err != nil {
		return nil, err
	}
	r.packed = packed
	return r.song(w)
}

// failure is what ends the reading of a score.
func (r *reader) failure(line int, reason, hint string) error {
	return &source.Error{File: r.file, Line: line, Reason: reason, Hint: hint}
}

// notices are gathered by kind: how often, and where first.
type notices struct {
	order []string
	seen  map[string]*told
}

type told struct {
	times   int
	measure string
}

// tell notes that something of a kind is left out or changed in a measure.
func (n *notices) tell(measure, kind string) {
	if n.seen == nil {
		n.seen = map[string]*told{}
	}
	if t := n.seen[kind]; t != nil {
		t.times++
		return
	}
	n.order = append(n.order, kind)
	n.seen[kind] = &told{1, measure}
}

// list is the notices, one a kind.
func (n *notices) list() []song.Notice {
	var all []song.Notice
	for _, kind := range n.order {
		t := n.seen[kind]
		text := kind
		if t.times > 1 {
			text = fmt.Sprintf("%s (%d, first here)", kind, t.times)
		}
		all = append(all, song.Notice{Measure: t.measure, Text: text})
	}
	return all
}
