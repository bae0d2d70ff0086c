package source

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadFileTakesNoMoreThanAsked(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.chart")
	require.NoError(t, os.WriteFile(path, []byte("key: C"), 0o600))
	text, err := ReadFile(path, 10)
	require.NoError(t, err)
	assert.Equal(t, "key: C", string(text))
	text, err = ReadFile(path, 3)
	require.NoError(t, err)
	assert.Equal(t, "key:", string(text))
	text, err = ReadFile("/dev/zero", 100)
	require.NoError(t, err)
	assert.Len(t, text, 101)
}

func TestReadFileWaitsForNobody(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe.chart")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	text, err := ReadFile(pipe, 10)
	require.NoError(t, err)
	assert.Empty(t, text)

	_, err = ReadFile(t.TempDir(), 10)
	assert.ErrorIs(t, err, syscall.EISDIR)
	_, err = ReadFile(pipe+"x", 10)
	assert.ErrorIs(t, err, os.ErrNotExist)
}

func TestReadFileReadsWhatIsPipedIn(t *testing.T) {
	r, w, err := os.Pipe()
	require.NoError(t, err)
	defer r.Close()
	_, err = w.WriteString("key: C")
	require.NoError(t, err)
	require.NoError(t, w.Close())
	path := fmt.Sprintf("/dev/fd/%d", r.Fd())
	if _, err := os.Stat(path); err != nil {
		t.Skip("this system shows no open files in /dev/fd")
	}
	text, err := ReadFile(path, 100)
	require.NoError(t, err)
	assert.Equal(t, "key: C", string(text))
}

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
