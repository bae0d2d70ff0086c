package house

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// root is the project's folder.
const root = "../../.."

func developers(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	require.NoError(t, err)
	return string(text)
}

// rows are the rooms in the first columns of a text's tables, in order.
func rows(text string) []string {
	var all []string
	for _, row := range regexp.MustCompile("(?m)^\\| (`[^|]*) \\|").FindAllStringSubmatch(text, -1) {
		for _, name := range regexp.MustCompile("`([a-z0-9]+/[a-z0-9]+)`").FindAllStringSubmatch(row[1], -1) {
			all = append(all, name[1])
		}
	}
	return all
}

func TestTheTableNamesEveryRoom(t *testing.T) {
	var there []string
	for _, path := range thisProgram(t).rooms() {
		if strings.Count(room(path), "/") == 1 {
			there = append(there, room(path))
		}
	}
	named := rows(developers(t))
	assert.ElementsMatch(t, there, named, "rooms, and rows of the table in DEVELOPERS.md")
	order := strings.Fields(strings.Join(floors, " ") + " test")
	assert.True(t, slices.IsSortedFunc(named, func(a, b string) int {
		return slices.Index(order, wing(a)) - slices.Index(order, wing(b))
	}), "from the ground up")
}

func TestRowsAreFound(t *testing.T) {
	assert.Equal(t, []string{"music/pitch", "test/a", "test/b"},
		rows("| room | job |\n|---|---|\n| **music** | |\n| `music/pitch` | notes of `music/no` |\n| `test/a`, `test/b` | c |\n`ui/no`\n"))
}

// Every file and every make target that the text names is there.
func TestDevelopersAreLedSomewhere(t *testing.T) {
	text := developers(t)
	makefile, err := os.ReadFile(filepath.Join(root, "Makefile"))
	require.NoError(t, err)
	for _, m := range regexp.MustCompile("`make ([a-z]+)").FindAllStringSubmatch(text, -1) {
		assert.Regexp(t, `(?m)^`+m[1]+`:`, string(makefile))
	}
	for _, m := range regexp.MustCompile("`([a-z./]+/[A-Za-z0-9_.]+)`").FindAllStringSubmatch(text, -1) {
		var found []string
		for _, folder := range []string{"", "internal", "internal/*"} {
			at, err := filepath.Glob(filepath.Join(root, folder, m[1]))
			require.NoError(t, err)
			found = append(found, at...)
		}
		assert.NotEmpty(t, found, m[1])
	}
}
