package song

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
)

func TestAChartIsTheSameAgain(t *testing.T) {
	files, err := filepath.Glob("../../../testdata/charts/*.chart")
	require.NoError(t, err)
	require.Greater(t, len(files), 10)
	for _, f := range files {
		src, err := os.ReadFile(f)
		require.NoError(t, err)
		c, err := chart.Parse(src, f)
		require.NoError(t, err)
		s := FromChart(c)
		s.Chart = nil // as a reader of another format would have it
		again, told, err := s.ToChart(f)
		require.NoError(t, err, f)
		assert.Equal(t, c.Text(), again.Text(), f)
		assert.Empty(t, told, f)
	}
}

// bars makes a song of bars in 4/4 of one note each, by their lengths in quarters.
func bars(t *testing.T, order []int, quarters ...int) *Song {
	s := &Song{Meter: meter.Meter{Num: 4, Den: 4}, Key: pitch.Key{}, Order: order, Sections: []Section{{}}}
	names := []string{"C4", "D4", "E4", "F4", "G4", "A4"}
	for i, q := range quarters {
		d := meter.Ticks(q) * meter.Quarter
		s.Sections[0].Bars = append(s.Sections[0].Bars, Bar{Len: d, Notes: []melody.Note{note(t, 0, d, names[i], false)}})
	}
	return s
}

func TestChartsOfOtherSheets(t *testing.T) {
	repeated := func(s *Song) *Song {
		s.Sections[0].Bars[0].Opens = true
		s.Sections[0].Bars[len(s.Sections[0].Bars)-1].Closes = true
		return s
	}
	for name, c := range map[string]struct {
		song *Song
		want string
	}{
		"whole bars, one after another": {bars(t, []int{0, 1}, 4, 4), "| N.C. | N.C. |\nm: | C8 | D8 |\n"},
		"an upbeat":                     {bars(t, []int{0, 1}, 1, 4), "| N.C. |\nm: C2 | D8 |\n"},
		"a repeat":                      {repeated(bars(t, []int{0, 1, 0, 1}, 4, 4)), "|: N.C. | N.C. :|\nm: | C8 | D8 |\n"},
		"a repeat from its upbeat, which completes the bar before": {repeated(bars(t, []int{0, 1, 2, 0, 1, 2}, 1, 4, 3)), "| N.C. | N.C. | N.C. | N.C. |\nm: C2 | D8 | E6 C2 | D8 | E6 z2 |\n"},
		"an incomplete bar that nothing completes is filled up":    {bars(t, []int{0, 1, 2}, 4, 3, 4), "| N.C. | N.C. | N.C. |\nm: | C8 | D6 z2 | E8 |\n"},
		"a bar too long goes on in the next":                       {bars(t, []int{0, 1}, 6, 2), "| N.C. | N.C. |\nm: | C8- | C4 D4 |\n"},
		"a jump that a chart has no sign for is written out":       {bars(t, []int{0, 1, 0}, 4, 4), "| N.C. | N.C. | N.C. |\nm: | C8 | D8 | C8 |\n"},
	} {
		got, _, err := c.song.ToChart("song.abc")
		require.NoError(t, err, name)
		text := got.Text()
		assert.Contains(t, text, c.want, name)
	}
}

func TestChordsComeToTheChartsPlaces(t *testing.T) {
	s := bars(t, []int{0, 1, 2}, 4, 4, 4)
	b := s.Sections[0].Bars
	b[0].Chords = []Symbol{Name(meter.Quarter, "F")}
	b[1].Chords = []Symbol{Name(0, "F"), Name(meter.Half, "Fantastic7")}
	b[2].Chords = []Symbol{Name(0, "Dm"), Name(2*meter.Quarter+20, "G7")}
	c, told, err := s.ToChart("song.abc")
	require.NoError(t, err)
	assert.Contains(t, c.Text(), "| N.C. F . . | F | Dm G7 |\n")
	require.Len(t, told, 1)
	assert.Contains(t, told[0].Text, "Fantastic7")
}

func TestOtherNoteValues(t *testing.T) {
	s := bars(t, []int{0}, 4)
	s.Meter, s.Tempo = meter.Meter{Num: 3, Den: 8}, 40
	s.Sections[0].Bars[0].Len = 3 * meter.Eighth
	s.Sections[0].Bars[0].Notes = []melody.Note{note(t, 0, meter.Eighth, "C4", false), note(t, meter.Eighth, meter.Quarter, "D4", false)}
	c, told, err := s.ToChart("song.abc")
	require.NoError(t, err)
	assert.Equal(t, meter.Meter{Num: 3, Den: 4}, c.Meter)
	assert.Equal(t, meter.Tempo(120), c.Tempo, "a bar lasts as long as before")
	assert.Contains(t, c.Text(), "m: | C2 D4 |")
	assert.Equal(t, "3/8 is written as 3/4, with other note values", told[0].Text)
}

func TestWhatIsNoChart(t *testing.T) {
	s := bars(t, []int{0, 1}, 4, 4)
	s.Sections[0].Bars[1].Meter, s.Sections[0].Bars[1].Line = meter.Meter{Num: 3, Den: 4}, 9
	_, _, err := s.ToChart("song.abc")
	assert.ErrorContains(t, err, "song.abc:9:1: the meter changes to 3/4")
	s = bars(t, []int{0}, 4)
	s.Meter = meter.Meter{Num: 7, Den: 8}
	_, _, err = s.ToChart("song.abc")
	assert.ErrorContains(t, err, "a chart is not written in 7/8")
}

func TestVersesOfRepeatedBars(t *testing.T) {
	s := bars(t, []int{0, 1, 0, 1}, 4, 3)
	s.Sections[0].Bars[0].Lyrics = []string{"first time", "second time"}
	c, _, err := s.ToChart("song.abc")
	require.NoError(t, err)
	var sung []string
	for _, b := range c.Bars() {
		sung = append(sung, b.Lyrics...)
	}
	assert.Equal(t, []string{"first time", "", "second time", ""}, sung)
}
