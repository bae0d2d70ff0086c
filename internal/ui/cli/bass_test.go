package cli

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
)

// under writes a file in which a chart's tune is played with basses under it:
// under FILE CHART WORD ..., a word for each bar after the upbeat: - for none, C3
// for a bass, C3+G3 for keys struck together, C3,G3 for one at each half of the
// bar. key=G plays the tune in another key.
func under(ts *testscript.TestScript, neg bool, args []string) {
	data, err := os.ReadFile(ts.MkAbs(args[1]))
	ts.Check(err)
	events, err := underTune(string(data), args[2:])
	ts.Check(err)
	file, err := written(smf.WriteOptions{}, events)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), file, 0o600))
}

func underTune(text string, words []string) ([]event.Event, error) {
	c, err := chart.Parse([]byte(text), "")
	if err != nil {
		return nil, err
	}
	o := score.Options{}
	if name, ok := strings.CutPrefix(words[0], "key="); ok {
		k, err := pitch.ParseKey(name)
		if err != nil {
			return nil, err
		}
		o.Key, words = &k, words[1:]
	}
	s, err := score.Tune(c, o)
	if err != nil {
		return nil, err
	}
	var all []event.Event
	play := func(k pitch.Num, from, to time.Duration) {
		all = append(all, event.On(from, uint8(k), 70), event.Off(to-10*time.Millisecond, uint8(k)))
	}
	for _, n := range s.Melody {
		play(n.Key(), s.Time(n.At), s.Time(n.At+n.Dur))
	}
	for _, b := range s.Bars {
		if b.Number == 0 || len(words) == 0 {
			continue
		}
		word := words[0]
		words = words[1:]
		if word == "-" {
			continue
		}
		halves := strings.Split(word, ",")
		length := (s.Time(b.At+b.Len) - s.Time(b.At)) / time.Duration(len(halves))
		for i, half := range halves {
			at := s.Time(b.At) + time.Duration(i)*length
			for _, name := range strings.Split(half, "+") {
				p, err := pitch.ParsePitch(name)
				if err != nil {
					return nil, fmt.Errorf("%q: %w", name, err)
				}
				play(p.Num(), at, at+length)
			}
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].At < all[j].At })
	return all, nil
}

const louText = `title: Skip to My Lou
key: C
meter: 4/4
unit: 1/4
tempo: 120
| C | C | G7 | G7 | C | C | G7 | C |]
m: EECC | EEG2 | DDB,B, | DDF2 | EECC | EEG2 | DEFD | C2C2 |]
`

func TestBassIsToldWhilePlaying(t *testing.T) {
	w := newWorld(t, piano)
	events, err := underTune(louText, strings.Fields("C3 C3 C3 G2 C3 C3 G2 C3"))
	require.NoError(t, err)
	w.play(piano, time.Second, events)
	told := ""
	watch := step{at: 5300 * time.Millisecond, do: func() { told = w.out.String() }} // bar 3 began at 5 s
	for i := range w.steps {
		if w.steps[i].at > watch.at {
			w.steps = append(w.steps[:i], append([]step{watch}, w.steps[i:]...)...)
			break
		}
	}
	file := filepath.Join(t.TempDir(), "lou.chart")
	require.NoError(t, os.WriteFile(file, []byte(louText), 0o600))
	require.Equal(t, fine, w.Run(context.Background(), []string{"bass", file, "--plain"}), w.err.String())
	assert.Contains(t, told, "bar 3: C does not fit here: the tune has D and B; G fits", "told at once")
	assert.Contains(t, w.out.String(), "Right: 7 of 8 bars")
	assert.Contains(t, w.out.String(), "undersong bass "+file+" --bars 2-3")
}

func TestBassWaitsForAnUnpluggedKeyboard(t *testing.T) {
	w := newWorld(t, piano)
	events, err := underTune(louText, strings.Fields("C3 C3 G2 G2 C3 C3 G2 C3"))
	require.NoError(t, err)
	says := func(text string) func() bool { return func() bool { return strings.Contains(w.out.String(), text) } }
	w.steps = []step{
		{at: 2 * time.Second, do: func() { w.script.Unplug(piano) }, heard: says("keyboard unplugged: waiting for Digital Piano")},
		{at: 3 * time.Second, do: func() { w.script.Plug(piano) }, heard: says("keyboard is back: Digital Piano")},
	}
	w.play(piano, 4*time.Second, events)
	file := filepath.Join(t.TempDir(), "lou.chart")
	require.NoError(t, os.WriteFile(file, []byte(louText), 0o600))
	require.Equal(t, fine, w.Run(context.Background(), []string{"bass", file, "--json"}), w.err.String())
	assert.Contains(t, w.out.String(), `"right":8,"bars":8`)
}
