package outside

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Schemas names the folder with the published schemas of MusicXML 3.0, which
// .ci/musicxml fetches.
const Schemas = "UNDERSONG_MUSICXML"

// NeedsSchemas is the folder with the schemas; without one the test ends here.
func NeedsSchemas(t testing.TB) string {
	t.Helper()
	from := os.Getenv(Schemas)
	if from == "" {
		t.Skipf("no schemas here: .ci/musicxml fetches them and names them in %s", Schemas)
	}
	return from
}

// ValidMusicXML holds files by their names against the published schema, by xmllint.
func ValidMusicXML(t testing.TB, files map[string][]byte) {
	t.Helper()
	from := NeedsSchemas(t)
	dir := t.TempDir()
	for _, name := range []string{"musicxml.xsd", "xml.xsd", "xlink.xsd"} {
		text, err := os.ReadFile(filepath.Join(from, name))
		require.NoError(t, err)
		local := strings.ReplaceAll(string(text), "http://www.musicxml.org/xsd/", "")
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(local), 0o600))
	}
	args := []string{"--nonet", "--noout", "--schema", filepath.Join(dir, "musicxml.xsd")}
	for name, text := range files {
		path := filepath.Join(dir, name+".musicxml")
		require.NoError(t, os.WriteFile(path, text, 0o600))
		args = append(args, path)
	}
	said, err := exec.Command("xmllint", args...).CombinedOutput()
	if err == nil {
		return
	}
	var wrong []string
	for _, line := range strings.Split(string(said), "\n") {
		if line != "" && !strings.HasSuffix(line, " validates") {
			wrong = append(wrong, strings.ReplaceAll(line, dir, ""))
		}
	}
	t.Fatalf("%v\n%s", err, strings.Join(wrong, "\n"))
}
