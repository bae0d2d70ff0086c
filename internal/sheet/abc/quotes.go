package abc

import (
	"regexp"
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
)

// quoted reads a chord symbol (4.18) or passes over an annotation (4.19).
func (s *scanner) quoted() {
	col := s.i + 1
	text := strings.TrimSpace(plainText(s.through('"')))
	v := s.v
	if v.skip > 0 || text == "" {
		return
	}
	if strings.ContainsAny(text[:1], "^_<>@") {
		s.annotated(text[1:], text[0])
		return
	}
	if s.v.jump(text) {
		return
	}
	if !chordLike(text) {
		s.tell("the text " + short(text) + " stands where chords do, and is passed over")
		return
	}
	s.begin(col)
	b := v.current
	if n := len(b.chords); n > 0 && b.chords[n-1].event == len(b.events) {
		if strings.HasPrefix(text, "(") {
			s.tell("of two chords at one place the one in parentheses is left out")
			return
		}
		s.tell("of two chords at one place the last is taken")
		b.chords = b.chords[:n-1]
	}
	b.chords = append(b.chords, symbol{len(b.events), text})
}

// annotated passes over an annotation. In what we wrote ourselves those below a bar
// without notes are its words.
func (s *scanner) annotated(text string, where byte) {
	switch {
	case s.ours && where == '_':
		s.begin(s.i)
		s.v.current.under = append(s.v.current.under, strings.TrimSpace(text))
	case !s.ours && !s.v.jump(text):
		s.tell("annotations are left out, such as " + short(text))
	}
}

func short(text string) string {
	const most = 30
	if r := []rune(text); len(r) > most {
		text = string(r[:most]) + "..."
	}
	return `"` + text + `"`
}

var (
	// likeChord is what may be a chord, known or not: a root and what types are made
	// of, or the signs for none. Words such as Fine or Coda are none.
	likeChord = regexp.MustCompile(`^(?i:n\.?c\.?)$|^[A-H](?:es|is|s|#|b|♯|♭)?(?:maj|min|mi|ma|dim|aug|sus|add|alt|dom|omit|no|m|M|j|o|[-0-9+#b♯♭()^°øΔ△,. ]|\([^)]*\))*(?:/.*)?[;,.]*$`)
	// alternate is a second chord in parentheses, for print alone (4.18).
	alternate = regexp.MustCompile(`^(.+?)\s*\(([A-G][^()]*)\)$`)
	// overBass is a chord over a bass in letters of either case, with + for a sharp as
	// some old collections write it.
	overBass = regexp.MustCompile(`^(.+)/([A-Ga-g])((?:[#b♯♭+]|♮)*)$`)
)

func chordLike(text string) bool {
	text = raised(text)
	return len(text) < 60 && (likeChord.MatchString(strings.TrimSpace(strings.Trim(text, "()"))) || likeChord.MatchString(text))
}

// symbolOf reads a chord symbol. Its text stays where it is one as usual, or none
// that is known; else it is what was meant: D/F# for D/f+.
func symbolOf(at meter.Ticks, text string) song.Symbol {
	if s := song.Name(at, meant(text)); s.Known {
		return s
	}
	return song.Name(at, text)
}

// raised gives a root in small letters its capital, if more than the letter is there:
// alone it may be the minor chord of some countries.
func raised(text string) string {
	if len(text) < 2 || text[0] < 'a' || text[0] > 'g' {
		return text
	}
	if s := strings.ToUpper(text[:1]) + text[1:]; song.Name(0, withBass(s)).Known {
		return s
	}
	return text
}

// meant is the chord that a symbol means, as chord.Parse reads it.
func meant(text string) string {
	s := raised(strings.TrimSpace(text))
	if strings.HasPrefix(s, "(") && strings.HasSuffix(s, ")") {
		s = strings.TrimSpace(s[1 : len(s)-1])
	}
	s = strings.ReplaceAll(strings.TrimRight(s, ";,"), "♮", "")
	if _, err := chord.Parse(s); err == nil {
		return s
	}
	s = strings.TrimRight(s, ".")
	if m := alternate.FindStringSubmatch(s); m != nil {
		if _, err := chord.Parse(m[2]); err == nil {
			s = m[1]
		}
	}
	return strings.ReplaceAll(withBass(s), " ", "")
}

// withBass writes the bass as chord.Parse reads it.
func withBass(s string) string {
	if m := overBass.FindStringSubmatch(s); m != nil {
		return m[1] + "/" + strings.ToUpper(m[2]) + strings.ReplaceAll(m[3], "+", "#")
	}
	return s
}
