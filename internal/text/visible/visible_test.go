package visible

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestHiddenSignsAreEscaped(t *testing.T) {
	for _, c := range []struct{ what, text, want string }{
		{"plain text", "Red River Valley, F♯m7♭5 → B♭", "Red River Valley, F♯m7♭5 → B♭"},
		{"words of all scripts", "Gruß, świt, שלום, 수양버들, 日本　の歌", "Gruß, świt, שלום, 수양버들, 日本　の歌"},
		{"a space that does not break", "a\u00a0b", "a\u00a0b"},
		{"clearing the screen", "a\x1b[2Jb", `a\u001b[2Jb`},
		{"a title for the window", "\x1b]0;x\x07", `\u001b]0;x\u0007`},
		{"back to the line's start", "a\rb\bc", `a\u000db\u0008c`},
		{"delete", "\x7f", `\u007f`},
		{"eight-bit controls (C1)", "\u009b2J\u0085", `\u009b2J\u0085`},
		{"a C1 byte", "\x9b2J", `\x9b2J`},
		{"embeddings and overrides", "\u202aa\u202bb\u202cc\u202dd\u202ee", `\u202aa\u202bb\u202cc\u202dd\u202ee`},
		{"isolates", "\u2066a\u2067b\u2068c\u2069", `\u2066a\u2067b\u2068c\u2069`},
		{"direction marks", "\u200e\u200f\u061c", `\u200e\u200f\u061c`},
		{"no width", "\u200b\u200c\u200d\u2060\ufeff\u00ad", `\u200b\u200c\u200d\u2060\ufeff\u00ad`},
		{"letters that do not show", "\u115f\u3164\uffa0\u034f", `\u115f\u3164\uffa0\u034f`},
		{"separators", "a\u2028b\u2029", `a\u2028b\u2029`},
		{"tags, beyond sixteen bits", "\U000e0041", `\udb40\udc41`},
		{"no UTF-8", "a\xff\xe2\x80", `a\xff\xe2\x80`},
		{"U+FFFD as it is", "\ufffd", "\ufffd"},
		{"an Arabic number sign shows", "\u0600", "\u0600"},
	} {
		assert.Equal(t, c.want, Text(c.text), c.what)
		assert.Equal(t, c.want, Name(c.text), c.what)
	}
}

func TestOnlyANameHasNoLines(t *testing.T) {
	assert.Equal(t, "a\n\tb", Text("a\n\tb"))
	assert.Equal(t, `a\u000a\u0009b`, Name("a\n\tb"))
}

func TestPrintedTextIsReadAsTheSame(t *testing.T) {
	for _, s := range []string{"Frère Jacques", "می\u200cخواهم", "\u202eevil\u2069", "\U000e0041", "back\\slash \\u12"} {
		assert.Equal(t, s, Read(Text(s)))
	}
	assert.Equal(t, `\u001b[2J \u0041 \ud83d\ude00 \ud83d \uzzzz \u20`, Read(`\u001b[2J \u0041 \ud83d\ude00 \ud83d \uzzzz \u20`), "these are no hidden signs of a text")
}

// Whatever comes in, what goes out shows, is told once, and keeps JSON the same.
func FuzzText(f *testing.F) {
	for _, s := range []string{"Aura Lee", "\x1b[31m\u202eevil\u2069\x00", "\xff\u2028\U000e0041\\u001b\"", "a\r\n\tb", `\u061C`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, text := range []string{Text(s), Name(s)} {
			require.True(t, utf8.ValidString(text))
			require.False(t, strings.ContainsFunc(strings.NewReplacer("\n", "", "\t", "").Replace(text), commands), "%q", text)
			require.Equal(t, text, Text(text))
		}
		require.False(t, strings.ContainsAny(Name(s), "\n\t\r"))
		once := Read(Text(s)) // "\u061C" may stand in s as it is
		require.Equal(t, once, Read(Text(once)))
		was, err := json.Marshal(s)
		require.NoError(t, err)
		var before, after string
		require.NoError(t, json.Unmarshal(was, &before))
		require.NoError(t, json.Unmarshal([]byte(Text(string(was))), &after))
		require.Equal(t, before, after)
	})
}

// commands is told apart from Hidden: what no terminal may be given.
func commands(r rune) bool {
	return r < ' ' || r >= 0x7f && r < 0xa0 || r >= 0x200b && r <= 0x200f || r >= 0x2028 && r <= 0x202e || r >= 0x2060 && r <= 0x206f ||
		r == 0xfeff || unicode.Is(unicode.Bidi_Control, r)
}
