package sheets

import (
	"bytes"
	"strings"

	"undersong/internal/text/decode"
	"undersong/internal/text/source"
)

// foreign is a format that people have songs in and that is no song sheet: how its
// files begin, and what makes a sheet of it.
type foreign struct {
	begins       []string
	holds        string // besides; of archives, which begin alike
	reason, hint string
}

const (
	asText  = "save it there as plain text, whose name ends in .txt"
	typed   = "type its words, with the chord names above them, into a text file"
	sounded = "undersong reads notes and chord names: take a sheet of the song, or a MIDI file"
)

var foreigners = []foreign{
	{[]string{"%PDF"}, "", "this is a PDF", "copy its words and chord names into a text file, or have the program that made it write MusicXML"},
	{[]string{"\x89PNG", "\xff\xd8\xff", "GIF8", "II*\x00", "MM\x00*"}, "", "this is a picture", typed},
	{[]string{"{\\rtf", "\xd0\xcf\x11\xe0"}, "", "this is a document of a word processor", asText},
	{[]string{"PK\x03\x04"}, "word/document.xml", "this is a document of a word processor", asText},
	{[]string{"PK\x03\x04"}, "mimetypeapplication/vnd.oasis.opendocument", "this is a document of a word processor", asText},
	{[]string{"ID3", "OggS", "fLaC", "\xff\xfb"}, "", "this is a sound recording", sounded},
	{[]string{"RIFF"}, "WAVEfmt", "this is a sound recording", sounded},
}

// noSheet is an error for a file in a format that is no song sheet, else nil.
func noSheet(src []byte, file string) error {
	for _, f := range foreigners {
		for _, b := range f.begins {
			if bytes.HasPrefix(src, []byte(b)) && bytes.Contains(src, []byte(f.holds)) {
				return &source.Error{File: file, Reason: f.reason, Hint: f.hint}
			}
		}
	}
	text, _ := decode.Text(src[:min(len(src), 1<<10)])
	if text = strings.ToLower(strings.TrimSpace(text)); strings.HasPrefix(text, "<!doctype html") || strings.HasPrefix(text, "<html") {
		return &source.Error{File: file, Reason: "this is a web page", Hint: "open it in a browser, and copy the words with their chord names into a text file"}
	}
	return nil
}
