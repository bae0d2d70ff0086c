package file

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// ErrLink means a path that is a symbolic link: what it leads to is never written,
// since whoever made the link need not be the one who asks.
var ErrLink = errors.New("a symbolic link is not written through")

// SaveOptions say how a file is written.
type SaveOptions struct {
	Replace bool        // take the place of a file that is there, and keep its permissions
	Perm    fs.FileMode // of a new file, before the umask
}

// Save writes a file whole or not at all: beside its place, onto the disk, and then
// into its place. Devices and pipes are written as they are. Errors are
// *fs.PathError with the path as given: fs.ErrExist where a file is there and is not
// to be replaced, ErrLink, syscall.EISDIR and those of the file system.
func Save(path string, data []byte, o SaveOptions) error {
	return o.save(path, data, (*os.File).Sync)
}

// CanSave is the error that Save would give by what is at the path now, so that it
// is told before somebody has played for it.
func CanSave(path string, o SaveOptions) error {
	if _, err := o.place(path); err != nil {
		return about(path, err)
	}
	_, err := os.Stat(filepath.Dir(path))
	return about(path, err)
}

func (o SaveOptions) save(path string, data []byte, sync func(*os.File) error) error {
	old, err := o.place(path)
	switch {
	case err != nil:
	case old != nil && !old.Mode().IsRegular():
		err = pour(path, data)
	default:
		err = o.put(path, data, old, sync)
	}
	return about(path, err)
}

// about names the path that was asked for, and not one that was made up on the way.
func about(path string, err error) error {
	var inner *fs.PathError
	var link *os.LinkError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &inner):
		err = inner.Err
	case errors.As(err, &link):
		err = link.Err
	}
	return &fs.PathError{Op: "save", Path: path, Err: err}
}

// place looks at what is at the path: nil is nothing.
func (o SaveOptions) place(path string) (fs.FileInfo, error) {
	old, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case old.IsDir():
		return nil, syscall.EISDIR
	case !o.Replace:
		return nil, fs.ErrExist
	case old.Mode()&fs.ModeSymlink != 0:
		return nil, ErrLink
	}
	return old, nil
}

// pour writes to a device or a pipe.
func pour(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// put writes a file beside its place and moves it there.
func (o SaveOptions) put(path string, data []byte, old fs.FileInfo, sync func(*os.File) error) error {
	f, err := beside(path, o.Perm)
	if err != nil {
		return err
	}
	if old != nil {
		err = f.Chmod(old.Mode().Perm())
	}
	if err == nil {
		_, err = f.Write(data)
	}
	if err == nil {
		err = sync(f)
	}
	err = errors.Join(err, f.Close())
	if err == nil {
		err = move(f.Name(), path, old == nil)
	}
	if err != nil {
		_ = os.Remove(f.Name()) // what matters is the first error
		return err
	}
	syncFolder(filepath.Dir(path), sync)
	return nil
}

// mostTries bounds the names that are tried: others are left by a program that was
// ended while it wrote.
const mostTries = 1000

// beside makes an empty file in the folder of path.
func beside(path string, perm fs.FileMode) (f *os.File, err error) {
	for n := range mostTries {
		name := filepath.Join(filepath.Dir(path), fmt.Sprintf(".undersong-%d-%d", os.Getpid(), n))
		f, err = os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, perm)
		if !errors.Is(err, fs.ErrExist) {
			break
		}
	}
	return f, err
}

// move puts a file into its place: one that must be free yet is taken by a second
// name, which fails where another program was faster. Where the file system has no
// second names it is looked at once more.
func move(from, to string, free bool) error {
	if !free {
		return os.Rename(from, to)
	}
	switch err := os.Link(from, to); {
	case err == nil:
		return os.Remove(from)
	case errors.Is(err, fs.ErrExist):
		return fs.ErrExist
	}
	if _, err := os.Lstat(to); err == nil {
		return fs.ErrExist
	}
	return os.Rename(from, to)
}

// syncFolder makes the new name last. The file is in its place already, and some
// systems cannot do this with a folder, so that nothing is said where it fails.
func syncFolder(folder string, sync func(*os.File) error) {
	if d, err := os.Open(folder); err == nil {
		_ = sync(d)
		_ = d.Close()
	}
}
