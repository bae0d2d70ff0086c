package review

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/meter"
	"undersong/internal/session/sitting"
	"undersong/internal/test/material"
	"undersong/internal/ui/lines"
)

const tune = "key: C\nmeter: 4/4\ntempo: 96\n\n| C | F | G7 | C |\n"

func options(t testing.TB, text, name string) Options {
	t.Helper()
	c := material.Chart(t, text)
	p := material.Shipped(t, name)
	return Options{Chart: c, Pattern: p, Level: rules.Steady}
}

// ramp is a tempo map that goes from slow to fast and back, a change each bar.
var ramp = []smf.TempoChange{
	{Tick: 0, MicrosPerQuarter: 1_000_000}, {Tick: 4 * 480, MicrosPerQuarter: 600_000},
	{Tick: 8 * 480, MicrosPerQuarter: 400_000}, {Tick: 12 * 480, MicrosPerQuarter: 800_000},
}

// stamped fills in the tempos' times, as midiio does.
func stamped(tempos []smf.TempoChange) []smf.TempoChange {
	out := append([]smf.TempoChange(nil), tempos...)
	for i := 1; i < len(out); i++ {
		before := out[i-1]
		out[i].At = before.At + time.Duration((out[i].Tick-before.Tick)*int64(before.MicrosPerQuarter)*1000/480)
	}
	return out
}

// exact plays what the score of a review wants, each stroke off by some time, in
// a file of the given tempi.
func exact(t testing.TB, o Options, tempos []smf.TempoChange, off func(i int) time.Duration) *smf.Performance {
	t.Helper()
	p := &smf.Performance{TicksPerQuarter: 480, Tempos: stamped(tempos)}
	r, err := New(p, o)
	require.NoError(t, err)
	m := mapOf(p)
	var all []event.Event
	for i := range r.Score.Wants {
		w := &r.Score.Wants[i]
		for _, k := range w.Keys() {
			at := m.at(float64(w.At)/float64(meter.Quarter)) + off(i)
			end := m.at(float64(w.At+w.Dur) / float64(meter.Quarter))
			all = append(all, event.On(max(0, at), uint8(k), 70), event.Off(end-100*time.Millisecond, uint8(k)))
		}
	}
	var data bytes.Buffer
	require.NoError(t, smf.Write(&data, smf.WriteOptions{TicksPerQuarter: 9600, Tempos: scaled(tempos, 20)}, smf.Track{Events: all}))
	p, err = smf.Read(&data, "t.mid")
	require.NoError(t, err)
	return p
}

// scaled is a map for a finer division.
func scaled(tempos []smf.TempoChange, by int64) []smf.TempoChange {
	out := append([]smf.TempoChange(nil), tempos...)
	for i := range out {
		out[i].Tick *= by
	}
	return out
}

func findings(t testing.TB, p *smf.Performance, o Options) []map[string]any {
	t.Helper()
	r, err := New(p, o)
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, r.Run(sitting.HeadingOf(r.Score, o.Level.Name), lines.NewJSON(&out).Record))
	var all []map[string]any
	for _, l := range strings.Split(strings.TrimSpace(out.String()), "\n") {
		var m map[string]any
		require.NoError(t, json.Unmarshal([]byte(l), &m))
		if m["type"] == "finding" {
			all = append(all, m)
		}
	}
	return all
}

func TestMillisecondsAreTheFilesOwnAtEveryTempo(t *testing.T) {
	o := options(t, tune, "block-half")
	for _, off := range []time.Duration{-60, -20, 0, 20, 60} {
		off *= time.Millisecond
		p := exact(t, o, ramp, func(i int) time.Duration {
			if i < 2 {
				return 0 // nothing can come before the file begins
			}
			return off
		})
		told := findings(t, p, o)
		require.Len(t, told, 16)
		for i, f := range told[2:] {
			require.Equal(t, "right", f["kind"], "%v", f)
			assert.InDelta(t, float64(off/time.Millisecond), f["offset_ms"], 0.3, "stroke %d", i)
		}
	}
}

func TestToleranceIsTheSameAtEveryTempo(t *testing.T) {
	o := options(t, tune, "block-half")
	for stroke := 2; stroke < 16; stroke++ {
		p := exact(t, o, ramp, func(i int) time.Duration {
			if i/2 == stroke/2 { // both hands together
				return 150 * time.Millisecond
			}
			return 0
		})
		late := 0
		for _, f := range findings(t, p, o) {
			if f["kind"] == "late" {
				late++
				assert.InDelta(t, 150, f["offset_ms"], 0.3)
			}
		}
		assert.Equal(t, 2, late, "stroke %d", stroke)
	}
}

func TestAtMsIsTheFilesOwnTime(t *testing.T) {
	o := options(t, tune, "block-whole")
	p := exact(t, o, ramp, func(int) time.Duration { return 0 })
	var at []float64
	for _, f := range findings(t, p, o) {
		at = append(at, f["at_ms"].(float64))
	}
	// Bars begin at 0, 4, 6.4 and 8 seconds: 4 quarters of 1, 0.6 and 0.4.
	assert.InDeltaSlice(t, []float64{0, 0, 4000, 4000, 6400, 6400, 8000, 8000}, at, 0.2)
}

