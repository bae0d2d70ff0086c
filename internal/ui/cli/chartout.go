package cli

import (
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"undersong/internal/listen/transcribe"
)

// writeChart writes the chords heard in a file as a chart.
func (o *hearOptions) writeChart(segments []transcribe.Segment, g transcribe.Grid) error {
	c := transcribe.Chart(titleOf(o.file), segments, g)
	if c == nil {
		return errorf("%s: no bars were found in it, so there is no chart to write; without --chart-out its chords are still named", o.file)
	}
	if sameFile(o.file, o.chartOut) {
		return usagef("--chart-out %s is the recording itself; give the chart a name of its own", o.chartOut)
	}
	return save("the chart", o.chartOut, c.Text(), o.force)
}

// titleOf is the file's name without its end, as a chart's title: one line of
// printable text.
func titleOf(file string) string {
	name := filepath.Base(file)
	name = strings.TrimSuffix(name, filepath.Ext(name))
	printable := strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) && r != unicode.ReplacementChar {
			return r
		}
		return ' '
	}, name)
	return strings.Join(strings.Fields(printable), " ")
}

func sameFile(a, b string) bool {
	first, err1 := os.Stat(a)
	second, err2 := os.Stat(b)
	return err1 == nil && err2 == nil && os.SameFile(first, second)
}
