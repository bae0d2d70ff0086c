package house

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// floors are the wings from the ground up. A room imports rooms of its own wing
// and of those below; wings of one floor do not know each other.
var floors = []string{"text", "music", "sheet", "midi", "listen", "judge play intake", "session", "ui"}

// floor is how high a package stands: those under internal by their wing, the
// program above all, and the texts of the patterns below all. It is -1 for a
// wing that is on no floor.
func floor(path string) int {
	switch {
	case path == ours+"patterns":
		return -2
	case strings.HasPrefix(path, ours+"cmd/"):
		return len(floors)
	}
	return slices.IndexFunc(floors, func(f string) bool { return slices.Contains(strings.Fields(f), wing(path)) })
}

// upward are the imports from one room of ours to another that do not go down.
// What is for tests alone may import anything, and is imported by tests alone.
func (h tree) upward() []string {
	var all []string
	for path, p := range h {
		if !strings.HasPrefix(path, ours) || wing(path) == "test" {
			continue
		}
		if floor(path) == -1 {
			all = append(all, room(path)+" stands in no wing")
		}
		for _, imp := range p.Imports {
			if strings.HasPrefix(imp, ours) && wing(imp) != wing(path) && (floor(imp) == -1 || floor(imp) >= floor(path)) {
				all = append(all, fmt.Sprintf("%s > %s", room(path), room(imp)))
			}
		}
	}
	slices.Sort(all)
	return all
}

func TestImportsGoDownward(t *testing.T) {
	assert.Empty(t, thisProgram(t).upward(), "what goes upward")
}

func TestImportsThatGoUpwardAreFound(t *testing.T) {
	none := []string(nil)
	for _, c := range []struct {
		name, from, to string
		want           []string
	}{
		{"chords know notes", "internal/music/chord", "internal/music/pitch", none},
		{"a score knows chords", "internal/sheet/score", "internal/music/chord", none},
		{"chords know charts", "internal/music/chord", "internal/sheet/chart", []string{"music/chord > sheet/chart"}},
		{"a judge plays", "internal/judge/coach", "internal/play/performer", []string{"judge/coach > play/performer"}},
		{"a player judges", "internal/play/performer", "internal/judge/coach", []string{"play/performer > judge/coach"}},
		{"a sitting knows its face", "internal/session/practice", "internal/ui/term", []string{"session/practice > ui/term"}},
		{"a face knows the sitting", "internal/ui/term", "internal/session/practice", none},
		{"a listener needs what is for tests", "internal/listen/follow", "internal/test/material", []string{"listen/follow > test/material"}},
		{"what is for tests needs a face", "internal/test/material", "internal/ui/cli", none},
		{"a room in no wing", "internal/attic/box", "internal/music/pitch", []string{"attic/box > music/pitch", "attic/box stands in no wing"}},
		{"the demo carries patterns", "internal/session/demo", "patterns", none},
		{"patterns know music", "patterns", "internal/music/pitch", []string{"undersong/patterns > music/pitch"}},
		{"the program has faces", "cmd/undersong", "internal/ui/cli", none},
		{"a face is the program", "internal/ui/cli", "cmd/undersong", []string{"ui/cli > undersong/cmd/undersong"}},
	} {
		h := tree{ours + c.from: {ImportPath: ours + c.from, Imports: []string{"fmt", ours + c.to}}, ours + c.to: {ImportPath: ours + c.to}}
		assert.Equal(t, c.want, h.upward(), c.name)
	}
}
