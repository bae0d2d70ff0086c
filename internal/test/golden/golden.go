// Package golden compares what is made with files that a person has read and kept
// in testdata. With UPDATE=1 in the environment, as make golden sets it, they are
// written anew first.
package golden

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Update reports that what is kept is to be written anew.
func Update() bool { return os.Getenv("UPDATE") != "" }

// Equal fails where got is not what testdata/file holds.
func Equal(t testing.TB, file, got string) {
	t.Helper()
	path := filepath.Join("testdata", file)
	if Update() {
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err, "make golden writes it; read it before you keep it")
	assert.Equal(t, string(want), got, "%s; make golden writes it anew", path)
}
