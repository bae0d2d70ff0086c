package musicxml

import (
	"slices"
	"strconv"
	"strings"
)

// mostVerses is how many verses a song keeps.
const mostVerses = 20

// speaker writes the words of a tune bar by bar.
type speaker struct {
	verses map[string]int  // <lyric number> to the verse, from 0
	open   map[string]bool // the last word of a verse goes on
}

// verses orders the verses of a part: those with numbers by them, others behind.
func (t *tune) speaker() *speaker {
	var names []string
	for _, m := range t.measures {
		for _, n := range t.spoken(m) {
			for _, s := range n.lyrics {
				if !slices.Contains(names, s.verse) && len(names) < mostVerses {
					names = append(names, s.verse)
				}
			}
		}
	}
	s := &speaker{verses: map[string]int{}, open: map[string]bool{}}
	next := 0
	for _, name := range names {
		if v, err := strconv.Atoi(name); err == nil && v >= 1 && v <= mostVerses {
			s.verses[name] = v - 1
			next = max(next, v)
		}
	}
	for _, name := range names {
		if _, ok := s.verses[name]; ok {
			continue
		}
		if name == "" && !slices.Contains(names, "1") {
			s.verses[name] = 0
			next = max(next, 1)
			continue
		}
		if next < mostVerses {
			s.verses[name] = next
			next++
		}
	}
	return s
}

// spoken are the notes of a measure whose words are sung.
func (t *tune) spoken(m *measure) []note {
	if !t.worded {
		return m.notes
	}
	return t.ours(m)
}

// bar is the words of a measure, one string a verse, none behind the last verse
// that has some. A word that goes on behind the bar ends with a hyphen.
func (s *speaker) bar(notes []note) []string {
	notes = slices.Clone(notes)
	slices.SortStableFunc(notes, func(a, b note) int {
		switch {
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return 0
	})
	texts := make([]strings.Builder, mostVerses)
	last := 0
	for _, n := range notes {
		for _, y := range n.lyrics {
			v, ok := s.verses[y.verse]
			if !ok {
				continue
			}
			w := &texts[v]
			if w.Len() > 0 && !(s.open[y.verse] && y.from) {
				w.WriteByte(' ')
			}
			w.WriteString(y.text)
			s.open[y.verse] = y.on
			last = max(last, v+1)
		}
	}
	out := make([]string, last)
	for v := range out {
		out[v] = texts[v].String()
	}
	for name, v := range s.verses {
		if v < last && out[v] != "" && s.open[name] {
			out[v] += "-"
		}
	}
	return out
}
