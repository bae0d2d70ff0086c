package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"undersong/internal/intake/sheets"
	"undersong/internal/music/meter"
	"undersong/internal/session/demo"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
	"undersong/internal/text/file"
	"undersong/internal/text/shell"
	"undersong/internal/text/visible"
)

// readSheet reads a song sheet of any kind. The tune of the demo needs no file.
func readSheet(path string, w song.Wish) (*song.Song, error) {
	s, err := file.Parse(path, sheets.MaxBytes, func(src []byte, name string) (*song.Song, error) { return sheets.Read(src, name, w) })
	if path == demo.ChartName && errors.Is(err, fs.ErrNotExist) {
		c, err := demo.Chart()
		if err != nil {
			return nil, err
		}
		return song.FromChart(c), nil
	}
	return s, err
}

// chartOf reads a song sheet of any kind as a chart, and tells what was assumed.
func (a *App) chartOf(path string) (*chart.Chart, error) {
	s, err := readSheet(path, song.Wish{})
	if err != nil {
		return nil, err
	}
	c, told, err := s.ToChart(path)
	told = append(s.Notices, told...)
	a.tellNotices(path, told, fewNotices)
	if len(s.Words) > 0 && len(told) > 0 {
		fmt.Fprintf(a.Err, "%s: to correct it, as with another meter: undersong chart %s --meter 3/4 --write %s\n",
			visible.Name(path), shell.File(path), shell.File(strings.TrimSuffix(path, filepath.Ext(path))+".chart"))
	}
	return c, err
}

// fewNotices are as many as are told before something is played.
const fewNotices = 4

// tellNotices writes what was assumed of a sheet, or left out, up to most of them.
func (a *App) tellNotices(path string, told []song.Notice, most int) {
	for i, n := range told {
		if i == most {
			fmt.Fprintf(a.Err, "%s: and %d more; undersong chart %s tells all\n", visible.Name(path), len(told)-i, shell.File(path))
			return
		}
		fmt.Fprintf(a.Err, "%s: %s\n", visible.Name(path), visible.Name(n.String()))
	}
}

// sheetFlags say what a sheet leaves open.
type sheetFlags struct{ meter, tempo, barsPerChord, tune string }

func (o *sheetFlags) bind(f *pflag.FlagSet) {
	f.StringVar(&o.meter, "meter", "", "the `METER` of a lyric sheet, such as 3/4; without it 4/4")
	f.StringVar(&o.tempo, "tempo", "", "the sheet's tempo, in beats a minute (`BPM`)")
	f.StringVar(&o.barsPerChord, "bars-per-chord", "", "how many `BARS` each chord of a lyric sheet lasts, such as 1, 2 or 0.5")
	f.StringVar(&o.tune, "tune", "", "which tune of a file with several: its `NUMBER` or title")
}

// mostBarsPerChord is more than any song has.
const mostBarsPerChord = 16

func (o *sheetFlags) wish() (w song.Wish, err error) {
	w.Tune = o.tune
	if o.meter != "" {
		if w.Meter, err = meter.Parse(o.meter); err != nil {
			return w, usagef("--meter: %w", err)
		}
	}
	if o.tempo != "" {
		if w.Tempo, err = meter.ParseTempo(o.tempo); err != nil {
			return w, usagef("--tempo: %w", err)
		}
	}
	if o.barsPerChord != "" {
		w.BarsPerChord, err = strconv.ParseFloat(o.barsPerChord, 64)
		if err != nil || !(w.BarsPerChord == 0.5 || w.BarsPerChord == 0.25 || w.BarsPerChord >= 1 && w.BarsPerChord <= mostBarsPerChord && w.BarsPerChord == float64(int(w.BarsPerChord))) {
			return w, usagef("--bars-per-chord %q is not 0.25, 0.5 or a whole number from 1 to %d", o.barsPerChord, mostBarsPerChord)
		}
	}
	return w, nil
}
