package cli

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/session/practice"
	"undersong/internal/session/sitting"
	"undersong/internal/test/golden"
	"undersong/internal/ui/loop"
	"undersong/internal/ui/term"
	"undersong/internal/ui/words"
)

// pictured is the demo's screen as a terminal of that size shows it so long after
// the beginning: screen TIME WIDTHxHEIGHT.
func pictured(t *testing.T, remark []string) []string {
	t.Helper()
	require.Len(t, remark, 3, "%q", remark)
	at, err := time.ParseDuration(remark[1])
	require.NoError(t, err)
	var columns, lines int
	_, err = fmt.Sscanf(remark[2], "%dx%d", &columns, &lines)
	require.NoError(t, err)
	w := newWorld(t)
	k, session, err := w.simulated(&demoOptions{seed: 1})
	require.NoError(t, err)
	defer k.close()
	l := loop.New(practice.New(session), k.clock, k.after)
	var viewer words.Viewer
	var view words.View
	l.Show = func(s sitting.State) {
		if k.clock() <= at {
			view = viewer.View(&s)
		}
	}
	require.NoError(t, k.run(context.Background(), &w.App, l, nil))
	var all []string
	for _, l := range strings.Split(term.Render(view, columns, lines, term.Style{Unicode: true}), "\n") {
		all = append(all, strings.TrimRight(l, " "))
	}
	return all
}

// checkPicture compares a picture with the screen.
func (r *reader) checkPicture(d *doc, b block) (stale []func()) {
	for _, remark := range b.remarks {
		if remark[0] != "screen" {
			continue
		}
		is := pictured(r.t, remark)
		if golden.Update() {
			return []func(){func() { d.replace(r.t, b.at, b.at+len(b.lines), is) }}
		}
		assert.Equal(r.t, is, b.lines, "%s: the picture; UPDATE=1 draws it anew", d.where(b.at))
		return nil
	}
	r.t.Errorf("%s: a picture of nothing", d.where(b.at))
	return nil
}
