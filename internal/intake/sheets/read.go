package sheets

import (
	"undersong/internal/intake/miditune"
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
	s, err := readers[KindOf(src, file)](src, file, w)
	if err != nil {
		return nil, err
	}
	if w.Tempo > 0 {
		s.Tempo = w.Tempo
	}
	return s, nil
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
