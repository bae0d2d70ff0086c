package lyric

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/song"
	"undersong/internal/test/golden"
)

// outline is what a sheet was read to be, for people to read.
func outline(s *song.Song) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s; by %s; %s; %s; %g\n", s.Title, s.By, s.Key, s.Meter, float64(s.Tempo))
	for _, sec := range s.Sections {
		fmt.Fprintf(&b, "\n[%s]\n", sec.Name)
		for _, bar := range sec.Bars {
			b.WriteString(barOutline(bar) + "\n")
		}
	}
	fmt.Fprintf(&b, "\n%d bars are played\n", len(s.Order))
	for _, n := range s.Notices {
		fmt.Fprintln(&b, "-", n)
	}
	return b.String()
}

func barOutline(bar song.Bar) string {
	line := "|"
	if bar.Opens {
		line += ":"
	}
	for _, c := range bar.Chords {
		line += fmt.Sprintf(" %s", c.Text)
		if c.At > 0 {
			line += fmt.Sprintf("@%g", float64(c.At)/960)
		}
	}
	if bar.Simile {
		line += " %"
	}
	if len(bar.Lyrics) > 0 {
		line = fmt.Sprintf("%-16s%s", line, bar.Lyrics[0])
	}
	if bar.Closes {
		line += fmt.Sprintf(" :| x%d", bar.Times)
	}
	if bar.Breaks {
		line += " /"
	}
	return line
}

func TestOutlines(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txt")
	require.NoError(t, err)
	for _, f := range files {
		s, err := Read(readFile(t, filepath.Base(f)), f, song.Wish{})
		require.NoError(t, err, f)
		golden.Equal(t, strings.TrimSuffix(filepath.Base(f), ".txt")+".outline", outline(s))
	}
}
