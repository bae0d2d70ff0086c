package term

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/listen/keyboard"
	"undersong/internal/music/pitch"
)

func TestStyleFor(t *testing.T) {
	tests := []struct {
		name string
		env  map[string]string
		goos string
		want Style
	}{
		{"modern terminal", map[string]string{"TERM": "xterm-256color", "LANG": "de_AT.UTF-8"}, "linux", Style{Colour: true, Unicode: true}},
		{"sixteen colours", map[string]string{"TERM": "xterm", "LANG": "en_GB.utf8"}, "linux", Style{Colour: true, Basic: true, Unicode: true}},
		{"NO_COLOR", map[string]string{"TERM": "xterm-256color", "LANG": "C.UTF-8", "NO_COLOR": "1"}, "linux", Style{Unicode: true}},
		{"NO_COLOR empty says nothing", map[string]string{"TERM": "xterm-256color", "LANG": "C.UTF-8", "NO_COLOR": ""}, "linux", Style{Colour: true, Unicode: true}},
		{"dumb terminal", map[string]string{"TERM": "dumb", "LANG": "C.UTF-8", "COLORTERM": "truecolor"}, "linux", Style{}},
		{"no terminal named", map[string]string{"LANG": "C.UTF-8"}, "linux", Style{Basic: true}},
		{"LC_ALL over LANG", map[string]string{"TERM": "xterm-256color", "LC_ALL": "C", "LANG": "C.UTF-8"}, "linux", Style{Colour: true}},
		{"Windows console", nil, "windows", Style{Colour: true, Unicode: true}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := StyleFor(func(k string) string { return tt.env[k] }, tt.goos)
			if !got.Colour {
				got.Basic = tt.want.Basic
			}
			assert.Equal(t, tt.want, got)
		})
	}
}

// keysOf is the set of some keys.
func keysOf(keys ...pitch.Num) keyboard.Set {
	var k keyboard.Set
	for _, key := range keys {
		k.Add(key)
	}
	return k
}
