package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"

	"undersong/internal/midi/port"
	"undersong/internal/text/file"
	"undersong/internal/text/source"
	"undersong/internal/text/visible"
)

// The exit codes.
const (
	fine        = 0
	failed      = 1
	wrongUse    = 2 // asked for in a way that cannot be, or no keyboard is there
	interrupted = 130
)

// usageError is a command that was called in the wrong way.
type usageError struct{ err error }

func (e *usageError) Error() string { return e.err.Error() }
func (e *usageError) Unwrap() error { return e.err }

func asUsage(err error) error { return &usageError{err} }

func usagef(format string, args ...any) error { return asUsage(errorf(format, args...)) }

// errorf is fmt.Errorf for texts that name what comes from outside, such as files
// and ports: no name can end its line.
func errorf(format string, args ...any) error {
	for i, a := range args {
		if s, ok := a.(string); ok {
			args[i] = named(s)
		}
	}
	return fmt.Errorf(format, args...)
}

// named is a name in a text, which %q quotes as usual.
type named string

func (n named) Format(f fmt.State, verb rune) {
	text := visible.Name(string(n))
	if verb == 'q' {
		text = strconv.Quote(string(n))
	}
	_, _ = io.WriteString(f, text) // into the memory of fmt
}

// outputError means that nobody takes what is written.
type outputError struct{ err error }

func (e *outputError) Error() string {
	if errors.Is(e.err, syscall.ENOSPC) {
		return "the output cannot be written: the disk is full"
	}
	return fmt.Sprintf("the output cannot be written: %v", e.err)
}
func (e *outputError) Unwrap() error { return e.err }

// errInterrupted is a request to stop before anything was set up.
var errInterrupted = errors.New("stopped")

// code is the exit code for an error.
func code(err error) int {
	var usage *usageError
	var none *port.NoPortError
	var several *port.AmbiguousPortError
	switch {
	case err == nil:
		return fine
	case errors.Is(err, errInterrupted):
		return interrupted
	case errors.As(err, &usage), errors.As(err, &none), errors.As(err, &several),
		errors.Is(err, port.ErrNoMIDI), errors.Is(err, port.ErrStopped), errors.Is(err, port.ErrStuck), errors.Is(err, port.ErrNoLivePorts), errors.Is(err, port.ErrGone), errors.Is(err, port.ErrBusy):
		return wrongUse
	}
	return failed
}

// report tells an error and returns its exit code. A reader that went away, as
// head does when it has enough, is told nothing: nobody is left to read on.
func (a *App) report(err error) int {
	if err != nil && !readerGone(err) {
		fmt.Fprintf(a.Err, "undersong: %s\n", explain(err))
	}
	return code(err)
}

func readerGone(err error) bool {
	var out *outputError
	return errors.As(err, &out) && errors.Is(out.err, syscall.EPIPE)
}

// explain is an error in plain words, with the line of text that it is about
// and a caret under the place where there is one.
func explain(err error) string {
	var shown interface{ Show() string }
	if errors.As(err, &shown) {
		return shown.Show()
	}
	text := err.Error()
	var path *fs.PathError
	if errors.As(err, &path) {
		text = strings.Replace(text, path.Error(), visible.Name(path.Path)+": "+reason(path.Err), 1)
		if near := nearFile(path); near != "" {
			text += "; did you mean " + visible.Name(near) + "?"
		}
	}
	return text
}

// nearFile is the file that was most likely meant by one that is not there; it may
// be empty.
func nearFile(e *fs.PathError) string {
	if !errors.Is(e.Err, fs.ErrNotExist) {
		return ""
	}
	folder, name := filepath.Split(e.Path)
	entries, err := os.ReadDir(filepath.Clean(folder))
	if err != nil {
		return ""
	}
	var names []string
	for _, entry := range entries {
		if entry.IsDir() || strings.HasPrefix(entry.Name(), ".") {
			continue
		}
		if strings.TrimSuffix(entry.Name(), filepath.Ext(entry.Name())) == name {
			return folder + entry.Name()
		}
		names = append(names, entry.Name())
	}
	if near := source.Nearest(name, names); near != "" && len(name) > 3 { // a shorter one is near to anything
		return folder + near
	}
	return ""
}

func reason(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	case errors.Is(err, syscall.EISDIR):
		return "this is a folder, not a file"
	case errors.Is(err, fs.ErrPermission):
		return "you may not read or write it"
	case errors.Is(err, syscall.ENOTDIR):
		return "a file is where a folder should be"
	case errors.Is(err, syscall.EROFS):
		return "nothing can be written there"
	case errors.Is(err, syscall.ENOSPC):
		return "the disk is full"
	case errors.Is(err, file.ErrLink):
		return "this is a symbolic link, which is not written through"
	}
	return err.Error()
}
