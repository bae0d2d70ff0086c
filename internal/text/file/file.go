// Package file reads and writes the files that users name, whatever they turn out
// to be.
package file

import (
	"io"
	"io/fs"
	"os"
	"syscall"
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

// Read reads a file; of one that is larger than most, be it endless, it returns
// one byte more than that.
func Read(path string, most int) ([]byte, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // opened for reading: nothing to lose
	return io.ReadAll(io.LimitReader(f, int64(most)+1))
}

// Parse reads what a file holds, such as a chart: most and parse are
// chart.MaxBytes and chart.Parse. Errors are those of the file system or of
// parse.
func Parse[T any](path string, most int, parse func(text []byte, name string) (T, error)) (T, error) {
	text, err := Read(path, most)
	if err != nil {
		var none T
		return none, err
	}
	return parse(text, path)
}
