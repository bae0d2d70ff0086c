package term

import (
	"undersong/internal/ui/words"
)

// plan is how many rows each part of the view gets; 0 leaves it out.
type plan struct {
	header int
	chart  int // see chartRows
	ahead  int // the chart's next line
	beats  int
	sound  int // what is heard and wanted; see drawSound
	keys   int
	fix    int // at least; the correction takes more when it must
	status int
	menu   int
	air    int // spare rows that must be left for gaps
}

// Rows of the chart: a line alone, with the bar numbers and markers above it,
// with lyrics below, and with the chords in medium letters.
const (
	chartLine   = 1
	chartMarked = 2
	chartLyric  = 3
	chartMedium = 2 + mediumRows
)

// Rows of what is heard and wanted: one line of text; a label over medium
// letters; a label, large letters and words; the same with medium words; the
// same with letters twice as large.
const (
	soundLine   = 1
	soundMedium = 1 + mediumRows
	soundLarge  = 1 + largeRows + 1
	soundFull   = 1 + largeRows + 1 + mediumRows
	soundHuge   = soundFull + largeRows
)

// plans run from rich to poor. What matters least at the piano goes first: the
// drawn keyboard, then the large letters, then the chart; the correction stays.
var plans = []plan{
	{header: 1, chart: chartMedium, ahead: 3, beats: 3, sound: soundHuge, keys: 4, fix: 8, status: 1, menu: 1, air: 5},
	{header: 1, chart: chartMedium, ahead: 3, beats: 3, sound: soundFull, keys: 4, fix: 8, status: 1, menu: 1, air: 5},
	{header: 1, chart: chartMedium, beats: 1, sound: soundLarge, keys: 4, fix: 6, status: 1, menu: 1},
	{header: 1, chart: chartLyric, beats: 1, sound: soundLarge, keys: 4, fix: 1 + mediumRows, status: 1, menu: 1},
	{header: 1, chart: chartLyric, beats: 1, sound: soundLarge, keys: 4, fix: 2, status: 1, menu: 1},
	{header: 1, chart: chartLyric, beats: 1, sound: soundLarge, fix: 2, status: 1, menu: 1},
	{header: 1, chart: chartLyric, beats: 1, sound: soundMedium, fix: 2, status: 1, menu: 1},
	{chart: chartMarked, beats: 1, sound: soundLine, fix: 2, menu: 1},
	{chart: chartLine, sound: soundLine, fix: 1, menu: 1},
	{sound: soundLine, fix: 1},
	{fix: 1},
}

// keysWidth is the columns under which no keys are drawn: two octaves.
const keysWidth = 30

// without leaves out what there is nothing to show of. Parts stay in their
// place from one moment to the next: what counts is whether the session has
// them at all.
func (p plan) without(s *words.View, width int) plan {
	if len(s.Bars) == 0 {
		p.chart, p.ahead = 0, 0
		p.fix = min(p.fix, 3) // nothing to correct in free playing
	}
	if s.Beats < 1 {
		p.beats = 0
	}
	if len(s.Menu) < 2 {
		p.menu = 0
	}
	if width < keysWidth {
		p.keys = 0
	}
	return p
}

// shown replaces medium letters by text where they cannot be drawn.
func (p plan) shown(st Style) plan {
	if st.Unicode {
		return p
	}
	p.chart = min(p.chart, chartLyric)
	p.beats = min(p.beats, 1)
	p.fix = min(p.fix, 2)
	switch p.sound {
	case soundHuge, soundFull:
		p.sound = soundLarge
	case soundMedium:
		p.sound = 2
	}
	return p
}

func (p plan) rows() int {
	return p.header + p.chart + p.ahead + p.beats + p.sound + p.keys + p.fix + p.status + p.menu
}

// choose is the richest plan that fits height with a correction of need rows.
func choose(s *words.View, st Style, width, height, need int) plan {
	var p plan
	for _, p = range plans {
		p = p.without(s, width).shown(st)
		p.fix = max(p.fix, need)
		if p.rows()+p.air <= height {
			return p
		}
	}
	p.fix = height
	return p
}

// place is where a part of the view stands.
type place struct{ y, rows int }

// places are the parts of a plan set out on the rows of the screen.
type places struct {
	header, chart, ahead, beats, sound, keys, fix, status, menu place
}

// setOut puts the parts under each other. Spare rows become gaps before parts,
// the correction first; the rest goes to the correction.
func (p plan) setOut(height int) places {
	var at places
	parts := []struct {
		rows, rank int // parts of low rank get their gap first; 0: no gap
		place      *place
	}{
		{p.header, 0, &at.header}, {p.chart, 3, &at.chart}, {p.ahead, 6, &at.ahead}, {p.beats, 5, &at.beats},
		{p.sound, 2, &at.sound}, {p.keys, 4, &at.keys}, {p.fix, 1, &at.fix}, {p.status, 0, &at.status}, {p.menu, 0, &at.menu},
	}
	spare := height - p.rows()
	gap := map[int]int{}
	for rank := 1; rank <= 6; rank++ {
		for i, part := range parts {
			if part.rank == rank && part.rows > 0 && i > 0 && spare > 0 {
				gap[rank], spare = 1, spare-1
			}
		}
	}
	y := 0
	for _, part := range parts {
		if part.rows == 0 {
			continue
		}
		y += gap[part.rank]
		if part.place == &at.fix {
			part.rows += spare
		}
		*part.place = place{y, part.rows}
		y += part.rows
	}
	return at
}
