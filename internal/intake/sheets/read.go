package sheets

import (
	"fmt"

	"undersong/internal/intake/miditune"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/abc"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/lyric"
	"undersong/internal/sheet/musicxml"
	"undersong/internal/sheet/song"
	"undersong/internal/text/source"
)

// MaxBytes is the largest file that is read: a hundred pages of music.
const MaxBytes = 16 << 20

// Read reads a sheet of any kind. Errors are *source.Error or source.Errors.
func Read(src []byte, file string, w song.Wish) (*song.Song, error) {
	if len(src) > MaxBytes {
		return nil, &source.Error{File: file, Line: 1, Col: 1, Reason: "the file is larger than 16 MiB", Hint: "a song sheet is a page or a few of text; is this the right file?"}
	}
	if err := noSheet(src, file); err != nil {
		return nil, err
	}
	kind := KindOf(src, file)
	s, err := readers[kind](src, file, w)
	if err != nil {
		return nil, err
	}
	s.Notices = append(s.Notices, inVain(kind, s, w)...)
	if w.Tempo > 0 {
		s.Tempo = w.Tempo
	}
	return s, nil
}

// inVain tells which wishes a sheet leaves no room for.
func inVain(k Kind, s *song.Song, w song.Wish) (told []song.Notice) {
	tell := func(format string, args ...any) {
		told = append(told, song.Notice{Text: fmt.Sprintf(format, args...)})
	}
	if k != Lyrics && w.Meter != (meter.Meter{}) && w.Meter != s.Meter {
		tell("--meter %s is for lyric sheets; %s says its own, here %s", w.Meter, k, s.Meter)
	}
	if k != Lyrics && w.BarsPerChord > 0 {
		tell("--bars-per-chord is for lyric sheets; %s has bars of its own", k)
	}
	if (k == Lyrics || k == Chart) && w.Tune != "" {
		tell("--tune is for files with several tunes; %s is one", k)
	}
	return told
}

var readers = map[Kind]func([]byte, string, song.Wish) (*song.Song, error){
	Chart:    readChart,
	MIDI:     miditune.Read,
	ABC:      abc.Read,
	Lyrics:   lyric.Read,
	MusicXML: musicxml.Read,
}

func readChart(src []byte, file string, _ song.Wish) (*song.Song, error) {
	c, err := chart.Parse(src, file)
	if err != nil {
		return nil, err
	}
	return song.FromChart(c), nil
}

// Charted reads a sheet of any kind as a chart that can be practised, with all that
// was assumed for it or could not be carried over.
func Charted(src []byte, file string, w song.Wish) (*chart.Chart, []song.Notice, error) {
	s, err := Read(src, file, w)
	if err != nil {
		return nil, nil, err
	}
	c, told, err := s.ToChart(file)
	return c, append(s.Notices, told...), err
}
