package musicxml

import (
	"slices"
	"strings"
	"unicode"
)

// syllables cuts a word as it is sung: at its hyphens, and between its vowels as
// English spelling goes (common practice, no source; a singer is not misled by a
// cut that a dictionary has elsewhere). There is none where the word is hyphens
// alone.
func syllables(word string) []string {
	var all []string
	for _, part := range strings.Split(word, "-") {
		if part != "" {
			all = append(all, cutWord([]rune(part))...)
		}
	}
	return all
}

const vowels = "aeiouyäöüáéíóúàèìòùâêîôûåæø"

// pairs of consonants that stay together at the beginning of a syllable.
var pairs = strings.Fields("ch sh th ph wh bl br cl cr dr fl fr gl gr pl pr sc sk sl sm sn sp st sw tr tw qu kn")

func cutWord(word []rune) []string {
	var low []rune
	for _, r := range word {
		low = append(low, unicode.ToLower(r))
	}
	var nuclei [][2]int // from, to of each sounding group of vowels
	for i := 0; i < len(low); {
		if !isVowel(low, i) {
			i++
			continue
		}
		from := i
		for i < len(low) && isVowel(low, i) {
			i++
		}
		nuclei = append(nuclei, [2]int{from, i})
	}
	if n := len(nuclei); n > 1 && mute(low, nuclei[n-1]) {
		nuclei = nuclei[:n-1]
	}
	var all []string
	begin := 0
	for i := 1; i < len(nuclei); i++ {
		at := border(low, nuclei[i-1][1], nuclei[i][0])
		all = append(all, string(word[begin:at]))
		begin = at
	}
	return append(all, string(word[begin:]))
}

// isVowel counts y as one but at the beginning and before another vowel.
func isVowel(low []rune, i int) bool {
	if low[i] == 'y' && (i == 0 || i+1 < len(low) && strings.ContainsRune("aeiou", low[i+1])) || low[i] == 'u' && i > 0 && low[i-1] == 'q' {
		return false
	}
	return strings.ContainsRune(vowels, low[i])
}

// mute reports that the last vowels of a word are an e that is not spoken: home,
// loved, times; table and roses have theirs.
func mute(low []rune, last [2]int) bool {
	if last[1]-last[0] != 1 || low[last[0]] != 'e' || last[0] == 0 {
		return false
	}
	before := low[last[0]-1]
	end := strings.TrimRightFunc(string(low[last[1]:]), func(r rune) bool { return !unicode.IsLetter(r) })
	switch end {
	case "":
		return !(before == 'l' && last[0] > 1 && !isVowel(low, last[0]-2))
	case "d":
		return before != 't' && before != 'd'
	case "s":
		return !strings.ContainsRune("szxcgh", before)
	}
	return false
}

// border is where the next syllable begins, among the consonants from to to.
func border(low []rune, from, to int) int {
	n := to - from
	switch {
	case n <= 1:
		return from
	case slices.Contains(pairs, string(low[to-2:to])):
		return to - 2
	}
	return to - 1
}
