package cli

import (
	"errors"
	"io/fs"
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
	err := writeNew(o.chartOut, c.Text(), o.force)
	switch {
	case errors.Is(err, fs.ErrExist):
		return errorf("%s is there already; --force writes over it", o.chartOut)
	case errors.Is(err, fs.ErrNotExist):
		return errorf("the chart cannot be written: there is no folder %s", filepath.Dir(o.chartOut))
	case err != nil:
		return errorf("the chart cannot be written: %w", err)
	}
	return nil
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

// writeNew writes a file that is not there yet or, with force, in place of one
// that is: as a whole, so that the old one is not lost when the disk is full.
func writeNew(path, text string, force bool) error {
	old, err := os.Stat(path)
	switch {
	case err != nil:
		return create(path, text)
	case !force:
		return fs.ErrExist
	case old.Mode().IsRegular():
		return errors.Join(writeWhole(path, text), os.Chmod(path, old.Mode().Perm()))
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	return fill(f, text)
}

func create(path, text string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	err = fill(f, text)
	if err != nil {
		_ = os.Remove(path) // half a chart is none
	}
	return err
}

func fill(f *os.File, text string) error {
	_, err := f.WriteString(text)
	return errors.Join(err, f.Close())
}
