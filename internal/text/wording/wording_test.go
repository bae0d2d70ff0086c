package wording

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSentences(t *testing.T) {
	assert.Equal(t, []string{"", "C", "C or F", "C, F or G"},
		[]string{Join(nil, "or"), Join([]string{"C"}, "or"), Join([]string{"C", "F"}, "or"), Join([]string{"C", "F", "G"}, "or")})
	assert.Equal(t, []string{"0 bars", "1 bar", "2 bars"}, []string{Count(0, "bar"), Count(1, "bar"), Count(2, "bar")})
	assert.Equal(t, []string{"0 times", "once", "twice", "3 times"}, []string{Times(0), Times(1), Times(2), Times(3)})
}

func TestNamesAreRead(t *testing.T) {
	var n uint8
	assert.NoError(t, Named(&n, []string{"left", "right"}, []byte("right"), "hand"))
	assert.Equal(t, uint8(1), n)
	assert.EqualError(t, Named(&n, []string{"left", "right"}, []byte("foot"), "hand"), `hand "foot" is not one of ["left" "right"]`)
}
