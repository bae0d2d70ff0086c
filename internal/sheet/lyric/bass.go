package lyric

import (
	"regexp"
	"strings"
)

var (
	bassNote   = regexp.MustCompile(`^[A-H][#b♯♭]?\)?$`)
	slashBass  = regexp.MustCompile(`^/[A-H][#b♯♭]?\)?$`)
	rootOrName = regexp.MustCompile(`^\(?[A-Ha-h][^/|]*$`)
)

// basses joins slash chords that are written with a space at their slash, as "G / B".
// Where slashes stand in a row they are beats, and among bar lines, too.
func basses(text string, all []piece) []piece {
	if strings.ContainsAny(text, "|‖") || !strings.Contains(text, "/") {
		return all
	}
	wide := strings.Contains(strings.TrimSpace(text), "  ")
	var out []piece
	for i := 0; i < len(all); i++ {
		n, joined := bassAt(all[i:], wide)
		if n > 1 && (i == 0 || !strings.HasSuffix(all[i-1].text, "/")) && !strings.HasPrefix(textAt(all, i+n), "/") {
			out = append(out, piece{joined, all[i].at})
			i += n - 1
			continue
		}
		out = append(out, all[i])
	}
	return out
}

// overBass reads a bass alone, as in "C  /B  /A": the chord before goes on over it.
func (d dialect) overBass(before []token, t token, read []token) []token {
	last := len(before) - 1
	if last < 0 || before[last].mark != name || len(read) != 1 || read[0].mark != other || !slashBass.MatchString(t.text) {
		return read
	}
	root, _, _ := strings.Cut(before[last].written, "/")
	if c, ok := d.chord(token{text: root + t.text}); ok {
		c.col, c.before = t.col, t.before
		return []token{c}
	}
	return read
}

func textAt(all []piece, i int) string {
	if i < len(all) {
		return all[i].text
	}
	return ""
}

// bassAt joins the first pieces of a list where they are a slash chord, and says how
// many they are. In a line that is not wide, all whose gaps are single spaces, a slash
// with a space on both sides may part two chords.
func bassAt(all []piece, wide bool) (n int, joined string) {
	near := func(i int) bool { return i < len(all) && all[i].at == all[i-1].at+len(all[i-1].text)+1 }
	first := strings.TrimSuffix(all[0].text, "/")
	if !near(1) || !rootOrName.MatchString(first) {
		return 1, ""
	}
	switch {
	case first != all[0].text && bassNote.MatchString(all[1].text):
		return 2, first + "/" + all[1].text
	case first == all[0].text && slashBass.MatchString(all[1].text):
		return 2, first + all[1].text
	case first == all[0].text && wide && all[1].text == "/" && near(2) && bassNote.MatchString(all[2].text):
		return 3, first + "/" + all[2].text
	}
	return 1, ""
}
