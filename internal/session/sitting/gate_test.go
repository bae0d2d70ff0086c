package sitting

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
)

// found is findings of kinds, each about a bar while another one is played.
type found struct {
	kind          finding.Kind
	about, during int
}

func items(all ...found) []Item {
	var list []Item
	for _, f := range all {
		list = append(list, Item{Finding: finding.Finding{Kind: f.kind, Bar: f.about}, About: Place{Bar: f.about}, During: Place{Bar: f.during}})
	}
	return list
}

func chosen(g *Gate, all ...found) string {
	var kinds []string
	for _, i := range g.Choose(items(all...)) {
		kinds = append(kinds, i.Finding.Kind.String())
	}
	return strings.Join(kinds, " ")
}

func TestOneCorrectionABar(t *testing.T) {
	var g Gate
	assert.Empty(t, chosen(&g), "nothing came")
	assert.Empty(t, chosen(&g, found{finding.Right, 0, 0}), "what is right is no correction")
	assert.Equal(t, "wrong-bass", chosen(&g, found{finding.Late, 0, 0}, found{finding.WrongBass, 0, 0}, found{finding.Right, 0, 0}), "the most important")
	assert.Empty(t, chosen(&g, found{finding.WrongChord, 0, 1}), "one about each bar")
	assert.Empty(t, chosen(&g, found{finding.WrongChord, 1, 0}), "one while a bar is played")
	assert.Equal(t, "early", chosen(&g, found{finding.Early, 1, 1}))
	again := items(found{finding.WrongBass, 0, 0})
	again[0].About.Turn.Pass, again[0].During.Turn.Pass = 1, 1
	assert.Len(t, g.Choose(again), 1, "the next time round is another time")
	for bar := 2; bar < 2+Remembered; bar++ {
		assert.Equal(t, "late", chosen(&g, found{finding.Late, bar, bar}), bar)
	}
	assert.Empty(t, chosen(&g, found{finding.Late, 2, 2 + Remembered}), "the eighth bar back is still remembered")
	assert.Equal(t, "late", chosen(&g, found{finding.Late, 1, 3 + Remembered}), "an older one is not")
}

func TestTheWorstOfEachBarAfterAPass(t *testing.T) {
	g := Gate{After: true}
	assert.Equal(t, "wrong-chord wrong-bass wrong-bass late", chosen(&g,
		found{finding.Right, 0, 0}, found{finding.Late, 0, 0}, found{finding.WrongBass, 3, 3}, found{finding.Missing, 2, 2},
		found{finding.WrongBass, 2, 3}, found{finding.Extra, 2, 2}, found{finding.WrongChord, 4, 4}, found{finding.Right, 5, 5}))
	inOrder := g.Choose(items(found{finding.WrongBass, 3, 3}, found{finding.WrongBass, 2, 2}))
	assert.Equal(t, 2, inOrder[0].Finding.Bar, "the earlier bar first among equals")
}

func TestWhatASingerStumblesOverIsAlwaysTold(t *testing.T) {
	g := Gate{Sing: true}
	assert.Equal(t, "wrong-bass", chosen(&g, found{finding.WrongBass, 0, 0}))
	assert.Equal(t, "stopped", chosen(&g, found{finding.WrongChord, 0, 0}, found{finding.Stopped, 0, 0}, found{finding.LostBeat, 0, 0}), "the bar has been spoken of")
	assert.Equal(t, "went-back", chosen(&g, found{finding.WentBack, 0, 0}))
	assert.Empty(t, chosen(&g, found{finding.Missing, 0, 0}), "all else once a bar")
	assert.Equal(t, "wrong-inversion wrong-note", chosen(&g, found{finding.WrongNote, 2, 9}, found{finding.WrongInversion, 0, 9}), "notes within chords come when all is over, each bar's")
	plain := Gate{}
	assert.Equal(t, "wrong-inversion", chosen(&plain, found{finding.WrongNote, 2, 9}, found{finding.WrongInversion, 0, 9}))
}
