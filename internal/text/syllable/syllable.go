// Package syllable divides words into syllables, as they are written under notes.
// It knows no dictionary: it goes by vowels, which is right for most words of
// songs and never loses a letter.
package syllable

import (
	"slices"
	"strings"
	"unicode"
)

// Split divides a word, with its signs, into syllables that joined are the word.
// A hyphen in it divides it, too, and stays at the end of its part.
func Split(word string) []string {
	var all []string
	for _, part := range strings.SplitAfter(word, "-") {
		if part != "" {
			all = append(all, split([]rune(part))...)
		}
	}
	return all
}

// Count is how many syllables a word seems to have, 1 at least.
func Count(word string) int { return max(1, len(Split(word))) }

const vowels = "aeiouyáàâäãåéèêëíìîïóòôöõúùûüýæœø"

func isVowel(r rune) bool { return strings.ContainsRune(vowels, unicode.ToLower(r)) }

// nucleus is a run of vowels that makes a syllable.
type nucleus struct{ from, to int }

func split(word []rune) []string {
	all := nuclei(word)
	if len(all) < 2 {
		return []string{string(word)}
	}
	var parts []string
	from := 0
	for i := 1; i < len(all); i++ {
		cut := cutBetween(word, all[i-1].to, all[i].from)
		parts = append(parts, string(word[from:cut]))
		from = cut
	}
	return append(parts, string(word[from:]))
}

// nuclei finds the syllables' vowels, silent ones left out. A y before a vowel,
// but for one after a consonant, and the u of qu are none.
func nuclei(word []rune) []nucleus {
	var all []nucleus
	for i := 0; i < len(word); {
		if !sounds(word, i) {
			i++
			continue
		}
		from := i
		for i < len(word) && sounds(word, i) && !(i > from && parted(word, i)) {
			i++
		}
		all = append(all, nucleus{from, i})
	}
	if n := len(all); n > 1 && silent(word, all[n-1]) {
		all = all[:n-1]
	}
	return all
}

// sounds reports a letter that is a vowel where it stands.
func sounds(word []rune, i int) bool {
	if !isVowel(word[i]) {
		return false
	}
	r := unicode.ToLower(word[i])
	next := i+1 < len(word) && isVowel(word[i+1])
	switch {
	case r == 'y' && next && (i == 0 || isVowel(word[i-1])):
		return false
	case r == 'u' && next && i > 0 && unicode.ToLower(word[i-1]) == 'q':
		return false
	}
	return true
}

// parted are pairs of vowels that are two syllables.
var partedPairs = []string{"eo", "ia", "io", "iu", "ua", "uo", "yi", "oe"}

// parted reports a vowel that does not belong to the one before. After c, s, t
// and g an i is mostly no syllable of its own: "nation", "Susanna's special".
func parted(word []rune, i int) bool {
	pair := strings.ToLower(string(word[i-1 : i+1]))
	if !slices.Contains(partedPairs, pair) {
		return strings.HasPrefix(strings.ToLower(string(word[i:])), "ing") // going, being
	}
	if i < 2 {
		return true
	}
	before := unicode.ToLower(word[i-2])
	if pair == "oe" || pair == "eo" && before == 'p' { // toe, people
		return false
	}
	return !strings.ContainsRune("cstgx", before) || pair[0] != 'i' && before != 'g'
}

// silent reports a last e that is not spoken, as in "love", "lived", "times"; it
// is spoken in "little", "baffled", "wanted", "roses" and where it is accented.
func silent(word []rune, last nucleus) bool {
	if last.to-last.from != 1 || unicode.ToLower(word[last.from]) != 'e' || last.from < 2 {
		return false
	}
	before, earlier := unicode.ToLower(word[last.from-1]), unicode.ToLower(word[last.from-2])
	if isVowel(before) && before != 'y' {
		return false
	}
	tail := strings.ToLower(strings.TrimRightFunc(string(word[last.to:]), func(r rune) bool { return !unicode.IsLetter(r) }))
	switch tail {
	case "", "'s", "’s":
		return before != 'l' || isVowel(earlier)
	case "d":
		return before != 't' && before != 'd' && (before != 'l' || isVowel(earlier) || strings.ContainsRune("lr", earlier))
	case "s":
		return !strings.ContainsRune("cgszx", before) && !(before == 'h' && strings.ContainsRune("cs", earlier)) && (before != 'l' || isVowel(earlier))
	}
	return false
}

// joined are consonants that are not divided.
var joined = []string{"th", "sh", "ch", "ph", "wh", "gh", "bl", "br", "cl", "cr", "dr", "fl", "fr", "gl", "gr", "pl", "pr", "tr", "qu"}

// cutBetween is where a word is cut between two vowels: before a lone consonant or
// a joined pair, else after the first. The last ones of "little" go along.
func cutBetween(word []rune, from, to int) int {
	n := to - from
	switch {
	case n <= 1:
		return from
	case slices.Contains(joined, strings.ToLower(string(word[to-2:to]))):
		return to - 2
	case n == 2:
		return from + 1
	case strings.ContainsRune("'’", word[from]):
		return from
	}
	if isLE(word, to) {
		return to - 2
	}
	return to - 1
}

// isLE reports a word that ends in a consonant and le.
func isLE(word []rune, e int) bool {
	return unicode.ToLower(word[e]) == 'e' && unicode.ToLower(word[e-1]) == 'l' && (e+1 == len(word) || !unicode.IsLetter(word[e+1]))
}
