package house

import (
	"go/doc"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// misnamed says what is wrong with the first sentence of a package's comment; it is
// empty where nothing is. A command may begin with its own name.
func misnamed(pack, comment string) string {
	first := new(doc.Package).Synopsis(comment)
	switch {
	case first == "":
		return "has no comment"
	case pack == "main":
		return ""
	case !strings.HasPrefix(first, "Package "+pack+" "):
		return "begins with " + first
	case regexp.MustCompile(`holds no code`).MatchString(first):
		return "does not say what it is for"
	}
	return ""
}

func TestEveryRoomSaysWhatItIsFor(t *testing.T) {
	for path, p := range thisProgram(t) {
		if !strings.HasPrefix(path, ours) {
			continue
		}
		name, comments := "", ""
		for _, file := range slices.Concat(p.GoFiles, p.CgoFiles) {
			f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(p.Dir, file), nil, parser.PackageClauseOnly|parser.ParseComments)
			require.NoError(t, err)
			name = f.Name.Name
			comments += f.Doc.Text()
		}
		assert.Empty(t, misnamed(name, comments), room(path))
	}
}

func TestCommentsThatSayNothingAreFound(t *testing.T) {
	for _, c := range []struct{ pack, comment, want string }{
		{"chord", "Package chord names chords: a table.\n", ""},
		{"main", "Undersong listens.\n", ""},
		{"chord", "", "has no comment"},
		{"main", "", "has no comment"},
		{"chord", "Package chords names chords.", "begins with Package chords names chords."},
		{"chord", "Chord names chords.", "begins with Chord names chords."},
		{"house", "Package house holds no code. Its tests do.", "does not say what it is for"},
	} {
		assert.Equal(t, c.want, misnamed(c.pack, c.comment), c.comment)
	}
}
