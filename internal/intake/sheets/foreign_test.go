package sheets

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
)

// How files begin: common practice, as file(1) knows them.
func TestWhatIsNoSheetIsToldByItsName(t *testing.T) {
	for _, c := range []struct{ name, src, want string }{
		{"a.pdf", "%PDF-1.7\n%\xe2\xe3", "a.pdf: this is a PDF; copy its words"},
		{"a.jpg", "\xff\xd8\xff\xe0\x00\x10JFIF", "a.jpg: this is a picture; type its words"},
		{"a.png", "\x89PNG\r\n\x1a\n", "this is a picture"},
		{"a.docx", "PK\x03\x04\x14\x00[Content_Types].xml ... word/document.xml", "this is a document of a word processor; save it there as plain text"},
		{"a.odt", "PK\x03\x04\x14\x00 mimetypeapplication/vnd.oasis.opendocument.text", "this is a document of a word processor"},
		{"a.doc", "\xd0\xcf\x11\xe0\xa1\xb1", "this is a document of a word processor"},
		{"a.rtf", "{\\rtf1\\ansi\nG  D7\nSkip, skip", "this is a document of a word processor"},
		{"a.mp3", "ID3\x04\x00", "this is a sound recording; undersong reads notes"},
		{"a.wav", "RIFF\x24\x00\x00\x00WAVEfmt ", "this is a sound recording"},
		{"a.html", "\n<!DOCTYPE HTML>\n<pre>\nG  D7\nSkip, skip", "this is a web page; open it in a browser"},
		{"a.txt", "<html><pre>\nG  D7\nSkip, skip", "this is a web page"},
	} {
		_, err := Read([]byte(c.src), c.name, song.Wish{})
		assert.ErrorContains(t, err, c.want, c.name)
	}
}

func TestWhatWasWishedInVainIsTold(t *testing.T) {
	wish := song.Wish{Meter: meter.Meter{Num: 3, Den: 4}, BarsPerChord: 2, Tune: "2"}
	s, err := Read([]byte("key: F\nmeter: 4/4\n| F | C7 |\n"), "a.chart", wish)
	require.NoError(t, err)
	var told []string
	for _, n := range s.Notices {
		told = append(told, n.Text)
	}
	assert.Equal(t, []string{
		"--meter 3/4 is for lyric sheets; a chart says its own, here 4/4",
		"--bars-per-chord is for lyric sheets; a chart has bars of its own",
		"--tune is for files with several tunes; a chart is one",
	}, told)
	s, err = Read([]byte("key: F\nmeter: 3/4\n| F | C7 |\n"), "a.chart", song.Wish{Meter: meter.Meter{Num: 3, Den: 4}})
	require.NoError(t, err)
	assert.Empty(t, s.Notices, "what it says itself")
	s, err = Read([]byte("F      C7\nFrom this valley\n"), "a.txt", wish)
	require.NoError(t, err)
	for _, n := range s.Notices {
		assert.NotContains(t, n.Text, "is for lyric sheets")
	}
}
