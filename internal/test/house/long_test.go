package house

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// mostLines is how long a file may be that is still read in one go.
const mostLines = 350

// long lists the Go files below a folder, tests and all, that have more lines.
func long(t *testing.T, folder string, most int) (found []string) {
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".go" {
			return err
		}
		text, err := os.ReadFile(path)
		if bytes.Count(text, []byte("\n")) > most {
			found = append(found, path)
		}
		return err
	})
	require.NoError(t, err)
	return found
}

func TestNoFileIsLong(t *testing.T) {
	require.Empty(t, long(t, "../../..", mostLines))
	require.Contains(t, long(t, ".", 30), "long_test.go")
}
