package lyric

import (
	"regexp"
	"strings"

	"undersong/internal/music/chord"
	"undersong/internal/sheet/song"
)

// dialect is how a sheet names its chords.
type dialect struct {
	german bool // H is B natural, and B is B flat
	lower  bool // small letters are names at all
	minor  bool // small letters are minor chords
	sung   bool // Do is C, as in Romance languages
}

// syllable is a note named by its syllable, in a name or its bass.
var (
	syllable = regexp.MustCompile(`^(Do|DO|R[eé]|RE|Mi|MI|Fa|FA|Sol|SOL|La|LA|Si|SI)([#b♯♭m]|[^a-z]|maj|min|dim|aug|sus|add|$)`)
	letterOf = strings.NewReplacer("DO", "C", "RE", "D", "RÉ", "D", "MI", "E", "FA", "F", "SOL", "G", "LA", "A", "SI", "B")
)

// lettered writes a name of syllables in letters.
func lettered(text string) string {
	parts := strings.Split(text, "/")
	for i, p := range parts {
		if m := syllable.FindStringSubmatch(p); m != nil {
			parts[i] = letterOf.Replace(strings.ToUpper(m[1])) + p[len(m[1]):]
		} else if p != "" && p[0] >= 'A' && p[0] <= 'H' {
			parts[i] = "?" // letters are no names there
		}
	}
	return strings.Join(parts, "/")
}

// form is the shape of a chord name behind its root, with or without our knowing it.
var form = regexp.MustCompile(`^(?:maj|Maj|MAJ|min|Min|mi|ma|dim|Dim|aug|Aug|m|M|j|-|–|\+|o|°|º|ø|Ø|Δ|△|\^)?` +
	`(?:(?:6/9|7/4|4/7|2/4|11|13|69|[24-79])|(?:maj|Maj|M|Δ|j|dim|aug)[79]?|[sS]us(?:2/4|24|[249])?|add[#b♯♭]?(?:[24679]|11|13)|` +
	`[#b♯♭+-](?:5|9|11|13)|\+|alt|(?:no|omit)[35]|[(),])*$`)

// ends are the alterations of a root or a bass, longest first, and what they are here.
var ends = []struct{ written, name string }{
	{"##", "##"}, {"bb", "bb"}, {"iss", "#"}, {"ess", "b"}, {"is", "#"}, {"es", "b"}, {"♯", "#"}, {"♭", "b"}, {"#", "#"}, {"b", "b"}, {"s", "b"}, {"", ""},
}

var ascii = strings.NewReplacer("♯", "#", "♭", "b")

// read gives the name that a chord has here, such as "Bb7" for "B7" in German, and
// reports whether the text has the form of a chord name.
func (d dialect) read(text string) (name string, ok bool) {
	switch strings.ToUpper(strings.Trim(text, "()")) {
	case "N.C.", "NC", "N.C", "N.C.,", "TACET":
		return "N.C.", true
	}
	text = strings.NewReplacer(`\`, "/", "∆", "Δ").Replace(text)
	if d.sung {
		text = lettered(text)
	}
	for _, cut := range []int{strings.LastIndexByte(text, '/'), -1} {
		body, bass := text, ""
		if cut > 0 {
			body = text[:cut]
			if bass, ok = d.note(text[cut+1:]); !ok {
				continue
			}
			bass = "/" + strings.ToUpper(bass[:1]) + bass[1:]
		}
		if name, ok = d.body(body); ok {
			return ascii.Replace(name) + bass, true
		}
	}
	return "", false
}

// note reads a whole note name; it stays small where it is.
func (d dialect) note(text string) (string, bool) {
	for _, e := range ends {
		if root, ok := strings.CutSuffix(text, e.written); ok && len(root) == 1 {
			return d.root(root, e.written, e.name)
		}
	}
	return "", false
}

func (d dialect) root(letter, written, end string) (string, bool) {
	up := strings.ToUpper(letter)
	if up < "A" || up > "H" {
		return "", false
	}
	if written == "s" && up != "A" && up != "E" || written == "es" && strings.Contains("AE", up) {
		return "", false
	}
	small := up != letter
	switch {
	case up == "H":
		up = "B"
	case up == "B" && d.german && end == "":
		end = "b"
	}
	if small {
		up = strings.ToLower(up)
	}
	return up + end, true
}

func (d dialect) body(text string) (string, bool) {
	if text == "" {
		return "", false
	}
	for _, e := range ends {
		rest, ok := strings.CutPrefix(text[1:], e.written)
		if !ok || !form.MatchString(rest) || strings.Count(rest, "(") != strings.Count(rest, ")") {
			continue
		}
		root, ok := d.root(text[:1], e.written, e.name)
		if !ok {
			continue
		}
		big := strings.ToUpper(root[:1]) + root[1:]
		if big == root {
			return big + rest, true
		}
		if !d.lower {
			return "", false
		}
		if d.minor && !minorForm.MatchString(rest) {
			return big + "m" + rest, true
		}
		return big + rest, true
	}
	return "", false
}

// minorForm begins what a small letter need not make minor: it says of itself that it
// is minor, or it has no third.
var minorForm = regexp.MustCompile(`^(?:m|-|dim|aug|\+|o|°|º|ø|Ø|sus|5|M)`)

// mended are spellings of chord types that the trade knows by others.
var mended = strings.NewReplacer("Maj", "maj", "MAJ", "maj", "Min", "m", "Dim", "dim", "Aug", "aug", "Sus", "sus",
	"º", "°", "Ø", "ø", "–", "-", "7/4", "7sus4", "4/7", "7sus4", ",", "")

var sus4 = regexp.MustCompile(`^([A-G][#b]?)4(/.*)?$`)

// symbol is a name as read as the sheet has it, and its chord where it is known.
func symbol(name string) song.Symbol {
	s := song.Name(0, name)
	if !s.Known {
		name = sus4.ReplaceAllString(name, "${1}sus4$2")
		if c, err := chord.Parse(mended.Replace(name)); err == nil {
			s.Chord, s.Known = c, true
		}
	}
	return s
}
