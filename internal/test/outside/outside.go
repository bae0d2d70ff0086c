// Package outside finds what tests need that is no part of the project, such as
// a Python with a module, and skips a test where it is not there.
package outside

import (
	"os"
	"os/exec"
	"testing"
)

// The variables that make a skip a failure where they are 1.
const (
	Require     = "UNDERSONG_REQUIRE"
	RequireMIDI = "UNDERSONG_REQUIRE_MIDI"
)

// SkipOrFail skips a test that lacks something, or fails it where the named
// variable is 1.
func SkipOrFail(t testing.TB, variable, reason string) {
	t.Helper()
	if os.Getenv(variable) == "1" {
		t.Fatalf("%s, and %s=1 insists", reason, variable)
	}
	t.Skipf("%s (%s=1 makes this a failure)", reason, variable)
}

// Python is a Python that has a module; without one the test ends here.
func Python(t testing.TB, variable, module string) string {
	t.Helper()
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		if path, err := exec.LookPath(name); err == nil && exec.Command(path, "-c", "import "+module).Run() == nil {
			return path
		}
	}
	SkipOrFail(t, variable, "no Python with "+module+" here (Debian: python3-"+module+")")
	return ""
}

// Program is the path of a program, which a Debian package has; without it the test
// ends here.
func Program(t testing.TB, variable, name, debian string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		SkipOrFail(t, variable, "no "+name+" here (Debian: "+debian+")")
	}
	return path
}
