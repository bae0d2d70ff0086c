// Package sheets takes in any song sheet: it tells what kind of sheet a file is by
// what is in it, and has the reader of that kind read it.
package sheets

import (
	"bytes"
	"regexp"
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/sheet/lyric"
	"undersong/internal/sheet/musicxml"
	"undersong/internal/text/decode"
)

// Kind is a kind of song sheet.
type Kind uint8

// The kinds.
const (
	Chart    Kind = iota // a chart of ours; what is nothing else, too, since it tells best what is wrong
	Lyrics               // a lyric sheet: words with chord names
	ABC                  // tunes in ABC
	MusicXML             // plain or compressed
	MIDI                 // a standard MIDI file
)

func (k Kind) String() string {
	return [...]string{"a chart", "a lyric sheet", "ABC", "MusicXML", "a MIDI file"}[k]
}

// KindOf tells what kind of sheet the bytes of a file are. The name decides only
// between a chart and a lyric sheet, where it ends in .chart.
func KindOf(src []byte, name string) Kind {
	switch {
	case bytes.HasPrefix(src, []byte("MThd")), bytes.HasPrefix(src, []byte("RIFF")) && bytes.Contains(src[:min(len(src), 24)], []byte("RMID")):
		return MIDI
	case musicxml.Is(src):
		return MusicXML
	}
	text, _ := decode.Text(src[:min(len(src), enough)])
	lines := strings.Split(text, "\n")
	switch {
	case isABC(lines):
		return ABC
	case strings.HasSuffix(strings.ToLower(name), ".chart"):
		return Chart
	case isLyrics(lines), !charted(lines) && lyric.Is(src):
		return Lyrics
	}
	return Chart
}

// enough is how many bytes of a file tell its kind.
const enough = 1 << 16

// fields are the lines that begin a tune in ABC: its number and its key.
var (
	numberField = regexp.MustCompile(`^X:\s*\d*\s*(%.*)?$`)
	keyField    = regexp.MustCompile(`^K:`)
)

// isABC reports a text with a tune in it, whose header has a number and, as the last
// of its fields, a key; or a number with a title behind it, whose key was forgotten.
func isABC(lines []string) bool {
	if len(lines) > 0 && strings.HasPrefix(lines[0], "%abc") {
		return true
	}
	numbered := false
	for i, l := range lines {
		number := numberField.MatchString(l)
		numbered = numbered || number
		if keyField.MatchString(l) && numbered || number && i+1 < len(lines) && strings.HasPrefix(lines[i+1], "T:") {
			return true
		}
	}
	return false
}

// chartLine are the lines that only a chart has: bars, a tune or words that say what
// they are, and headings as charts write them.
var (
	chartHeading = regexp.MustCompile(`^(title|by|key|meter|tempo|upbeat|unit|pattern|intro|fills|turnaround|ending): *\S`)
	chartTune    = regexp.MustCompile(`^\s*[mw]:`)
	inBrackets   = regexp.MustCompile(`\[([^\[\]\s]{1,12})\]`)
)

// What charts do not have: headings of theirs that people write, and sections named
// without brackets, with or without bars behind.
var (
	lyricHeading = regexp.MustCompile(`(?i)^\s*(artist|author|composer|words|music|bpm|time|time signature|capo|tuning) *[:=]`)
	lyricSection = regexp.MustCompile(`(?i)^\s*(intro|verse|chorus|refrain|bridge|solo|instrumental|interlude|outro|coda|strophe|vorspiel|nachspiel|estrofa|coro|couplet)\b[^|]{0,12}:`)
)

// isLyrics reports a text that looks more like words with chord names than like a
// chart: chord names in brackets inside the words, or on lines of their own without
// bar lines. Words alone are a lyric sheet whose chord names are missing.
func isLyrics(lines []string) bool {
	charts, lyrics, bars := 0, 0, 0
	for i, l := range lines {
		switch {
		case tabLine.MatchString(l):
		case chartTune.MatchString(l):
			charts += 2
		case chartHeading.MatchString(l):
			charts++
		case lyricHeading.MatchString(l), lyricSection.MatchString(l):
			lyrics += 2
		case strings.Contains(l, "|"):
			charts++
			bars++
		case hasChordInBrackets(l), onlyChords(l) && wordsFollow(lines[i+1:]):
			lyrics += 2
		case strings.HasPrefix(strings.TrimSpace(l), "{"):
			lyrics++
		}
	}
	if lyrics == 0 && bars == 0 && charts == 0 {
		return strings.TrimSpace(strings.Join(lines, "")) != ""
	}
	return lyrics > charts
}

// charted reports a text with a key and bars, or with a tune: no chart is without.
func charted(lines []string) bool {
	bars, key := false, false
	for _, l := range lines {
		if chartTune.MatchString(l) {
			return true
		}
		bars = bars || strings.Contains(l, "|") && !tabLine.MatchString(l)
		key = key || keyHeading.MatchString(l)
	}
	return bars && key
}

var keyHeading = regexp.MustCompile(`(?i)^\s*key\s*:`)

// tabLine is a string of a tablature.
var tabLine = regexp.MustCompile(`^\s*[A-Ga-g]?[#b]?\|[-0-9hpbrx/~|\\]*--`)

func hasChordInBrackets(line string) bool {
	for _, m := range inBrackets.FindAllStringSubmatch(line, -1) {
		if isChord(m[1]) && strings.TrimSpace(line) != m[0] {
			return true
		}
	}
	return false
}

// onlyChords reports a line of nothing but chord names, and signs between them.
func onlyChords(line string) bool {
	fields := strings.Fields(line)
	for _, f := range fields {
		if !isChord(strings.Trim(f, "()[]-–*.,:")) {
			return false
		}
	}
	return len(fields) > 0
}

func wordsFollow(lines []string) bool {
	return len(lines) > 0 && strings.TrimSpace(lines[0]) != "" && !strings.Contains(lines[0], "|")
}

// isChord reports a chord's name, in German letters, too, or nothing but signs.
func isChord(name string) bool {
	if name == "" || name == "x2" {
		return true
	}
	if r := []rune(name); r[0] == 'H' {
		name = "B" + string(r[1:])
	}
	_, err := chord.Parse(name)
	return err == nil
}
