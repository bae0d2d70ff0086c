package port

import (
	"fmt"
	"regexp"
	"strings"
)

// NoPortError means that no port fits.
type NoPortError struct {
	Want  string   // "" if any would do
	Names []string // what is there
}

func (e *NoPortError) Error() string {
	switch {
	case len(e.Names) == 0:
		return "no MIDI port is there; plug the instrument in, switch it on and try again"
	case e.Want == "":
		return "no instrument's MIDI port is there, only " + quoted(e.Names) + "; plug the instrument in, switch it on and try again, or name one of these"
	}
	return fmt.Sprintf("no MIDI port is called %q; there is %s", e.Want, quoted(e.Names))
}

// AmbiguousPortError means that several ports fit.
type AmbiguousPortError struct {
	Want  string // "" if none was named
	Names []string
}

func (e *AmbiguousPortError) Error() string {
	if e.Want == "" {
		return "there are several MIDI ports: " + quoted(e.Names) + "; name one of them, or a part of its name"
	}
	return fmt.Sprintf("%q may be any of %s; name more of it", e.Want, quoted(e.Names))
}

func quoted(names []string) string {
	q := make([]string, len(names))
	for i, n := range names {
		q[i] = fmt.Sprintf("%q", n)
	}
	return strings.Join(q, ", ")
}

// Choose picks one of names. want is a full name, or any part of one in either
// case; a full name wins over a part. With want empty it is the only port
// there, not counting those that merely pass on what programs send. Errors are
// *NoPortError and *AmbiguousPortError.
func Choose(names []string, want string) (string, error) {
	want = strings.TrimSpace(want)
	if want == "" {
		return only(names, want, filter(names, func(n string) bool { return !isThrough(n) }))
	}
	for _, n := range names {
		if n == want {
			return n, nil
		}
	}
	lower := strings.ToLower(want)
	whole := filter(names, func(n string) bool {
		return strings.ToLower(n) == lower || strings.ToLower(BaseName(n)) == lower
	})
	if len(whole) > 0 {
		return only(names, want, whole)
	}
	return only(names, want, filter(names, func(n string) bool { return strings.Contains(strings.ToLower(n), lower) }))
}

func only(all []string, want string, fit []string) (string, error) {
	switch len(fit) {
	case 0:
		return "", &NoPortError{Want: want, Names: all}
	case 1:
		return fit[0], nil
	}
	return "", &AmbiguousPortError{Want: want, Names: fit}
}

func filter(names []string, keep func(string) bool) []string {
	var out []string
	for _, n := range names {
		if keep(n) {
			out = append(out, n)
		}
	}
	return out
}

// isThrough knows the ports that systems offer between programs: ALSA's Midi
// Through and macOS's IAC driver (common practice, no source).
func isThrough(name string) bool {
	n := strings.ToLower(name)
	return strings.Contains(n, "midi through") || strings.Contains(n, "iac driver")
}

// alsaNumbers are the client and port numbers at the end of an ALSA name; they
// change when an instrument is plugged in again.
var alsaNumbers = regexp.MustCompile(` \d+:\d+$`)

// BaseName is a port's name without the numbers that may change: "USB
// Piano:USB Piano MIDI 1" for "USB Piano:USB Piano MIDI 1 20:0".
func BaseName(name string) string { return alsaNumbers.ReplaceAllString(name, "") }

// again finds a port that has come back: under its full name, or else the
// first that differs only in its numbers.
func again(names []string, full string) (string, bool) {
	found, ok := "", false
	for _, n := range names {
		if n == full {
			return n, true
		}
		if !ok && BaseName(n) == BaseName(full) {
			found, ok = n, true
		}
	}
	return found, ok
}
