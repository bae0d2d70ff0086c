package file

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadTakesNoMoreThanAsked(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.chart")
	require.NoError(t, os.WriteFile(path, []byte("key: C"), 0o600))
	text, err := Read(path, 10)
	require.NoError(t, err)
	assert.Equal(t, "key: C", string(text))
	text, err = Read(path, 3)
	require.NoError(t, err)
	assert.Equal(t, "key:", string(text))
	text, err = Read("/dev/zero", 100)
	require.NoError(t, err)
	assert.Len(t, text, 101)
}

func TestReadWaitsForNobody(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe.chart")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	text, err := Read(pipe, 10)
	require.NoError(t, err)
	assert.Empty(t, text)

	_, err = Read(t.TempDir(), 10)
	assert.ErrorIs(t, err, syscall.EISDIR)
	_, err = Read(pipe+"x", 10)
	assert.ErrorIs(t, err, os.ErrNotExist)
}

func TestReadReadsWhatIsPipedIn(t *testing.T) {
	r, w, err := os.Pipe()
	require.NoError(t, err)
	defer r.Close()
	_, err = w.WriteString("key: C")
	require.NoError(t, err)
	require.NoError(t, w.Close())
	path := fmt.Sprintf("/dev/fd/%d", r.Fd())
	if _, err := os.Stat(path); err != nil {
		t.Skip("this system shows no open files in /dev/fd")
	}
	text, err := Read(path, 100)
	require.NoError(t, err)
	assert.Equal(t, "key: C", string(text))
}

func TestParseNamesTheFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.chart")
	require.NoError(t, os.WriteFile(path, []byte("key: C"), 0o600))
	named := func(text []byte, name string) (string, error) { return name + " says " + string(text), nil }
	said, err := Parse(path, 10, named)
	require.NoError(t, err)
	assert.Equal(t, path+" says key: C", said)
	_, err = Parse(path+"x", 10, named)
	assert.ErrorIs(t, err, os.ErrNotExist)
}
