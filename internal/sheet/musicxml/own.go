package musicxml

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
)

// The <miscellaneous-field>s in which a chart's own things stand that MusicXML has
// no words for.
const (
	fieldFormat     = "undersong-format"     // "1"
	fieldUnit       = "undersong-unit"       // ticks of Chart.Unit
	fieldPattern    = "undersong-pattern"    // and the others that are asked for by name
	fieldIntro      = "undersong-intro"      //
	fieldTurnaround = "undersong-turnaround" //
	fieldEnding     = "undersong-ending"     //
	fieldFill       = "undersong-fill-%d"    // from 1: "4,8 NAME"
	fieldSection    = "undersong-section-%d" // the pattern of a section, counted from 1
	fieldSimile     = "undersong-simile"     // the bars, counted from 0, that are written %
	fieldPieces     = "undersong-pieces"     // "3:1920": in that bar, counted from 0, a note is written as two, the second from that tick
	fieldWords      = "undersong-words-%d"   // of a verse from 1: each bar's, with | between
)

// ours reports a score that was written from a chart.
func (r *reader) ours() bool { return r.head.fields[fieldFormat] != "" }

// own takes over what a chart had. Where the score was changed since, what is
// written in its notes and measures counts.
func (r *reader) own(s *song.Song) {
	if !r.ours() {
		return
	}
	get := func(name string) string { return r.head.fields[name] }
	s.Asks = song.Asks{Pattern: get(fieldPattern), Intro: get(fieldIntro), Turnaround: get(fieldTurnaround), Ending: get(fieldEnding)}
	if n, err := strconv.Atoi(get(fieldUnit)); err == nil && n > 0 && n <= int(meter.Whole) {
		s.Unit = meter.Ticks(n)
	}
	for i := 1; get(fmt.Sprintf(fieldFill, i)) != ""; i++ {
		s.Fills = append(s.Fills, fillOf(get(fmt.Sprintf(fieldFill, i)), len(s.Bars())))
	}
	for i := range s.Sections {
		s.Sections[i].Pattern = get(fmt.Sprintf(fieldSection, i+1))
	}
	bars := s.Bars()
	for _, f := range strings.Fields(get(fieldSimile)) {
		if i, err := strconv.Atoi(f); err == nil && i > 0 && i < len(bars) && sameChords(bars[i-1], bars[i]) {
			bars[i].Simile = true
		}
	}
	joinPieces(bars, get(fieldPieces))
	for v := range mostVerses {
		if text := get(fmt.Sprintf(fieldWords, v+1)); text != "" {
			takeWords(bars, v, strings.Split(text, "|"))
		}
	}
}

// fillOf reads "4,8 NAME".
func fillOf(text string, most int) song.Fill {
	numbers, name, _ := strings.Cut(text, " ")
	f := song.Fill{Name: name}
	for _, n := range strings.Split(numbers, ",") {
		if bar, err := strconv.Atoi(n); err == nil && bar > 0 && bar <= most {
			f.Bars = append(f.Bars, bar)
		}
	}
	return f
}

// joinPieces makes one note of those that were written as several.
func joinPieces(bars []*song.Bar, text string) {
	for _, f := range strings.Fields(text) {
		bar, tick, _ := strings.Cut(f, ":")
		i, err1 := strconv.Atoi(bar)
		at, err2 := strconv.Atoi(tick)
		if err1 != nil || err2 != nil || i < 0 || i >= len(bars) {
			continue
		}
		notes := bars[i].Notes
		for j := 1; j < len(notes); j++ {
			if before := &notes[j-1]; notes[j].At == meter.Ticks(at) && before.Tied { // so they are of one pitch
				before.Dur += notes[j].Dur
				before.Tied, before.Ends = notes[j].Tied, notes[j].Ends
				bars[i].Notes = slices.Delete(notes, j, j+1)
				break
			}
		}
	}
}

func sameChords(a, b *song.Bar) bool {
	if len(a.Chords) != len(b.Chords) {
		return false
	}
	for i := range a.Chords {
		if a.Chords[i] != b.Chords[i] {
			return false
		}
	}
	return true
}

// takeWords gives each bar the words of a verse as the chart had them, unless other
// words are sung to its notes.
func takeWords(bars []*song.Bar, v int, words []string) {
	if len(words) != len(bars) {
		return
	}
	for i, bar := range bars {
		text := strings.TrimSpace(words[i])
		if v < len(bar.Lyrics) && letters(bar.Lyrics[v]) != "" && letters(bar.Lyrics[v]) != letters(text) || text == "" {
			continue
		}
		for len(bar.Lyrics) <= v {
			bar.Lyrics = append(bar.Lyrics, "")
		}
		bar.Lyrics[v] = text
	}
}

// letters is a text without what is lost when it is sung: spaces and hyphens.
func letters(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '-' {
			return -1
		}
		return r
	}, text)
}
