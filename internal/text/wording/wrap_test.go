package wording

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWrapBreaksBetweenWords(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  string
	}{
		{"bass C, this is G", 17, "bass C, this is G"},
		{"bass C, this is G", 16, "bass C, this is|G"},
		{"bass C, this is G", 15, "bass C, this is|G"},
		{"bass C, this is G", 14, "bass C, this|is G"},
		{"  the   chord  ", 40, "the chord"},
		{"accompaniment of C", 5, "accompaniment|of C"},
		{"C accompaniment", 5, "C|accompaniment"},
		{"", 5, ""},
		{"vii° iiø7 V", 9, "vii° iiø7|V"}, // each sign takes one column
		{"琴 琴 琴", 5, "琴 琴|琴"},             // and each of these two
	} {
		assert.Equal(t, c.want, strings.Join(Wrap(c.text, c.width), "|"), "%q in %d", c.text, c.width)
	}
}
