package lyric

import (
	"regexp"
	"strings"
	"unicode"
)

// verdict is how sure it is that a line is one of chords.
type verdict uint8

const (
	never  verdict = iota
	maybe          // as names, they are all words or letters, too: the lines around decide
	surely         //
)

// wordish are chord names that are words of songs.
var (
	wordish  = words("A Am a am La Si Mi Do Fa Re Sol")
	wordlike = words("As Es as es Des des Ges ges Ad ad Add add Go Do Co Bo Ho Eo Bess Diss Hiss Cess Fess")
)

// weak reports whether a chord name may as well be a word.
func weak(t token) bool {
	if t.deco == '[' {
		return false
	}
	return wordish[t.written] || wordlike[t.written] || t.written[0] >= 'a' && len(t.written) == 1
}

// judge says of the tokens of a line whether it is one of chords: the line decides,
// never the word.
func judge(all []token, text string) verdict {
	var names, strong, others, bars, wordy int
	depth := 0
	for _, t := range all {
		switch t.mark {
		case name:
			names++
			if wordlike[t.written] {
				wordy++
			}
			if !weak(t) {
				strong++
			}
		case bar, simile:
			bars++
		case other:
			depth += strings.Count(t.text, "(") - strings.Count(t.text, ")")
			if depth == 0 && !strings.HasSuffix(t.text, ")") {
				others++
			}
		}
	}
	if others > 0 { // among words they are words
		names, others = names-wordy, others+wordy
	}
	switch {
	case names == 0:
		if bars > 2 && others == 0 && strings.Contains(text, "%") {
			return surely
		}
		return never
	case others == 0 && (strong > 0 || bars > 0):
		return surely
	case others == 0:
		return maybe
	case strong > 0 && names >= 2*others && names >= 2 && (bars > 0 || strings.Contains(strings.TrimLeft(text, " "), "  ")):
		return surely
	}
	return never
}

// inline finds what stands in brackets, and so may be a chord, inside words.
var inline = regexp.MustCompile(`\[([^\[\]]{0,60})\]|\(([A-HN][^()\s]{0,12}(?:\([^()\s]{1,6}\))?)\)|\{([A-Ha-h][^{}:\s]{0,10})\}|<([A-H][^<>\s]{0,10})>|\*\*([A-HN][^*\s]{0,10})\*\*`)

// cutInline takes chords in brackets out of a line of words. It is not ok where no
// chord stands in brackets, or nothing but chords.
func (d dialect) cutInline(text string) (rest string, chords []token, ok bool) {
	var b strings.Builder
	from, sure := 0, false
	for _, m := range inline.FindAllStringSubmatchIndex(text, -1) {
		inner, square := "", m[2] >= 0
		for g := 2; g < len(m); g += 2 {
			if m[g] >= 0 {
				inner = text[m[g]:m[g+1]]
			}
		}
		toks := d.tokens(inner)
		all := len(toks) > 0
		for _, t := range toks {
			all = all && t.mark != other
		}
		if !all && !square {
			continue
		}
		b.WriteString(text[from:m[0]])
		from = m[1]
		col := columns(b.String())
		for _, t := range toks {
			if all && t.mark != sign {
				t.col, t.deco, t.in = col, 0, 0
				chords = append(chords, t)
				sure = sure || t.mark == name && (square || !wordlike[t.written])
			}
		}
	}
	b.WriteString(text[from:])
	rest = strings.TrimRight(b.String(), " ")
	if !sure || !strings.ContainsFunc(rest, unicode.IsLetter) {
		return text, nil, false
	}
	return rest, chords, true
}
