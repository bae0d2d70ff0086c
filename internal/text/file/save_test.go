package file

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	anew = SaveOptions{Perm: 0o644}
	over = SaveOptions{Perm: 0o644, Replace: true}
)

// folder has a file with the text "old".
func folder(t *testing.T) (dir, old string) {
	t.Helper()
	dir = t.TempDir()
	old = filepath.Join(dir, "song.chart")
	require.NoError(t, os.WriteFile(old, []byte("old"), 0o640))
	return dir, old
}

func holds(t *testing.T, path, want string) {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, want, string(text))
}

// alone demands that nothing is left lying about.
func alone(t *testing.T, dir string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var found []string
	for _, e := range entries {
		found = append(found, e.Name())
	}
	assert.Equal(t, names, found)
}

func TestSave(t *testing.T) {
	dir, old := folder(t)
	fresh := filepath.Join(dir, "tune.chart")
	require.NoError(t, CanSave(fresh, anew))
	require.NoError(t, Save(fresh, []byte("new"), anew))
	holds(t, fresh, "new")

	assert.ErrorIs(t, CanSave(old, anew), fs.ErrExist)
	assert.ErrorIs(t, Save(old, []byte("new"), anew), fs.ErrExist)
	holds(t, old, "old")

	require.NoError(t, CanSave(old, over))
	require.NoError(t, Save(old, []byte("new"), over))
	holds(t, old, "new")
	info, err := os.Stat(old)
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o640), info.Mode(), "permissions stay")
	require.NoError(t, Save(filepath.Join(dir, "own.chart"), nil, SaveOptions{Perm: 0o600, Replace: true}))
	info, err = os.Stat(filepath.Join(dir, "own.chart"))
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o600), info.Mode())
	alone(t, dir, "own.chart", "song.chart", "tune.chart")
}

func TestALinkIsNotWrittenThrough(t *testing.T) {
	dir, old := folder(t)
	for name, to := range map[string]string{"link.chart": old, "dangling.chart": filepath.Join(dir, "nothing")} {
		link := filepath.Join(dir, name)
		require.NoError(t, os.Symlink(to, link))
		assert.ErrorIs(t, Save(link, []byte("new"), anew), fs.ErrExist)
		assert.ErrorIs(t, CanSave(link, over), ErrLink)
		assert.ErrorIs(t, Save(link, []byte("new"), over), ErrLink)
		got, err := os.Readlink(link)
		require.NoError(t, err)
		assert.Equal(t, to, got)
	}
	holds(t, old, "old")
	alone(t, dir, "dangling.chart", "link.chart", "song.chart")

	// A folder may be a link: it is where the player keeps charts.
	require.NoError(t, os.Symlink(dir, filepath.Join(dir, "charts")))
	require.NoError(t, Save(filepath.Join(dir, "charts", "new.chart"), []byte("new"), anew))
	holds(t, filepath.Join(dir, "new.chart"), "new")
}

// A second name of a file keeps what it had.
func TestASecondNameKeepsTheOldFile(t *testing.T) {
	dir, old := folder(t)
	second := filepath.Join(dir, "second.chart")
	require.NoError(t, os.Link(old, second))
	require.NoError(t, Save(old, []byte("new"), over))
	holds(t, second, "old")
}

func TestWhereNothingCanBeSaved(t *testing.T) {
	dir, old := folder(t)
	for path, want := range map[string]error{
		dir: syscall.EISDIR, filepath.Join(dir, "no", "x.chart"): fs.ErrNotExist, filepath.Join(old, "x.chart"): syscall.ENOTDIR,
	} {
		for _, o := range []SaveOptions{anew, over} {
			err := Save(path, []byte("new"), o)
			assert.ErrorIs(t, err, want)
			assert.ErrorIs(t, CanSave(path, o), want)
			var p *fs.PathError
			require.ErrorAs(t, err, &p)
			assert.Equal(t, path, p.Path, "the path as given")
		}
	}
	alone(t, dir, "song.chart")
}

func TestADeviceIsWrittenAsItIs(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("there is no /dev/full")
	}
	assert.ErrorIs(t, Save("/dev/full", []byte("new"), over), syscall.ENOSPC)
	assert.NoError(t, Save("/dev/null", []byte("new"), over))
	assert.ErrorIs(t, Save("/dev/null", []byte("new"), anew), fs.ErrExist)
}

// What is written is on the disk before it takes its place, and its name after.
func TestSavedFilesAreOnTheDisk(t *testing.T) {
	dir, old := folder(t)
	var synced []string
	sync := func(f *os.File) error {
		info, err := f.Stat()
		require.NoError(t, err)
		if info.IsDir() {
			holds(t, old, "new")
		} else {
			holds(t, old, "old")
			holds(t, f.Name(), "new")
		}
		synced = append(synced, info.Mode().Type().String())
		return f.Sync()
	}
	require.NoError(t, over.save(old, []byte("new"), sync))
	assert.Equal(t, []string{"----------", "d---------"}, synced)

	broken := errors.New("the disk is broken")
	err := over.save(old, []byte("newer"), func(*os.File) error { return broken })
	assert.ErrorIs(t, err, broken)
	holds(t, old, "new")
	alone(t, dir, "song.chart")
}

// Of two that find a name free, one gets it.
func TestANameThatWasFreeIsNotTakenTwice(t *testing.T) {
	dir, _ := folder(t)
	path := filepath.Join(dir, "tune.chart")
	sync := func(f *os.File) error { return os.WriteFile(path, []byte("theirs"), 0o600) }
	assert.ErrorIs(t, anew.save(path, []byte("ours"), sync), fs.ErrExist)
	holds(t, path, "theirs")
	alone(t, dir, "song.chart", "tune.chart")
}
