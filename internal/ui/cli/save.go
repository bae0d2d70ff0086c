package cli

import (
	"errors"
	"io/fs"
	"path/filepath"

	"undersong/internal/text/file"
)

// saving says how a file of the player's own is written.
func saving(force bool) file.SaveOptions { return file.SaveOptions{Replace: force, Perm: 0o644} }

// save writes a file of the player's own. what it is begins a sentence: "the chart".
func save(what, path, text string, force bool) error {
	return notSaved(what, path, file.Save(path, []byte(text), saving(force)))
}

// free refuses a path that cannot be written, before anybody has played.
func free(what, path string, force bool) error {
	return notSaved(what, path, file.CanSave(path, saving(force)))
}

func notSaved(what, path string, err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrExist):
		return errorf("%s is there already; --force writes over it", path)
	case errors.Is(err, fs.ErrNotExist):
		return errorf("%s cannot be written: there is no folder %s", what, filepath.Dir(path))
	case errors.Is(err, file.ErrLink):
		return errorf("%s cannot be written: %w; name the file that it leads to", what, err)
	}
	return errorf("%s cannot be written: %w", what, err)
}
