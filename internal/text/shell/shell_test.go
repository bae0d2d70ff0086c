package shell

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/text/visible"
)

func TestWord(t *testing.T) {
	for _, c := range []struct{ word, want string }{
		{"aura-lee.chart", "aura-lee.chart"},
		{"", "''"},
		{"Red River.chart", "'Red River.chart'"},
		{"it's.chart", `'it'\''s.chart'`},
		{"F#m", "'F#m'"},
		{"$(date).chart", "'$(date).chart'"},
		{"świt.chart", "'świt.chart'"},
		{"a\nb.chart", `$'a\012b.chart'`},
		{"\x1b[2J'\\é\u202e\xff9", `$'\033[2J\'\\é\342\200\256\3779'`},
	} {
		assert.Equal(t, c.want, Word(c.word), "%q", c.word)
	}
}

func TestAFileIsNoFlag(t *testing.T) {
	assert.Equal(t, "./-take.chart", File("-take.chart"))
	assert.Equal(t, "'./-my take.chart'", File("-my take.chart"))
	assert.Equal(t, "charts/-take.chart", File("charts/-take.chart"))
	assert.Equal(t, "take.chart", File("take.chart"))
}

// Shells are asked for what they make of the words: sh of those without hidden
// signs, since an old one may not know dollar quotes.
func TestShellsReadTheWords(t *testing.T) {
	words := []string{"plain", "", "two words", "it's $HOME `date` \\ \"x\" !1", "-x", "Bb", "ünder", "*?[a]~#&;|<>(){}"}
	readBy(t, "sh", words...)
	readBy(t, "bash", append(words, "a\tb\nc\x1b[2J", "\u202e\u009bżółw\u200b", "\xff\xfe7")...)
}

func readBy(t *testing.T, shell string, words ...string) {
	t.Helper()
	path, err := exec.LookPath(shell)
	if err != nil {
		t.Skipf("there is no %s", shell)
	}
	line := "printf '%s\\0'"
	for _, w := range words {
		line += " " + Word(w)
	}
	out, err := exec.Command(path, "-c", line).Output()
	require.NoError(t, err)
	assert.Equal(t, words, strings.Split(strings.TrimSuffix(string(out), "\x00"), "\x00"))
}

// A word is one line that shows as it is, and says the same: it is read back as
// POSIX has it.
func FuzzWord(f *testing.F) {
	for _, s := range []string{"a b", "it's", "\x1b\n\\'", "\xff\u202e1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		w := Word(s)
		require.Equal(t, w, visible.Name(w))
		require.Equal(t, s, read(w))
	})
}

// read reads back a plain word, one in single quotes, or one in dollar quotes.
func read(w string) string {
	body, dollar := strings.CutPrefix(w, "$'")
	if !dollar {
		return strings.ReplaceAll(strings.Trim(strings.ReplaceAll(w, `'\''`, "\x00"), "'"), "\x00", "'")
	}
	body = strings.TrimSuffix(body, "'")
	var b strings.Builder
	for i := 0; i < len(body); i++ {
		switch {
		case body[i] != '\\':
			b.WriteByte(body[i])
		case body[i+1] == '\'' || body[i+1] == '\\':
			i++
			b.WriteByte(body[i])
		default:
			b.WriteByte((body[i+1]-'0')<<6 | (body[i+2]-'0')<<3 | (body[i+3] - '0'))
			i += 3
		}
	}
	return b.String()
}
