package source

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"syscall"
	"unicode"
	"unicode/utf8"
)

// Open opens a file to be read. It waits for no other program: a pipe by name
// that nobody writes to is empty. A folder is a *fs.PathError.
func Open(path string) (*os.File, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, &fs.PathError{Op: "open", Path: path, Err: syscall.EISDIR}
	case info.Mode()&fs.ModeNamedPipe != 0:
		return os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	}
	return os.Open(path)
}

// ReadFile reads a file; of one that is larger than most, be it endless, it
// returns one byte more than that.
func ReadFile(path string, most int) ([]byte, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // opened for reading: nothing to lose
	return io.ReadAll(io.LimitReader(f, int64(most)+1))
}

// Unreadable finds what no text holds: bytes that are not UTF-8, and control
// characters but tabs and line ends. The reason is empty where there is none.
func Unreadable(src []byte) (line, col int, reason string) {
	for i := 0; i < len(src); {
		r, size := utf8.DecodeRune(src[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			reason = "this is not UTF-8 text"
		case unicode.IsControl(r) && !strings.ContainsRune("\t\n\r", r):
			reason = fmt.Sprintf("this is not text: it holds the control character %U", r)
		}
		if reason != "" {
			before := Lines(string(bytes.ToValidUTF8(src[:i], nil)))
			return len(before), 1 + utf8.RuneCountInString(before[len(before)-1]), reason
		}
		i += size
	}
	return 0, 0, ""
}

// The runes of a message that Brief keeps.
const (
	briefHead = 200
	briefTail = 300
)

// Brief takes the middle out of a message that quotes a whole page.
func Brief(message string) string {
	if len(message) <= briefHead+briefTail {
		return message
	}
	r := []rune(message)
	if len(r) <= briefHead+briefTail {
		return message
	}
	return string(r[:briefHead]) + " … " + string(r[len(r)-briefTail:])
}
