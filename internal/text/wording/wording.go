// Package wording counts and joins things in sentences, breaks them into lines, and
// reads names.
package wording

import (
	"fmt"
	"strings"
)

// Join is "A", "A or B", "A, B or C", where last is "or". It is "" for no words.
func Join(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}

// Count is "1 bar" or "3 bars", where what is "bar".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Times is "once", "twice", "3 times".
func Times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return Count(n, "time")
}

// Named sets a small number to the place of its name among all names. What it is a
// name of is told where there is none such.
func Named[T ~uint8](to *T, names []string, name []byte, what string) error {
	for i, n := range names {
		if n == string(name) {
			*to = T(i)
			return nil
		}
	}
	return fmt.Errorf("%s %q is not one of %q", what, name, names)
}
