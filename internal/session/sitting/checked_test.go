package sitting_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"undersong/internal/session/sitting"
	"undersong/internal/ui/words"
)

// checked looks at a sitting as faces do, and holds what every sitting must hold.
type checked struct {
	t      *testing.T
	log    *sitting.Log
	face   sitting.State // brought up to date by what changed
	viewer words.Viewer
	seq    int // of the last record
	told   []sitting.Record
}

func (c *checked) look() {
	for _, r := range c.log.Take() {
		if r.Seq <= c.seq {
			c.t.Fatalf("record %d after %d: numbers rise", r.Seq, c.seq)
		}
		c.seq = r.Seq
		c.told = append(c.told, r)
	}
	changed := c.log.Since(c.face.Seq)
	if changed.Seq < c.face.Seq {
		c.t.Fatalf("state %d after %d", changed.Seq, c.face.Seq)
	}
	c.face.Merge(changed)
	whole := c.log.State()
	require.True(c.t, whole.Seq == c.face.Seq && whole.Piece == c.face.Piece && *whole.Where == *c.face.Where && *whole.Sound == *c.face.Sound && *whole.Wanted == *c.face.Wanted, "who slept knows all")
}

// inWords puts what is seen into words, here and after a journey.
func (c *checked) inWords() {
	whole := c.log.State()
	c.face.Records = nil
	require.Equal(c.t, asJSON(c.t, whole), asJSON(c.t, c.face), "who slept knows all")
	var back sitting.State
	throughJSON(c.t, whole, &back)
	require.Equal(c.t, asJSON(c.t, whole), asJSON(c.t, back))
	var elsewhere words.Viewer
	require.Equal(c.t, c.viewer.View(&whole), elsewhere.View(&back), "a face elsewhere says the same")
}

func asJSON(t testing.TB, v any) string {
	text, err := json.Marshal(v)
	require.NoError(t, err)
	return string(text)
}

func throughJSON[T any](t testing.TB, v T, back *T) T {
	text, err := json.Marshal(v)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, back))
	return *back
}

// travels reports the storms after which what was told goes through JSON and back:
// one in four of those that are made up, since it takes most of the time.
func travels(how uint32) bool { return how>>24%4 == 0 }

// run lets a sitting go through a storm and end, and gives all that was told.
func (w *world) run(t *testing.T, how uint32, raw []byte) string {
	out := sounding{}
	s := w.sittingOf(t, how, out)
	c := &checked{t: t, log: sitting.NewLog(s)}
	n := 0
	now := storm(s, raw, func(time.Duration) {
		c.look()
		if n++; n == 20 && travels(how) {
			c.inWords()
		}
		require.True(t, s.Until(0, time.Second) >= 0)
	})
	for range 10 {
		now += 200 * time.Millisecond
		s.Tick(now)
	}
	s.Do(now, sitting.Command{Do: sitting.DoEnd})
	c.look()
	if travels(how) {
		var back []sitting.Record
		require.Equal(t, asJSON(t, c.told), asJSON(t, throughJSON(t, c.told, &back)))
	}
	require.True(t, s.Done(), "the end is always to be had")
	require.Empty(t, out, "no note is left sounding")
	require.Empty(t, s.State().Menu.Choices, "and nothing to be asked for")
	s.Do(now, sitting.Command{Do: sitting.DoEnd})
	s.Tick(now + time.Hour)
	require.Empty(t, s.Take(), "nothing is told after the end")
	require.NotNil(t, c.told[0].Piece, "what is played is told first")
	for i := range c.told {
		c.told[i].Seq = 0
	}
	return asJSON(t, c.told)
}

// again is what is told when all happens once more and nobody looks.
func (w *world) again(t *testing.T, how uint32, raw []byte) string {
	s := w.sittingOf(t, how, sounding{})
	log := sitting.NewLog(s)
	var told []sitting.Record
	take := func(time.Duration) { told = append(told, log.Take()...) }
	now := storm(s, raw, take)
	for range 10 {
		now += 200 * time.Millisecond
		s.Tick(now)
	}
	s.Do(now, sitting.Command{Do: sitting.DoEnd})
	take(now)
	for i := range told {
		told[i].Seq = 0 // looking is numbered too
	}
	return asJSON(t, told)
}
