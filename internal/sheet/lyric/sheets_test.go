package lyric

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/song"
)

// bracketed writes the words of a song with its chords in brackets.
func bracketed(s *song.Song) string {
	var b strings.Builder
	for _, w := range s.Words {
		from := 0
		for _, c := range w.Chords {
			to := max(from, offset(w.Text, c.Column))
			b.WriteString(w.Text[from:to] + "[" + c.Symbol + "]")
			from = to
		}
		b.WriteString(w.Text[from:] + "\n")
	}
	return b.String()
}

func readFile(t *testing.T, name string) []byte {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("testdata", name))
	require.NoError(t, err)
	return src
}

// The truth beside each sheet was written by hand, before the sheet was laid out.
func TestChordsStandOverTheirSyllables(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		name := filepath.Base(f)
		s, err := Read(readFile(t, name), name, song.Wish{})
		if assert.NoError(t, err, name) {
			assert.Equal(t, string(readFile(t, strings.TrimSuffix(name, ".txt")+".truth")), bracketed(s), name)
		}
	}
}
