package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestTheScreenIsForTerminalsThatCanShowIt(t *testing.T) {
	for _, tt := range []struct {
		term     string
		terminal bool
		form     format
		want     bool
	}{
		{"xterm", true, usual, true}, {"", true, usual, true}, {"dumb", true, usual, false},
		{"xterm", false, usual, false}, {"xterm", true, plain, false}, {"xterm", true, jsonLines, false},
	} {
		w := newWorld(t)
		w.Terminal = func() bool { return tt.terminal }
		w.Getenv = func(name string) string { return map[string]string{"TERM": tt.term}[name] }
		assert.Equal(t, tt.want, w.screenFor(tt.form) != nil, "%+v", tt)
	}
}
