package musicxml

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// container is where a compressed score says which of its files is the score
// (MusicXML 4.0, "Compressed .MXL Files").
const container = "META-INF/container.xml"

func isZip(src []byte) bool { return bytes.HasPrefix(src, []byte("PK\x03\x04")) }

// unpack is the score in a compressed file.
func unpack(src []byte) ([]byte, error) {
	if len(src) > mostPacked {
		return nil, fmt.Errorf("the compressed score is larger than %d MiB", mostPacked>>20)
	}
	z, err := zip.NewReader(bytes.NewReader(src), int64(len(src)))
	if err != nil {
		return nil, fmt.Errorf("this is no whole compressed score: %w", err)
	}
	inner, err := content(z, container, 1<<16)
	if err != nil {
		return nil, err
	}
	name, err := root(inner)
	if err != nil {
		return nil, err
	}
	if strings.HasPrefix(name, "/") || strings.Contains(name, `\`) || strings.Contains(name, ":") || !inside(name) {
		return nil, fmt.Errorf("its container points outside of it, to %q", brief(name))
	}
	score, err := content(z, name, MostBytes)
	if err == nil && isZip(score) {
		err = fmt.Errorf("%q in it is an archive again, and no score", brief(name))
	}
	return score, err
}

func inside(name string) bool {
	for _, part := range strings.Split(name, "/") {
		if part == ".." {
			return false
		}
	}
	return true
}

// root is the first <rootfile> that may be a score.
func root(containerText []byte) (string, error) {
	var c struct {
		Roots []struct {
			Path string `xml:"full-path,attr"`
			Type string `xml:"media-type,attr"`
		} `xml:"rootfiles>rootfile"`
	}
	d := xml.NewDecoder(bytes.NewReader(containerText))
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
	if err := d.Decode(&c); err != nil {
		return "", fmt.Errorf("its %s is not readable: %w", container, err)
	}
	for _, r := range c.Roots {
		if r.Path != "" && (r.Type == "" || strings.Contains(r.Type, "xml")) {
			return strings.TrimPrefix(r.Path, "./"), nil
		}
	}
	return "", fmt.Errorf("its %s names no score", container)
}

// content is a file of an archive, most bytes at most.
func content(z *zip.Reader, name string, most int64) ([]byte, error) {
	for _, f := range z.File {
		if f.Name != name {
			continue
		}
		if f.Flags&1 != 0 {
			return nil, errors.New("the archive is locked with a password")
		}
		in, err := f.Open()
		if err != nil {
			return nil, fmt.Errorf("%q in it is not readable: %w", brief(name), err)
		}
		out, err := io.ReadAll(io.LimitReader(in, most+1))
		switch {
		case err != nil:
			return nil, fmt.Errorf("%q in it is damaged: %w", brief(name), err)
		case int64(len(out)) > most:
			return nil, fmt.Errorf("%q in it is larger than %d KiB when unpacked", brief(name), most>>10)
		}
		return out, nil
	}
	return nil, fmt.Errorf("this archive is no compressed score: it has no %s", brief(name))
}

// brief is a name that may be hostile, short enough to be told.
func brief(name string) string {
	if r := []rune(name); len(r) > 60 {
		return string(r[:60]) + "..."
	}
	return name
}
