package report

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/chart"
	"undersong/internal/coach"
	"undersong/internal/engine"
	"undersong/internal/event"
	"undersong/internal/pattern"
	"undersong/internal/score"
	"undersong/patterns"
)

var update = flag.Bool("update", false, "write the golden files anew")

// lesson plays two bars by hand: the bass of bar 2 is wrong, its chord late.
func lesson(t *testing.T, w Writer) Session {
	t.Helper()
	c, err := chart.Parse([]byte("title: Sakura\nkey: C\nmeter: 4/4\ntempo: 120\n\n| C | F |\n"), "")
	require.NoError(t, err)
	cat, err := pattern.Load(patterns.Files)
	require.NoError(t, err)
	p, err := cat.Find("block-whole")
	require.NoError(t, err)
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err)
	h := HeadingOf(s, coach.Steady)
	h.File = "my charts/sakura.chart"
	require.NoError(t, w.Start(h))
	require.NoError(t, w.CountIn(0, 2*time.Second, 1))
	require.NoError(t, w.Notice(1500*time.Millisecond, "a fly\x1b sat on the keys"))

	e := engine.New(s, engine.Options{Level: coach.Steady, Start: 2 * time.Second})
	ms := func(n int) time.Duration { return time.Duration(n) * time.Millisecond }
	tell := func(found []coach.Finding) {
		for i := range found {
			require.NoError(t, w.Finding(Item{Finding: &found[i], Voice: e.Voice(), At: found[i].At, Pass: 1}))
		}
	}
	for _, k := range []uint8{48, 60, 64, 67} {
		tell(e.Feed(event.On(ms(2010), k, 70)))
	}
	for _, k := range []uint8{48, 60, 64, 67} {
		tell(e.Feed(event.Off(ms(3950), k)))
	}
	tell(e.Feed(event.On(ms(4000), 43, 70)))
	for _, k := range []uint8{60, 65, 69} {
		tell(e.Feed(event.On(ms(4150), k, 70)))
	}
	tell(e.Finish(ms(6000)))
	session := Session{Heading: h, Length: ms(6000), Summary: e.Summary()}
	require.NoError(t, w.Summary(session))
	return session
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

func TestPlainReport(t *testing.T) {
	var out bytes.Buffer
	lesson(t, NewPlain(&out))
	assert.NotContains(t, out.String(), "\x1b")
	golden(t, "lesson.txt", out.Bytes())
}

func TestJSONLines(t *testing.T) {
	var out bytes.Buffer
	lesson(t, NewJSON(&out))
	golden(t, "lesson.jsonl", out.Bytes())
}

// TestSchemaTellsEveryField holds the description to what is written: every
// field of every line is named in it, and every kind is counted.
func TestSchemaTellsEveryField(t *testing.T) {
	var out bytes.Buffer
	s := lesson(t, NewJSON(&out))
	s.Length = LongSession
	require.NoError(t, NewJSON(&out).Summary(s))
	for _, line := range strings.Split(strings.TrimSpace(out.String()), "\n") {
		var m map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &m))
		assert.Contains(t, Schema, `"type":"`+m["type"].(string)+`"`)
		for field := range m {
			assert.Contains(t, Schema, field, "%s of %s", field, m["type"])
		}
		if m["type"] == "summary" {
			assert.Len(t, m["counts"], len(coach.Kinds()))
		}
	}
	for _, k := range coach.Kinds() {
		assert.Contains(t, Schema, k.String())
		assert.Contains(t, kindWords, k)
		assert.True(t, k == coach.Right || remedies[k] != "", "a remedy for %s", k)
	}
	assert.Contains(t, Schema, SchemaName)
}

// oneWrite fails where a line takes more than one write: a reader must never
// see half a line.
type oneWrite struct{ t *testing.T }

func (w oneWrite) Write(p []byte) (int, error) {
	assert.Equal(w.t, 1, bytes.Count(p, []byte("\n")))
	assert.True(w.t, bytes.HasSuffix(p, []byte("\n")))
	return len(p), nil
}