func TestWarpGoesThereAndBack(t *testing.T) {
	o := options(t, tune, "two-beat")
	for name, tempos := range map[string][]smf.TempoChange{
		"none": nil, "one": {{MicrosPerQuarter: 500_000}}, "ramp": ramp,
		"sudden": {{MicrosPerQuarter: 1}, {Tick: 960, MicrosPerQuarter: 16_777_215}, {Tick: 961, MicrosPerQuarter: 1}},
	} {
		r, err := New(&smf.Performance{TicksPerQuarter: 480, Tempos: stamped(tempos)}, o)
		require.NoError(t, err)
		for i := 1; i < len(r.warp); i++ {
			require.Greater(t, r.warp[i].file, r.warp[i-1].file, name)
			require.Greater(t, r.warp[i].engine, r.warp[i-1].engine, name)
		}
		if name == "sudden" {
			continue // where the file's clock hardly moves, nothing can be carried back exactly
		}
		before := time.Duration(-1)
		for at := time.Duration(0); at < 30*time.Second; at += 777 * time.Microsecond {
			e := r.warp.toEngine(at)
			require.GreaterOrEqual(t, e, before, "%s: time runs forward", name)
			before = e
			require.InDelta(t, float64(at), float64(r.warp.toFile(e)), 5, "%s at %v", name, at)
		}
	}
}

func TestTempoIsTheFiles(t *testing.T) {
	for _, c := range []struct {
		name, chart string
		tempos      []smf.TempoChange
		skip        int
		want        float64
		from        sitting.Source
	}{
		{"a file that says nothing plays at 120 (Standard MIDI Files 1.1)", tune, nil, 0, 120, sitting.UsualOfFile},
		{"one tempo", tune, []smf.TempoChange{{MicrosPerQuarter: 600_000}}, 0, 100, sitting.FromFile},
		{"dotted quarters in 6/8", "key: C\nmeter: 6/8\n| C | F |\n", []smf.TempoChange{{MicrosPerQuarter: 500_000}}, 0, 80, sitting.FromFile},
		{"the mean: 16 quarters in 11.2 seconds", tune, ramp, 0, 16 * 60 / 11.2, sitting.MeanOfFile},
		{"a slower count-in does not count", tune, ramp[:2], 1, 100, sitting.FromFile},
		{"the last of two at one place", tune, []smf.TempoChange{{MicrosPerQuarter: 1000}, {MicrosPerQuarter: 600_000}}, 0, 100, sitting.FromFile},
	} {
		o := options(t, c.chart, "block-whole")
		o.SkipBars = c.skip
		r, err := New(&smf.Performance{TicksPerQuarter: 480, Tempos: stamped(c.tempos)}, o)
		require.NoError(t, err, c.name)
		assert.InDelta(t, c.want, float64(r.Score.Tempo), 1e-6, c.name)
		assert.Equal(t, c.from, r.Source, c.name)
	}
}

func TestGivenTempoTakesTheFilesTimesAsTheyAre(t *testing.T) {
	o := options(t, tune, "block-whole")
	o.Tempo = 120
	r, err := New(&smf.Performance{TicksPerQuarter: 480, Tempos: stamped(ramp)}, o)
	require.NoError(t, err)
	assert.Equal(t, meter.Tempo(120), r.Score.Tempo)
	assert.Equal(t, sitting.Asked, r.Source)
	for _, at := range []time.Duration{0, time.Second, time.Hour} {
		assert.Equal(t, at, r.warp.toEngine(at))
	}
}

func TestPercussionIsNoPlaying(t *testing.T) {
	o := options(t, tune, "block-whole")
	p := exact(t, o, []smf.TempoChange{{MicrosPerQuarter: 600_000}}, func(int) time.Duration { return 0 })
	var mixed []event.Event
	for _, e := range p.Events {
		mixed = append(mixed, e)
		e.Status |= 9
		e.Data1 = 42
		mixed = append(mixed, e)
	}
	p.Events = mixed
	for _, f := range findings(t, p, o) {
		assert.Equal(t, "right", f["kind"], "%v", f)
	}
}

func FuzzAnyTempoMap(f *testing.F) {
	f.Add(int64(0), 500_000, int64(480), 300_000, int64(4000), 900_000, 0)
	f.Add(int64(5), 1, int64(6), 16_777_215, int64(7), 1, 3)
	o := options(f, tune, "two-beat")
	f.Fuzz(func(t *testing.T, t1 int64, us1 int, t2 int64, us2 int, t3 int64, us3 int, skip int) {
		o := o
		o.SkipBars = ((skip % 100) + 100) % 100
		p := &smf.Performance{TicksPerQuarter: 480}
		ticks := []int64{t1 & 0xFFFF, t1&0xFFFF + t2&0xFFFF, t1&0xFFFF + t2&0xFFFF + t3&0xFFFF}
		for i, us := range []int{us1, us2, us3} {
			p.Tempos = append(p.Tempos, smf.TempoChange{Tick: ticks[i], MicrosPerQuarter: 1 + us&0xFFFFFE})
		}
		p.Tempos = stamped(p.Tempos)
		r, err := New(p, o)
		require.NoError(t, err)
		before := time.Duration(-1 << 62)
		for i := range 200 {
			at := time.Duration(i) * 37 * time.Millisecond
			e := r.warp.toEngine(at)
			require.GreaterOrEqual(t, e, before, fmt.Sprint(at))
			before = e
		}
	})
}
