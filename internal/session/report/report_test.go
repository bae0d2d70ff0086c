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

	"undersong/internal/judge/coach"
	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/ui/manual"
)

var update = flag.Bool("update", false, "write the golden files anew")

// lesson plays two bars by hand: the bass of bar 2 is wrong, its chord late.
func lesson(t *testing.T, w Writer) sitting.Result {
	t.Helper()
	c := material.Chart(t, "title: Sakura\nkey: C\nmeter: 4/4\ntempo: 120\n\n| C | F |\n")
	p := material.Shipped(t, "block-whole")
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err)
	h := sitting.HeadingOf(s, coach.Steady)
	h.File = "my charts/sakura.chart"
	require.NoError(t, w.Start(h))
	require.NoError(t, w.CountIn(sitting.CountIn{At: 0, Music: 2 * time.Second, Bar: 1, Tempo: s.Tempo}))
	require.NoError(t, w.Notice(1500*time.Millisecond, "a fly\x1b sat on the keys"))

	e := engine.New(s, engine.Options{Level: coach.Steady, Start: 2 * time.Second})
	ms := func(n int) time.Duration { return time.Duration(n) * time.Millisecond }
	session := sitting.Result{Heading: h, Length: ms(6000)}
	tell := func(found []finding.Finding) {
		for i := range found {
			session.Picture.Add(s.Bars[found[i].Bar].Number, sitting.Turn{}, found[i].Kind)
			require.NoError(t, w.Finding(sitting.Item{Finding: &found[i], Score: e.Score, Ear: e.Ear, At: found[i].At, Pass: 1}))
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
	session.Summary = e.Summary()
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
	topic, ok := manual.Find("json")
	require.True(t, ok)
	schema := topic.Text(80)
	var out bytes.Buffer
	s := lesson(t, NewJSON(&out))
	s.Length, s.Hand, s.Follow = sitting.LongSession, "left", true
	require.NoError(t, NewJSON(&out).Start(s.Heading))
	require.NoError(t, NewJSON(&out).Summary(s))
	for _, line := range strings.Split(strings.TrimSpace(out.String()), "\n") {
		var m map[string]any
		require.NoError(t, json.Unmarshal([]byte(line), &m))
		assert.Contains(t, schema, `"type":"`+m["type"].(string)+`"`)
		for field := range m {
			assert.Contains(t, schema, field, "%s of %s", field, m["type"])
		}
		if m["type"] == "summary" {
			assert.Len(t, m["counts"], len(finding.Kinds(finding.Strokes)))
		}
	}
	for _, k := range finding.Kinds(finding.Strokes) {
		assert.Contains(t, schema, k.String())
		assert.Contains(t, kindWords, k)
		assert.Contains(t, barMarks, k)
		assert.True(t, k == finding.Right || remedies[k] != "", "a remedy for %s", k)
	}
	assert.Contains(t, schema, SchemaName)
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
func trouble(k finding.Kind, last int, bars ...int) sitting.Result {
	s := sitting.Result{Heading: sitting.Heading{File: "a.chart", Pattern: "waltz", Tempo: 100, Level: "steady", Last: last}}
	for _, b := range bars {
		c := finding.BarCount{Bar: b}
		c.Counts[k]++
		s.Summary.Bars = append(s.Summary.Bars, c)
	}
	s.Summary.Troubles = []finding.Trouble{{Kind: k, Bars: bars, Count: len(bars)}}
	return s
}

func TestCommandPractisesSlowlyButKeepsTheTempoForTime(t *testing.T) {
	s := trouble(finding.WrongBass, 16, 5)
	assert.Equal(t, "undersong practice a.chart --pattern waltz --tempo 80 --bars 4-6 --loop --hand left", Practise(s)[0].Command)
	s = trouble(finding.Late, 16, 5)
	s.Level = "strict"
	assert.Equal(t, "undersong practice a.chart --pattern waltz --tempo 100 --bars 4-6 --loop --hand left --level strict", Practise(s)[0].Command)
	s.Follow = true
	assert.Contains(t, Practise(s)[0].Command, " --loop --hand left --follow --level strict")
	s.File = ""
	assert.Empty(t, Practise(s)[0].Command)
}

func TestPictureShowsTheLastTimeOfEachBar(t *testing.T) {
	var p sitting.Picture
	assert.Empty(t, pictureText(p, 0, 1, 8))
	for pass, kinds := range [][]finding.Kind{
		{finding.Right, finding.WrongBass, finding.Late, finding.Right, finding.Missing},
		{finding.Late, finding.Right, finding.WrongChord},
	} {
		for i, k := range kinds {
			p.Add(i+1, sitting.Turn{Pass: pass}, finding.Right)
			p.Add(i+1, sitting.Turn{Pass: pass}, k)
			p.Add(i+1, sitting.Turn{Pass: pass}, finding.Right)
		}
	}
	p.Add(1, sitting.Turn{Pass: 0}, finding.Lost) // of the pass before, told late
	p.Add(11, sitting.Turn{Pass: 1}, finding.Balance)
	assert.Equal(t, "Bars as last played (+ right, C wrong chord, M missing, L late, V out of balance, - not judged):\n"+
		"   1L   2+   3C   4+   5M   6-   7-   8-\n"+
		"   9-  10-  11V", pictureText(p, 0, 0, 11))
}

func TestPictureShowsTheIntroFirst(t *testing.T) {
	var p sitting.Picture
	for i, bar := range []int{-1, -2, 1, 2} {
		p.Add(bar, sitting.Turn{}, []finding.Kind{finding.Right, finding.WrongChord, finding.Right, finding.Late}[i])
	}
	assert.Equal(t, "Bars as last played (+ right, C wrong chord, L late):\n  intro  1+  2C\n  1+  2L", pictureText(p, 2, 1, 2))
}

func TestBarsOfAnIntroAreNamedAndPractised(t *testing.T) {
	assert.Equal(t, "intro 2", barsText([]int{-2}))
	assert.Equal(t, "bars intro 1, intro 2, 3 and 5-7", barsText([]int{-1, -2, 3, 5, 6, 7}))
	s := trouble(finding.Late, 16, -1, -2, -3)
	s.AsChart = true
	assert.Contains(t, Practise(s)[0].Command, "--bars intro --loop")
	assert.NotContains(t, Practise(s)[0].Command, "--pattern")
}

func TestEveryKindHasItsOwnMark(t *testing.T) {
	seen := map[string]bool{notJudged: true}
	for _, k := range finding.Kinds(finding.Strokes) {
		assert.False(t, seen[barMarks[k]], barMarks[k])
		seen[barMarks[k]] = true
	}
}

func TestReminderIsShort(t *testing.T) {
	var items []sitting.Item
	lesson(t, &listed{items: &items})
	bass, late := items[2], items[3]
	require.Equal(t, finding.WrongBass, bass.Finding.Kind)
	assert.Equal(t, "bar 2, beat 1: bass G, this is F - go down to F", Line(bass))
	for n, want := range map[int]string{1: "", 2: ", third time", 9: ", tenth time", 10: ", 11 times now"} {
		bass.Finding.Again = n
		assert.Equal(t, "bar 2, beat 1: bass G again"+want, Line(bass))
	}
	late.Finding.Again = 1
	assert.Equal(t, "bar 2, beat 1: 150 ms late again", Line(late))
}

// listed keeps the findings.
type listed struct {
	Plain
	items *[]sitting.Item
}

func (l *listed) Start(sitting.Heading) error        { return nil }
func (l *listed) CountIn(sitting.CountIn) error      { return nil }
func (l *listed) Notice(time.Duration, string) error { return nil }
func (l *listed) Summary(sitting.Result) error       { return nil }

func (l *listed) Finding(i sitting.Item) error {
	f := *i.Finding
	i.Finding = &f
	*l.items = append(*l.items, i)
	return nil
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
	assert.Equal(t, []string{"Nothing was played that could be judged."}, SummaryLines(sitting.Result{}))
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

func TestTendencyIsSaid(t *testing.T) {
	assert.Equal(t, ", rushing: 64 ms ahead by the end", tendency(-64))
	assert.Equal(t, ", dragging: 31 ms behind by the end", tendency(31.2))
	assert.Empty(t, tendency(29))
	assert.Empty(t, tendency(-29))
}
