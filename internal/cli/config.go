package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// ports are the names of a default pair of ports; either may be empty.
type ports struct{ in, out string }

// readPorts reads the file that remembers them; without a file none are.
func (a *App) readPorts() (ports, error) {
	path := a.ConfigFile()
	text, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return ports{}, nil
	case err != nil:
		return ports{}, fmt.Errorf("the remembered ports cannot be read: %w", err)
	}
	p, err := parsePorts(string(text))
	if err != nil {
		return ports{}, fmt.Errorf("%s: %w; undersong ports --use NAME writes it anew", path, err)
	}
	return p, nil
}

// parsePorts reads "input: NAME" and "output: NAME", one a line, in any order.
// Lines that begin with # are remarks.
func parsePorts(text string) (ports, error) {
	var p ports
	for i, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		name, value, _ := strings.Cut(line, ":")
		switch strings.TrimSpace(name) {
		case "input":
			p.in = strings.TrimSpace(value)
		case "output":
			p.out = strings.TrimSpace(value)
		default:
			return ports{}, fmt.Errorf("line %d: expected input: NAME or output: NAME, not %q", i+1, line)
		}
	}
	return p, nil
}

func (p ports) text() string {
	s := "# The ports that undersong uses unless told otherwise.\n"
	if p.in != "" {
		s += "input: " + p.in + "\n"
	}
	if p.out != "" {
		s += "output: " + p.out + "\n"
	}
	return s
}

// savePorts replaces the file as a whole, so that it is never half written.
func (a *App) savePorts(p ports) error {
	path := a.ConfigFile()
	if err := writeWhole(path, p.text()); err != nil {
		return fmt.Errorf("the ports cannot be remembered: %w", err)
	}
	return nil
}

func writeWhole(path, text string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Dir(path), "new-*")
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	err = errors.Join(err, f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		_ = os.Remove(f.Name()) // what matters is the first error
	}
	return err
}
