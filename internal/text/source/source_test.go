package source

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestErrorText(t *testing.T) {
	e := &Error{File: "a.chart", Line: 3, Col: 5, Text: "| C\tH |", Reason: "no chord", Hint: "write C"}
	assert.Equal(t, "a.chart:3:5: no chord; write C", e.Error())
	assert.Equal(t, e.Error()+"\n    | C\tH |\n       \t^", e.Show())
	assert.Equal(t, "a.chart: empty", (&Error{File: "a.chart", Reason: "empty"}).Error())
	assert.Equal(t, "a.chart: empty", (&Error{File: "a.chart", Reason: "empty"}).Show())
	assert.Equal(t, "2: no", (&Error{Line: 2, Reason: "no"}).Error())
}

func TestShowKeepsLongLinesShort(t *testing.T) {
	long := make([]byte, 5000)
	for i := range long {
		long[i] = 'x'
	}
	e := &Error{File: "f", Line: 1, Col: 3000, Text: string(long)}
	assert.Less(t, len(e.Show()), 300)
	e.Col = 9000
	assert.NotPanics(t, func() { e.Show() })
}

func TestLinesColumnsWords(t *testing.T) {
	assert.Equal(t, []string{"a", "b", ""}, Lines("\uFEFFa\r\nb\n"))
	assert.Equal(t, 3, Column("é|x", 3))
	assert.Equal(t, []Word{{"ab", 1}, {"c", 5}}, Words(" ab \tc"))
	assert.Empty(t, Words("  "))
}

func TestNearestWord(t *testing.T) {
	names := []string{"meter", "tempo", "title"}
	assert.Equal(t, "meter", Nearest("metre", names))
	assert.Equal(t, "tempo", Nearest("Tempo", names))
	assert.Equal(t, "", Nearest("zzzzzz", names))
}
