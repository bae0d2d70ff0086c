package lines

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/rules"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

func TestLinesBreakBetweenWords(t *testing.T) {
	for _, c := range []struct {
		name, text string
		width      int
		want       string
	}{
		{"no width", "left hand on the beat", 0, "left hand on the beat"},
		{"it fits", "left hand", 9, "left hand"},
		{"a word too many", "left hand on", 9, "left hand\non"},
		{"a bar's span stays whole", "wrong bass, bars 3, 5-7 and 9", 22, "wrong bass, bars 3,\n5-7 and 9"},
		{"a word wider than the line", "in Llanfairpwllgwyngyll too", 8, "in\nLlanfairpwllgwyngyll\ntoo"},
		{"letters, not bytes", "Frère Jacques", 13, "Frère Jacques"},
		{"commands are copied whole", "  undersong practice my.chart --loop", 10, "  undersong practice my.chart --loop"},
	} {
		assert.Equal(t, c.want, wrap(c.text, c.width), c.name)
	}
}

func TestTheSummaryFitsTheTerminal(t *testing.T) {
	var narrow, wide bytes.Buffer
	p := NewPlain(&narrow)
	p.Width = 30
	lesson(t, p)
	lesson(t, NewPlain(&wide))
	for _, l := range strings.Split(narrow.String(), "\n") {
		if !strings.HasPrefix(l, " ") {
			assert.LessOrEqual(t, len([]rune(l)), 30, "%q", l)
		}
	}
	assert.Equal(t, strings.Fields(wide.String()), strings.Fields(narrow.String()))
}

// head is the first line of a writer for a heading.
func head(t *testing.T, h sitting.Heading, to func(*bytes.Buffer) face) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, to(&b).Record(sitting.Record{Piece: &sitting.Piece{Heading: h}}))
	return b.String()
}

func TestHeadingsNameBarsAndTheMeanTempo(t *testing.T) {
	key, err := pitch.ParseKey("C")
	require.NoError(t, err)
	h := sitting.Heading{Title: "Sakura", Pattern: "waltz", Key: key, Meter: meter.Meter{Num: 3, Den: 4}, Tempo: 90, Level: rules.Steady.Name}
	asPlain := func(b *bytes.Buffer) face { return NewPlain(b) }
	asJSON := func(b *bytes.Buffer) face { return NewJSON(b) }
	assert.NotContains(t, head(t, h, asJSON), "tempo_mean")
	h.Source, h.Span = sitting.MeanOfFile, score.Span{From: 9, To: 9}
	assert.Contains(t, head(t, h, asJSON), `"tempo":90,"tempo_mean":true,`)
	assert.Contains(t, head(t, h, asPlain), "steady, bar 9\n")
	h.Span.To = 10
	assert.Contains(t, head(t, h, asPlain), "steady, bars 9-10\n")
}