func TestEveryLineIsOneWrite(t *testing.T) {
	lesson(t, NewJSON(oneWrite{t}))
	lesson(t, NewPlain(oneWrite{t}))
}

func TestBarsText(t *testing.T) {
	for want, bars := range map[string][]int{
		"bar 3":                             {3},
		"bars 3 and 4":                      {3, 4},
		"bars 3-5":                          {3, 4, 5},
		"bars 1, 3-5 and 9":                 {1, 3, 4, 5, 9},
		"bars 1-32":                         seq(1, 32),
		"bars 1, 3, 5, 7, 9, 11 and 2 more": {1, 3, 5, 7, 9, 11, 13, 15},
		"bars 2, 4, 6, 8, 10-14 and 20":     {2, 4, 6, 8, 10, 11, 12, 13, 14, 20},
	} {
		assert.Equal(t, want, barsText(bars))
	}
}

func seq(from, to int) (all []int) {
	for n := from; n <= to; n++ {
		all = append(all, n)
	}
	return all
}

// trouble is a session in which a kind was found once in each of some bars.
func trouble(k coach.Kind, last int, bars ...int) (Session, *coach.Trouble) {
	s := Session{Heading: Heading{File: "a.chart", Pattern: "waltz", Tempo: 100, Level: "steady", Last: last}}
	for _, b := range bars {
		c := coach.BarCount{Bar: b}
		c.Counts[k]++
		s.Summary.Bars = append(s.Summary.Bars, c)
	}
	return s, &coach.Trouble{Kind: k, Bars: bars, Count: len(bars)}
}

func TestPracticeSpanIsAroundTheTrouble(t *testing.T) {
	for _, c := range []struct {
		last     int
		bars     []int
		from, to int
	}{
		{16, []int{5}, 4, 6},
		{16, []int{1}, 1, 2},
		{16, []int{16}, 15, 16},
		{1, []int{1}, 1, 1},
		{16, []int{0}, 1, 2},
		{16, []int{2, 9, 10, 11}, 8, 11},
		{16, []int{3, 4, 5, 6, 7}, 3, 6},
	} {
		s, tr := trouble(coach.WrongBass, c.last, c.bars...)
		from, to := span(s, tr)
		assert.Equal(t, []int{c.from, c.to}, []int{from, to}, "%v of %d", c.bars, c.last)
	}
}

func TestCommandPractisesSlowlyButKeepsTheTempoForTime(t *testing.T) {
	s, tr := trouble(coach.WrongBass, 16, 5)
	assert.Equal(t, "undersong practice a.chart --pattern waltz --tempo 80 --bars 4-6 --loop", command(s, tr))
	s, tr = trouble(coach.Late, 16, 5)
	s.Level = "strict"
	assert.Equal(t, "undersong practice a.chart --pattern waltz --tempo 100 --bars 4-6 --loop --level strict", command(s, tr))
	s.File = ""
	assert.Empty(t, command(s, tr))
}

func TestShellWordsComeThroughAShell(t *testing.T) {
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no shell here")
	}
	for _, word := range []string{"a.chart", "", "my chart", "it's", "$HOME", "a;b", "*", "Bb", "ünder", "a\\b"} {
		out, err := exec.Command(sh, "-c", "printf %s "+shellWord(word)).Output()
		require.NoError(t, err)
		assert.Equal(t, word, string(out))
	}
}

func TestNothingPlayed(t *testing.T) {
	assert.Equal(t, []string{"Nothing was played that could be judged."}, SummaryLines(Session{}))
}

func TestNumbersAreRoundedOnce(t *testing.T) {
	assert.Equal(t, 1234.568, milliseconds(1234567890))
	assert.Equal(t, "0", asJSON(t, milliseconds(-400)), "no negative zero")
	assert.Equal(t, "0", asJSON(t, round(-0.04, 1)))
	assert.Equal(t, -12.3, round(-12.34, 1))
}

func asJSON(t *testing.T, v float64) string {
	b, err := json.Marshal(v)
	require.NoError(t, err)
	return string(b)
}
