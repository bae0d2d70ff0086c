package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/text/file"
	"undersong/internal/text/visible"
	"undersong/internal/ui/words"
)

// ports are the names of a default pair of ports; either may be empty.
type ports struct {
	in, out string
	keys    pitch.Keyboard // of the input; 0 where it was not said
	delay   time.Duration  // of what is played, in whole milliseconds, up to sitting.MostDelay either way
}

// readPorts reads the file that remembers them; without a file none are.
func (a *App) readPorts() (ports, error) {
	path := a.ConfigFile()
	text, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return ports{}, nil
	case err != nil:
		return ports{}, errorf("the remembered ports cannot be read: %w", err)
	}
	p, err := parsePorts(string(text))
	if err != nil {
		return ports{}, errorf("%s: %w; undersong ports --use NAME writes it anew", path, err)
	}
	return p, nil
}

// parsePorts reads "input: NAME", "output: NAME", "keys: N" and "delay: N ms", one a line, in
// any order. Lines that begin with # are remarks.
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
			p.in = readName(value)
		case "output":
			p.out = readName(value)
		case "keys":
			var err error
			if p.keys, err = pitch.ParseKeyboard(value); err != nil {
				return ports{}, errorf("line %d: keys: %w", i+1, err)
			}
		case "delay":
			var err error
			if p.delay, err = parseDelay(value); err != nil {
				return ports{}, errorf("line %d: %w", i+1, err)
			}
		default:
			return ports{}, errorf("line %d: expected input: NAME, output: NAME, keys: N or delay: N ms, not %q", i+1, line)
		}
	}
	return p, nil
}

// readName reads what nameText wrote.
func readName(value string) string {
	value = strings.TrimSpace(value)
	if name, err := strconv.Unquote(value); err == nil && strings.HasPrefix(value, `"`) {
		return name
	}
	return value
}

// nameText is a port's name, in quotes where it would not be read again as it is:
// where it is no line of plain text, or begins or ends with a space.
func nameText(name string) string {
	if visible.Name(name) != name || strings.TrimSpace(name) != name || strings.HasPrefix(name, `"`) {
		return strconv.Quote(name)
	}
	return name
}

// parseDelay reads "12 ms".
func parseDelay(s string) (time.Duration, error) {
	number, unit := strings.CutSuffix(strings.TrimSpace(s), "ms")
	ms, err := strconv.Atoi(strings.TrimSpace(number))
	most := int(sitting.MostDelay / time.Millisecond)
	if !unit || err != nil || ms < -most || ms > most {
		return 0, errorf("expected delay: N ms, with N from %d to %d, not %q", -most, most, strings.TrimSpace(s))
	}
	return time.Duration(ms) * time.Millisecond, nil
}

func (p ports) text() string {
	s := "# The ports that undersong uses unless told otherwise.\n"
	if p.in != "" {
		s += "input: " + nameText(p.in) + "\n"
	}
	if p.out != "" {
		s += "output: " + nameText(p.out) + "\n"
	}
	if p.keys != 0 {
		s += fmt.Sprintf("keys: %d\n", p.keys)
	}
	if p.delay != 0 {
		s += "delay: " + words.Millis(p.delay) + "\n"
	}
	return s
}

// savePorts replaces the file as a whole, so that it is never half written.
func (a *App) savePorts(p ports) error {
	path := a.ConfigFile()
	err := os.MkdirAll(filepath.Dir(path), 0o700)
	if err == nil {
		err = file.Save(path, []byte(p.text()), file.SaveOptions{Replace: true, Perm: 0o600})
	}
	switch {
	case errors.Is(err, file.ErrLink):
		return errorf("the ports cannot be remembered: %w; put a file of its own there", err)
	case err != nil:
		return errorf("the ports cannot be remembered: %w", err)
	}
	return nil
}
