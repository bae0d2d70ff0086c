package review

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/smf"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

func TestALedRecordingIsJudgedByItsNotesAlone(t *testing.T) {
	o := options(t, tune, "two-beat")
	played := exact(t, o, []smf.TempoChange{{MicrosPerQuarter: 625_000}}, func(int) time.Duration { return 0 })
	for i, e := range played.Events { // begins late, slows down, and waits before bar 3
		x := e.At.Seconds()
		played.Events[i].At = 5*time.Second + time.Duration((x*1.1+0.02*x*x)*float64(time.Second))
		if x > 4.9 {
			played.Events[i].At += 9 * time.Second
		}
	}
	played.End += 30 * time.Second
	o.Follow = true
	told := findings(t, played, o)
	require.Len(t, told, 16)
	for _, f := range told {
		assert.Equal(t, "right", f["kind"], "%v", f)
	}
	assert.Equal(t, 5000.0, told[0]["at_ms"], "the file's own time")
	o.Follow, o.Tempo = false, 96
	told = findings(t, played, o)
	assert.True(t, slices.ContainsFunc(told, func(f map[string]any) bool { return f["kind"] != "right" }), "by the click it is not right")
}

func TestOneHandAloneIsJudgedAlone(t *testing.T) {
	o := options(t, tune, "two-beat")
	p := exact(t, o, nil, func(int) time.Duration { return 0 })
	o.Only = score.LeftAlone
	told := findings(t, p, o)
	require.Len(t, told, 8)
	for _, f := range told {
		assert.Equal(t, []any{"right", "left"}, []any{f["kind"], f["hand"]})
	}
}

// The pattern's second bar differs from its first; the second time through the
// repeat has them the other way round.
const inTwos = "name: twos\nmeter: 4/4\ngrid: halves\nlevel: 1\n\nleft: 1 5 | 5 1\n"

func TestASpanIsJudgedWhereItComesInTheWhole(t *testing.T) {
	o := options(t, "key: C\nmeter: 4/4\nupbeat: 1\n\n(G) |: C | F | G7 :| C | F |\n", "block-half")
	twos := material.Pattern(t, inTwos)
	for _, p := range []*pattern.Pattern{o.Pattern, twos} {
		o.Pattern = p
		for _, tempos := range [][]smf.TempoChange{{{MicrosPerQuarter: 600_000}}, ramp} {
			o.Span = score.Span{}
			whole := exact(t, o, tempos, func(i int) time.Duration { return time.Duration(i%3) * 20 * time.Millisecond })
			all := findings(t, whole, o)
			for _, span := range []score.Span{{From: 1, To: 1}, {From: 2, To: 3}, {From: 3, To: 4}, {From: 4, To: 5}, {From: 5, To: 5}} {
				o.Span = span
				told := findings(t, whole, o)
				require.NotEmpty(t, told)
				for _, f := range told {
					assert.Equal(t, "right", f["kind"], "%s, bars %v: %v", p.Name, span, f)
				}
				assert.LessOrEqual(t, len(told), len(all))
			}
		}
	}
}

func TestNotesOutsideASpanAreIgnored(t *testing.T) {
	o := options(t, tune, "block-half")
	p := exact(t, o, []smf.TempoChange{{MicrosPerQuarter: 600_000}}, func(i int) time.Duration { return 0 })
	for i := range p.Events { // bars 1 and 4 are nonsense
		if bar := p.Events[i].At / (2400 * time.Millisecond); bar == 0 || bar == 3 {
			p.Events[i].Data1 = 21 + uint8(i%3)
		}
	}
	o.Span = score.Span{From: 2, To: 3}
	for _, f := range findings(t, p, o) {
		assert.Equal(t, "right", f["kind"], "%v", f)
	}
	o.Span = score.Span{}
	wrong := 0
	for _, f := range findings(t, p, o) {
		if f["kind"] != "right" {
			wrong++
		}
	}
	assert.NotZero(t, wrong)
}

func TestAFileThatEndsTooSoon(t *testing.T) {
	o := options(t, tune, "block-half")
	p := exact(t, o, []smf.TempoChange{{MicrosPerQuarter: 600_000}}, func(i int) time.Duration { return 0 })
	long := options(t, "key: C\nmeter: 4/4\ntempo: 100\n\n| C | F | G7 | C | C | F | G7 | C |\n", "block-half")
	for _, c := range []struct {
		skip int
		bars score.Span
		want string
	}{
		{4, score.Span{}, "the file has 4 bars, and nothing is left with 4 passed over"},
		{0, score.Span{From: 5, To: 6}, "the file has 4 bars and is over before bar 5 comes"},
		{1, score.Span{From: 4, To: 6}, "the file has 4 bars and is over before bar 4 comes, with 1 passed over"},
	} {
		for _, tempo := range []meter.Tempo{0, 100} {
			long.SkipBars, long.Span, long.Tempo = c.skip, c.bars, tempo
			_, err := New(p, long)
			var short *ShortError
			require.ErrorAs(t, err, &short)
			assert.Contains(t, err.Error(), c.want)
		}
	}
	long.SkipBars, long.Span = 3, score.Span{}
	_, err := New(p, long)
	assert.NoError(t, err, "the last bar is left")
}
