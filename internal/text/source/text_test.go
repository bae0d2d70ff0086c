package source

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestUnreadable(t *testing.T) {
	for _, c := range []struct {
		text      string
		line, col int
		reason    string
	}{
		{"key: C\n\tété\r\n", 0, 0, ""},
		{"\uFEFFkey", 0, 0, ""},
		{"ét\x00", 1, 3, "this is not text: it holds the control character U+0000"},
		{"\uFEFFa\r\nb\rc\x1b[2J", 3, 2, "this is not text: it holds the control character U+001B"},
		{"a\n\xff", 2, 1, "this is not UTF-8 text"},
	} {
		line, col, reason := Unreadable([]byte(c.text))
		assert.Equal(t, c.line, line, "%q", c.text)
		assert.Equal(t, c.col, col, "%q", c.text)
		assert.Equal(t, c.reason, reason, "%q", c.text)
	}
}

func TestBriefMessages(t *testing.T) {
	assert.Equal(t, "no chord", Brief("no chord"))
	page := "chord " + strings.Repeat("é", 100000) + " begins with a letter"
	short := Brief(page)
	assert.Len(t, []rune(short), briefHead+briefTail+3)
	assert.True(t, strings.HasPrefix(short, "chord é"))
	assert.True(t, strings.HasSuffix(short, "é begins with a letter"))
	assert.Less(t, len((&Error{Reason: page, Hint: page}).Error()), 2500)
}

func FuzzUnreadable(f *testing.F) {
	f.Add([]byte("a\r\nb\rc\x1b"))
	f.Add([]byte("\xef\xbb\xbf\xff"))
	f.Fuzz(func(t *testing.T, src []byte) {
		line, col, reason := Unreadable(src)
		lines := Lines(string(src))
		if reason == "" {
			require.Zero(t, line+col)
			return
		}
		require.True(t, line >= 1 && line <= len(lines))
		require.True(t, col >= 1 && col <= 1+len([]rune(lines[line-1])))
	})
}
