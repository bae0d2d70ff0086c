package lines

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/test/golden"
	"undersong/internal/test/material"
	"undersong/internal/ui/manual"
)

// face is what lines are written by.
type face interface{ Record(sitting.Record) error }

// lesson plays two bars by hand: the bass of bar 2 is wrong, its chord late.
func lesson(t *testing.T, w face) sitting.Result {
	t.Helper()
	c := material.Chart(t, "title: Sakura\nkey: C\nmeter: 4/4\ntempo: 120\n\n| C | F |\n")
	p := material.Shipped(t, "block-whole")
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err)
	h := sitting.HeadingOf(s, rules.Steady.Name)
	h.File = "my charts/sakura.chart"
	tell := func(r sitting.Record) { require.NoError(t, w.Record(r)) }
	tell(sitting.Record{Piece: sitting.NewPiece(h, s, c)})
	tell(sitting.Record{CountIn: &sitting.CountIn{Music: 2 * time.Second, Bar: 1, Tempo: s.Tempo}})
	tell(sitting.Record{At: 1500 * time.Millisecond, Notice: &sitting.Notice{Kind: sitting.Unplugged, Port: "a fly\x1b on the keys"}})

	e := engine.New(s, engine.Options{Level: rules.Steady, Start: 2 * time.Second})
	ms := func(n int) time.Duration { return time.Duration(n) * time.Millisecond }
	session := sitting.Result{Heading: h, Length: ms(6000)}
	judge := func(found []finding.Finding) {
		for i := range found {
			session.Picture.Add(s.Bars[found[i].Bar].Number, sitting.Turn{}, found[i].Kind)
			bar := sitting.Place{Bar: found[i].Bar}
			tell(sitting.Record{Findings: []sitting.Item{{Finding: found[i], At: found[i].At, Pass: 1, About: bar, During: bar}}})
		}
	}
	for _, k := range []uint8{48, 60, 64, 67} {
		judge(e.Feed(event.On(ms(2010), k, 70)))
	}
	for _, k := range []uint8{48, 60, 64, 67} {
		judge(e.Feed(event.Off(ms(3950), k)))
	}
	judge(e.Feed(event.On(ms(4000), 43, 70)))
	for _, k := range []uint8{60, 65, 69} {
		judge(e.Feed(event.On(ms(4150), k, 70)))
	}
	judge(e.Finish(ms(6000)))
	session.Summary = e.Summary()
	tell(sitting.Record{At: session.Length, Result: &session})
	return session
}

func TestPlainReport(t *testing.T) {
	var out bytes.Buffer
	all := NewPlain(&out)
	all.All = true
	lesson(t, all)
	assert.NotContains(t, out.String(), "\x1b")
	golden.Equal(t, "lesson.txt", out.String())
}

func TestJSONLines(t *testing.T) {
	var out bytes.Buffer
	lesson(t, NewJSON(&out))
	golden.Equal(t, "lesson.jsonl", out.String())
}

// TestSchemaTellsEveryField holds the description to what is written: every
// field of every line is named in it, and every kind is counted.
func TestSchemaTellsEveryField(t *testing.T) {
	topic, ok := manual.Find("json")
	require.True(t, ok)
	schema := topic.Text(80)
	var out bytes.Buffer
	j := NewJSON(&out)
	s := lesson(t, j)
	s.Length, s.Hands, s.Follow, s.Span, s.Loop = sitting.LongSession, score.LeftAlone, true, score.Span{From: 1, To: 2}, true
	require.NoError(t, j.Record(sitting.Record{Piece: &sitting.Piece{Heading: s.Heading}}), "a change")
	require.NoError(t, j.Record(sitting.Record{Result: &s}))
	require.NoError(t, NewJSON(&out).Record(sitting.Record{Piece: &sitting.Piece{Heading: s.Heading}}))
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
	for _, k := range append(finding.Kinds(finding.Strokes), finding.Kinds(finding.Flow)...) {
		assert.Contains(t, schema, k.String())
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

// What a singer stumbles over has fields and counts of its own.
func TestWhatBreaksTheFlowInJSON(t *testing.T) {
	topic, _ := manual.Find("json")
	var out bytes.Buffer
	j := NewJSON(&out)
	s := lesson(t, j)
	out.Reset()
	s.Sing, s.Follow = true, true
	require.NoError(t, j.Record(sitting.Record{Piece: sitting.NewPiece(s.Heading, j.piece.Score, nil)}))
	require.NoError(t, j.Record(sitting.Record{Findings: []sitting.Item{
		{Finding: finding.Finding{Kind: finding.Stopped, Part: finding.BothHands, Bar: 1, Beat: 1, Want: -1, Second: -1, Offset: 1500 * time.Millisecond, Flow: finding.FlowDetail{To: 1}}},
		{Finding: finding.Finding{Kind: finding.LostBeat, Part: finding.BothHands, Bar: 0, Beat: 1, Want: -1, Second: -1, Flow: finding.FlowDetail{To: 1, Beats: -2}}},
	}}))
	require.NoError(t, j.Record(sitting.Record{Result: &s}))
	assert.Contains(t, out.String(), `"kind":"stopped","wanted":"music that goes on","heard":"silence for 1.5 s","fix":"play on: hold the chord, or strike it again","pause_ms":1500,"to_bar":2}`)
	assert.Contains(t, out.String(), `"pause_ms":0,"to_bar":2,"beats":-2}`)
	assert.Contains(t, out.String(), `"counts":{"stopped":0,"went-back":0,"lost-beat":0,"lost":0,`)
	for _, field := range []string{"pause_ms", "to_bar", "beats", "sing "} {
		assert.Contains(t, topic.Text(80), field)
	}
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
