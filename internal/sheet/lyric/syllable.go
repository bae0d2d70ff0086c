package lyric

import (
	"strings"
	"unicode"
)

const vowels = "aeiouyàáâãäåæèéêëìíîïòóôõöøœùúûüýÿāēīōūąęőűůěаеёиоуыэюяієїαεηιουωάέήίόύώ"

func vowel(r rune) bool { return strings.ContainsRune(vowels, unicode.ToLower(r)) }

// syllables are the columns, from one on, where the syllables of a text begin. They
// are guessed from its letters, which is enough to count and to cut by.
func syllables(text string, from int) []int {
	var all []int
	var word []rune
	begin, col := 0, 0
	flush := func() {
		for _, at := range within(word) {
			if begin+at >= from {
				all = append(all, begin+at)
			}
		}
		word = nil
	}
	for _, r := range text {
		if unicode.Is(unicode.M, r) {
			continue
		}
		if unicode.IsLetter(r) || len(word) > 0 && (r == '\'' || r == '’') {
			if len(word) == 0 {
				begin = col
			}
			word = append(word, r)
		} else {
			flush()
		}
		col++
	}
	flush()
	return all
}

// within are the places in a word where its syllables begin.
func within(word []rune) []int {
	if len(word) == 0 {
		return nil
	}
	at := []int{0}
	last := -1 // the end of the vowels before
	for i := 0; i < len(word); i++ {
		if unicode.In(word[i], unicode.Han, unicode.Hiragana, unicode.Katakana) {
			if i > 0 {
				at = append(at, i)
			}
			continue
		}
		if !vowel(word[i]) || i == 0 && unicode.ToLower(word[i]) == 'y' && len(word) > 1 || i > 0 && unicode.ToLower(word[i-1]) == 'q' {
			continue
		}
		end := i + 1
		for end < len(word) && vowel(word[end]) && !strings.EqualFold(string(word[end:]), "ing") {
			end++
		}
		if last >= 0 && !silent(word, i, end) {
			at = append(at, cut(word, last, i))
		}
		last, i = end, end-1
	}
	return at
}

// silent tells an e that ends an English word and is not sung.
func silent(word []rune, i, end int) bool {
	rest := strings.ToLower(string(word[i:]))
	before := unicode.ToLower(word[i-1])
	switch rest {
	case "e":
		return before != 'l' || i > 1 && vowel(word[i-2])
	case "ed":
		return before != 't' && before != 'd'
	case "es":
		return !strings.ContainsRune("sxzhcg", before)
	}
	return false
}

// cut is where, between the vowels that end at last and those that begin at next, a
// syllable begins: before the last consonant, two that are one sound kept together.
func cut(word []rune, last, next int) int {
	if next-last < 2 {
		return last
	}
	pair := strings.ToLower(string(word[next-2 : next]))
	if strings.Contains(" th sh ch ph wh qu bl br cl cr dr fl fr gl gr pl pr tr kr kl ", " "+pair+" ") {
		return next - 2
	}
	return next - 1
}

// cutAt is where words are cut for a chord at a column: at the syllable that it stands
// over. In brackets a chord stands where it stands; over words, people are inexact.
func cutAt(text string, col, from int, exact bool) int {
	chars := []rune{}
	for _, r := range text {
		if !unicode.Is(unicode.M, r) {
			chars = append(chars, r)
		}
	}
	if col >= len(chars) {
		return len(chars)
	}
	for col < len(chars) && chars[col] == ' ' {
		col++
	}
	if exact || col == 0 || chars[col-1] == ' ' {
		return col
	}
	best := len(chars)
	for _, at := range append(wordStarts(chars), syllables(text, from)...) {
		if d, b := distance(at, col), distance(best, col); d < b || d == b && at < best {
			best = at
		}
	}
	for k := best; k > 0; k-- { // quotes belong to the word
		if r := chars[k-1]; r == ' ' {
			return k
		} else if unicode.IsLetter(r) || r == '-' {
			break
		}
	}
	return best
}

func wordStarts(chars []rune) []int {
	var all []int
	for i, r := range chars {
		if r != ' ' && (i == 0 || chars[i-1] == ' ') {
			all = append(all, i)
		}
	}
	return all
}

func distance(a, b int) int { return max(a-b, b-a) }
