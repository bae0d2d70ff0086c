package cli

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/rules"
	"undersong/internal/session/practice"
	"undersong/internal/session/sitting"
	"undersong/internal/test/sounding"
)

// What is printed when the screen is off begins with what was played.
func TestAfterTheScreenTheTempiThatWerePlayedAreNamed(t *testing.T) {
	w := newWorld(t)
	p, err := (&pieceOptions{chart: tuneFile(t), level: rules.Steady.Name}).load(&w.App)
	require.NoError(t, err)
	s, err := p.build(false)
	require.NoError(t, err)
	session := practice.New(practice.Options{Heading: p.heading(s), Score: s, Level: p.level, Lay: p.lay, CountIn: 1})
	kept := &afterwards{}
	session.Begin(0)
	played := sounding.Exact(s).Events()
	for i, do := range []sitting.Do{sitting.DoSlower, sitting.DoEnd} {
		at := time.Duration(i+1) * 8 * time.Second // four bars, the first a count-in
		for _, ev := range played {
			if ev.At += at - 6*time.Second; ev.At < at {
				session.Event(ev)
			}
		}
		session.Tick(at)
		session.Do(at, sitting.Command{Do: do})
	}
	for _, r := range session.Take() {
		require.NoError(t, kept.Record(r))
	}
	w.Columns = func() int { return 200 }
	require.NoError(t, kept.print(w.plainWriter()))
	assert.Contains(t, w.out.String(), "Aura Lee: two-beat in F, 4/4, tempo from 120 to 116, steady\n\n")
}
