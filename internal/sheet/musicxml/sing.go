package musicxml

import (
	"strings"

	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/mxml"
)

// struck are the places of the notes that begin: neither rests nor tied.
func struck(notes []mxml.Note) (all []int) {
	for i, n := range notes {
		if !n.Rest && !n.FromTie {
			all = append(all, i)
		}
	}
	return all
}

// unsung reports a bar whose words have no note.
func (w *writer) unsung(b *chart.Bar, notes []mxml.Note) bool {
	return len(b.Lyrics) > 0 && len(struck(notes)) == 0
}

// sing hangs the words of a bar on the notes that begin in it. The chart does not
// say which syllable goes where: they are spread over the notes.
func (w *writer) sing(b *chart.Bar, notes []mxml.Note) {
	places := struck(notes)
	if len(places) == 0 {
		return
	}
	for v, text := range b.Lyrics {
		words := strings.Fields(text)
		units, goesOn := spread(words, len(places))
		for i, u := range units {
			from := i == 0 && w.open[v] || i > 0 && units[i-1].on
			at := &notes[places[i*len(places)/len(units)]]
			at.Lyrics = append(at.Lyrics, mxml.Lyric(v+1, syllabic(from, u.on), u.text))
		}
		if len(units) > 0 {
			w.open[v] = goesOn
		}
	}
}

func syllabic(from, on bool) string {
	switch {
	case from && on:
		return "middle"
	case from:
		return "end"
	case on:
		return "begin"
	}
	return "single"
}

// unit is what is sung to one note: a syllable, or words that must share it.
type unit struct {
	text string
	on   bool // the word goes on
}

// spread makes units of words for so many notes at most: a syllable each, or fewer
// where there are too many. goesOn tells that the last word, which ends with a
// hyphen, goes on in the next bar.
func spread(words []string, notes int) (units []unit, goesOn bool) {
	var cut [][]string
	total := 0
	for _, word := range words {
		parts := syllables(word)
		if len(parts) == 0 {
			parts = []string{word}
		}
		cut = append(cut, parts)
		total += len(parts)
	}
	goesOn = len(words) > 0 && strings.HasSuffix(words[len(words)-1], "-") && strings.Trim(words[len(words)-1], "-") != ""
	for i := len(cut) - 1; i >= 0 && total > notes; i-- { // fewer syllables, the last words first
		for len(cut[i]) > 1 && total > notes {
			n := len(cut[i])
			cut[i] = append(cut[i][:n-2:n-2], cut[i][n-2]+cut[i][n-1])
			total--
		}
	}
	for len(cut) > notes { // words that share a note, the first of the bar
		cut[1][0] = cut[0][0] + " " + cut[1][0]
		cut = cut[1:]
	}
	for i, parts := range cut {
		for j, p := range parts {
			units = append(units, unit{p, j < len(parts)-1 || goesOn && i == len(cut)-1})
		}
	}
	return units, goesOn
}
