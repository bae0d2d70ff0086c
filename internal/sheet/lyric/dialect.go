package lyric

import (
	"regexp"
	"strings"

	"undersong/internal/music/pitch"
)

// evidence is what a sheet shows of how it names chords, by counts of names.
type evidence struct {
	h, endings, bes        int // German: roots H; names in is, es; Dutch: Bes
	bigMajor, bigMinor     int // capitals with and without an m
	smallPlain, smallMinor int // small letters without and with an m
	plainB                 int
	fifths, others         int // places of the other roots on the line of fifths, their sum and number
}

// speech finds the dialect of a sheet.
func speech(rows []row) dialect {
	var e evidence
	wide := dialect{lower: true}
	for _, r := range rows {
		for _, m := range inline.FindAllStringSubmatch(r.text, -1) {
			for _, inner := range m[1:] {
				if toks := wide.tokens(inner); judge(toks, inner) != never && !strings.Contains(inner, "  ") {
					e.add(toks)
				}
			}
		}
		toks := wide.tokens(r.text)
		if !tab.MatchString(r.text) && judge(toks, r.text) == surely {
			e.add(toks)
		}
	}
	if e.bigMajor+e.bigMinor == 0 && sung(rows) {
		return dialect{sung: true}
	}
	d := dialect{german: e.german()}
	d.lower = e.smallPlain+e.smallMinor > 0
	d.minor = e.bigMajor > 0 && e.smallPlain >= e.bigMinor
	return d
}

// sung reports whether lines of a sheet without names in letters are names in
// syllables: two that differ, set apart or in brackets.
func sung(rows []row) bool {
	d, seen := dialect{sung: true}, map[string]bool{}
	note := func(text string) {
		for _, t := range d.tokens(text) {
			if t.mark == name {
				seen[t.text] = true
			}
		}
	}
	for _, r := range rows {
		for _, m := range square.FindAllStringSubmatch(r.text, -1) {
			note(m[1])
		}
		toks := d.tokens(r.text)
		if judge(toks, r.text) != never && (len(toks) == 1 || strings.Contains(strings.TrimSpace(r.text), "  ")) {
			note(r.text)
		}
	}
	return len(seen) > 1
}

var square = regexp.MustCompile(`\[([^\[\]]{1,12})\]`)

func (e *evidence) add(toks []token) {
	for _, t := range toks {
		if t.mark != name || t.text == "N.C." || strings.HasSuffix(t.written, "o") {
			continue
		}
		root, w := t.written[:1], t.written
		minor := minorForm.MatchString(w[1:]) && !strings.HasPrefix(w[1:], "maj")
		switch big := root < "a"; {
		case big && minor:
			e.bigMinor++
		case big:
			e.bigMajor++
		case minor:
			e.smallMinor++
		default:
			e.smallPlain++
		}
		e.country(t, strings.ToUpper(root), w[1:])
	}
}

// country counts what tells German and Dutch names.
func (e *evidence) country(t token, root, rest string) {
	n, _, _ := pitch.CutNote(t.text)
	switch {
	case root == "H":
		e.h++
	case root == "B" && strings.HasPrefix(rest, "es"):
		e.bes++
	case root == "B" && n.Alter == 0:
		e.plainB++
		return
	case strings.HasPrefix(rest, "is"), strings.HasPrefix(rest, "es"), strings.HasPrefix(rest, "s") && !strings.HasPrefix(rest, "sus"):
		e.endings++
	}
	e.fifths += n.Fifths()
	e.others++
}

// german is true where B is B flat: where H is used, or where names end in is and es
// and the other chords stand nearer to B flat.
func (e *evidence) german() bool {
	switch {
	case e.h > 0:
		return true
	case e.bes > 0 || e.endings == 0 || e.others == 0:
		return false
	}
	const flat, natural = -2, 5 // on the line of fifths
	return 2*e.fifths < (flat+natural)*e.others
}
