package pattern

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/patterns"
)

func shipped(t testing.TB) *Catalogue {
	t.Helper()
	c, err := Load(patterns.Texts())
	require.NoError(t, err)
	return c
}

func TestShippedPatternsAreDescribed(t *testing.T) {
	for _, p := range shipped(t).All() {
		for heading, text := range map[string]string{"sounds": p.Sounds, "used": p.Used, "source": p.Source, "history": p.History} {
			assert.NotEmpty(t, text, "%s has no %s", p.Name, heading)
			assert.LessOrEqual(t, len(text), 140, "%s: %s is more than a line", p.Name, heading)
		}
		assert.True(t, strings.HasSuffix(p.Sounds, "."), "%s: sounds is a sentence", p.Name)
		assert.LessOrEqual(t, len(p.Sounds), 96, "%s: a list of patterns fits a hundred columns", p.Name)
		assert.Equal(t, p, mustParse(t, p.Text()), p.Name)
	}
}

func TestShippedPatternsForEveryMeterAndLevel(t *testing.T) {
	own, levels := map[string]int{}, map[int]int{}
	for _, p := range shipped(t).All() {
		levels[p.Level]++
		if !p.AnyMeter() {
			own[p.Meter.String()]++
		}
	}
	for _, m := range []string{"2/4", "3/4", "4/4", "6/8", "12/8", "5/4"} {
		assert.GreaterOrEqual(t, own[m], 5, m)
	}
	for level := 1; level <= 5; level++ {
		assert.GreaterOrEqual(t, levels[level], 5, "level %d", level)
	}
	assert.GreaterOrEqual(t, len(shipped(t).All()), 60)
}

// sound is what tells one pattern from another: when each hand strikes what, in
// which feel. Register, grid and lengths do not count.
func sound(p *Pattern) string {
	m := p.Meter
	if p.AnyMeter() {
		m = meter.Meter{Num: 4, Den: 4}
	}
	var b strings.Builder
	fmt.Fprint(&b, p.Meter, " ", p.Swing, " ", p.Part, " ", p.chordsText(0), p.chordsText(1))
	for h, row := range p.Rows {
		fmt.Fprintf(&b, "\n%s", Hand(h))
		for i, c := range row {
			if c.Strikes() {
				fmt.Fprintf(&b, " %d:%s", meter.Ticks(i)*p.Grid.Ticks(m), c)
			}
		}
	}
	return b.String()
}

func TestNoTwoShippedPatternsSoundAlike(t *testing.T) {
	first := map[string]string{}
	for _, p := range shipped(t).All() {
		s := sound(p)
		if p.AnyMeter() && p.Grid == Beats {
			s += " on every beat"
		}
		assert.Empty(t, first[s], "%s sounds the same", p.Name)
		first[s] = p.Name
	}
}

// onsets are the cells that strike, counted from 0.
func onsets(row []Cell) []int {
	var at []int
	for i, c := range row {
		if c.Strikes() {
			at = append(at, i)
		}
	}
	return at
}

func accents(row []Cell) []int {
	var at []int
	for i, c := range row {
		if c.Accent {
			at = append(at, i)
		}
	}
	return at
}

func TestRhythmsAsPublished(t *testing.T) {
	for _, c := range []struct {
		pattern string
		hand    Hand
		grid    Grid
		want    []int
		source  string
	}{
		{"tresillo", Left, Sixteenths, []int{0, 3, 6}, "Music Theory for the 21st-Century Classroom 14.6: 3+3+2"},
		{"tresillo-backbeat", Left, Eighths, []int{0, 3, 6}, "the same, in eighths of 4/4"},
		{"habanera", Left, Sixteenths, []int{0, 3, 4, 6}, "encyclopedia: dotted eighth, sixteenth, two eighths; the tresillo with beat 2"},
		{"bossa-nova", Left, Eighths, []int{0, 3, 4, 7, 8, 11, 12, 15}, "encyclopedia: surdo on 1, its last sixteenth, 2, its last sixteenth of 2/4"},
		{"clave-chords", Right, Eighths, []int{0, 3, 6, 10, 12}, "14.6: three attacks, then two, the first bar 3+3+2; 10 and 12 common practice, no source"},
		{"three-three-two", Right, Eighths, []int{0, 3, 6}, "Open Music Theory, Syncopation in pop/rock music: fake triplets 3+3+2"},
		{"long-threes", Right, Sixteenths, []int{0, 3, 6, 9, 12, 14}, "the same: fake sextuplets 3+3+3+3+2+2"},
		{"syncopated-chords", Right, Eighths, []int{0, 1, 3, 5}, "the same: four quarters become an eighth, then quarters an eighth early"},
		{"tune-syncopated", Left, Eighths, []int{0, 4}, "the same, in the tune: its bass stays on the beat"},
		{"broken-fifths", Left, Eighths, []int{0, 1, 2, 3, 4, 5, 6, 7}, "common practice, no source"},
		{"afterbeats", Left, Eighths, []int{0}, "Music Theory for the 21st-Century Classroom 14.5: repeated chords after the downbeat"},
		{"afterbeats", Right, Eighths, []int{1, 2, 3, 4, 5, 6, 7}, "the same"},
		{"long-bass-offbeats", Right, Eighths, []int{1, 3, 5, 7}, "14.5: chords on the upbeats only"},
		{"waltz-one-hand", Left, Quarters, []int{0, 1, 2}, "mazurka op. 6 no. 2, bars 9 to 11 (music21 corpus)"},
		{"rock-eighths", Left, Eighths, []int{0, 1, 2, 3, 4, 5, 6, 7}, "Open Music Theory 2, Drumbeats: eighths throughout"},
		{"rock-eighths", Right, Eighths, []int{2, 6}, "the same: the snare on 2 and 4"},
	} {
		p, err := shipped(t).Find(c.pattern)
		require.NoError(t, err)
		assert.Equal(t, c.grid, p.Grid, c.pattern)
		assert.Equal(t, c.want, onsets(p.Rows[c.hand]), "%s: %s", c.pattern, c.source)
	}
}

func TestAccentsAsPublished(t *testing.T) {
	// Open Music Theory 2, "Drumbeats": the backbeat is on 2 and 4, in simple
	// triple meter often on 3.
	for name, want := range map[string][]int{"backbeat": {1, 3}, "rock-eighths": {2, 6}, "tresillo-backbeat": {2, 6}, "rock-waltz": {4}} {
		p, err := shipped(t).Find(name)
		require.NoError(t, err)
		assert.Equal(t, want, accents(p.Rows[Right]), name)
	}
}

func TestSharedVoicings(t *testing.T) {
	p := mustParse(t, file("left: cho ch1d . cho'", "right: cho ch1d chd cho"))
	m := p.Meter
	for place, want := range []bool{true, true, false, false} {
		assert.Equal(t, want, p.Shared(Left, m, 0, place), "%d", place)
		assert.Equal(t, want, p.Shared(Right, m, 7, place), "%d", place)
	}
	assert.False(t, mustParse(t, file("left: ch ch ch ch", "right: ch ch ch ch")).Shared(Left, m, 0, 0), "each hand has its own close chord")
	assert.False(t, mustParse(t, file("left: cho . . .")).Shared(Left, m, 0, 0))
}
