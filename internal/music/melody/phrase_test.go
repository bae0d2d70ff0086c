package melody

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
)

// sing lays notes of so many quarters one after another; a negative length is a
// rest.
func sing(quarters ...int) []Sung {
	var all []Sung
	at := meter.Ticks(0)
	for _, q := range quarters {
		if q < 0 {
			at += meter.Ticks(-q) * meter.Quarter
			continue
		}
		d := meter.Ticks(q) * meter.Quarter
		all = append(all, Sung{At: at, Dur: d})
		at += d
	}
	return all
}

func lastNotes(ends []bool) []int {
	var all []int
	for i, e := range ends {
		if e {
			all = append(all, i+1)
		}
	}
	return all
}

func TestPhrasesEndWithGaps(t *testing.T) {
	for name, c := range map[string]struct {
		quarters []int
		want     []int
	}{
		"a long note":              {[]int{1, 1, 1, 1, 1, 1, 1, 4, 1, 1, 1, 1, 1, 1, 1, 4}, []int{8, 16}},
		"a rest":                   {[]int{1, 1, 1, 1, 1, 1, 1, -2, 1, 1, 1, 1, 1, 1, 2}, []int{7, 14}},
		"the longer of two gaps":   {[]int{1, 1, 2, 1, 1, 1, 1, 4, 1, 1, 1, 1, 1, 1, 1, 4}, []int{8, 16}},
		"nothing to go by":         {[]int{1, 1, 1, 1, 1, 1, 1, 1}, []int{8}},
		"a long note right before": {[]int{4, 1, 1, 1, 1, 1, 1, 1, 4}, []int{9}},
		"one note":                 {[]int{1}, []int{1}},
	} {
		assert.Equal(t, c.want, lastNotes(Phrases(sing(c.quarters...))), name)
	}
	assert.Empty(t, Phrases(nil))
}

func TestLineEndsSpeakForPhraseEnds(t *testing.T) {
	even := sing(1, 1, 1, 1, 1, 1, 1, 2, 1, 1, 1, 1, 1, 1, 1, 2)
	assert.Equal(t, []int{8, 16}, lastNotes(Phrases(even)))
	even[6].LineEnd = true
	assert.Equal(t, []int{7, 16}, lastNotes(Phrases(even)))
}

func TestPhrasesOfALongTune(t *testing.T) {
	var quarters []int
	for range 20000 {
		quarters = append(quarters, 1, 1, 1, 1, 2)
	}
	ends := lastNotes(Phrases(sing(quarters...)))
	before := 0
	for _, e := range ends {
		assert.LessOrEqual(t, e-before, longestPhrase)
		before = e
	}
	assert.Equal(t, 100000, before)
}
