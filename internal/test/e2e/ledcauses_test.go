package e2e

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// eightBars is a tune with its accompaniment, written out by hand as the other.
const eightBars = `title: Eight Bars
key: C
meter: 4/4
tempo: %d

| C | F | G7 | C | Am | Dm | G7 | C |
`

var eight = []bar{
	{48, []byte{60, 64, 67}, 43, []byte{60, 64, 67}},
	{41, []byte{60, 65, 69}, 48, []byte{60, 65, 69}},
	{43, []byte{59, 62, 65, 67}, 50, []byte{59, 62, 65, 67}},
	{48, []byte{60, 64, 67}, 43, []byte{60, 64, 67}},
	{45, []byte{60, 64, 69}, 40, []byte{60, 64, 69}},
	{50, []byte{62, 65, 69}, 45, []byte{62, 65, 69}},
	{43, []byte{59, 62, 65, 67}, 50, []byte{59, 62, 65, 67}},
	{48, []byte{60, 64, 67}, 43, []byte{60, 64, 67}},
}

// up is bars with all keys so many semitones higher.
func up(bars []bar, semitones byte) (all []bar) {
	higher := func(keys []byte) (moved []byte) {
		for _, k := range keys {
			moved = append(moved, k+semitones)
		}
		return moved
	}
	for _, b := range bars {
		all = append(all, bar{b.bass1 + semitones, higher(b.chord1), b.bass2 + semitones, higher(b.chord2)})
	}
	return all
}

// paced is notes some beats later, at so many beats a minute.
func paced(notes []timed, later, tempo float64) (all []timed) {
	for _, n := range notes {
		all = append(all, timed{(n.beat + later) * 60 / tempo / beatSeconds, n.hex})
	}
	return all
}

// cause is one reason for many mistakes, as it is told and in the summary.
type cause struct {
	Type, Cause, Text string
	Bar               int
	ToBar             int `json:"to_bar"`
	Semitones         int
	Ratio             float64
	PauseMs           float64 `json:"pause_ms"`
}

// causes are those that were told, and those of the summary.
func (r result) causes(t *testing.T) (told, summed []cause) {
	t.Helper()
	for _, l := range r.Lines {
		var c struct {
			cause
			Causes []cause
		}
		require.NoError(t, json.Unmarshal([]byte(l[1].(string)), &c), l[1])
		switch c.Type {
		case "cause":
			told = append(told, c.cause)
		case "summary":
			summed = c.Causes
		}
	}
	return told, summed
}

// The pianist leads: in D all through, then with a stop in bar 5 and from bar 4 on again,
// then at half the tempo.
func TestThePianistWhoLeadsHearsOneCause(t *testing.T) {
	s := setUp(t)
	const tempo = 170
	restarted := append(paced(messages(eight[:5]), 0, tempo), paced(messages(eight[3:]), 20+3, tempo)...)
	for name, c := range map[string]struct {
		asked int // beats a minute
		notes []timed
		want  cause
		right int
		text  string

		unsure int // strokes after a leap of which nothing is told until it is sure where they are
	}{
		"another key": {tempo, paced(messages(up(eight, 2)), 0, tempo), cause{Cause: "other-key", Bar: 1, ToBar: 8, Semitones: 2}, 32, "you are in D, the chart is in C", 0},
		"a restart":   {tempo, restarted, cause{Cause: "restarted", Bar: 5, ToBar: 4}, 40, "stopped in bar 5 and went back to bar 4", 3},
		"half as fast": {
			2 * tempo * 2 / 3, paced(messages(eight), 0, tempo*2/3), cause{Cause: "half-tempo", Bar: 1, ToBar: 8, Ratio: 0.5}, 32, "half as fast as is asked for", 0,
		},
	} {
		t.Run(strings.ReplaceAll(name, " ", "-"), func(t *testing.T) {
			own := s.withChart(t, fmt.Sprintf(eightBars, c.asked))
			r := own.play(t, performance{Notes: c.notes, Free: 0.5, args: []string{"--follow"}})
			wrong, right := findings(r.parsed(t))
			// Where a busy machine delivers a stroke late, it may be doubted.
			assert.LessOrEqual(t, len(wrong), 1, "%v", wrong)
			assert.LessOrEqual(t, right, c.right)
			assert.GreaterOrEqual(t, right, c.right-c.unsure-len(wrong))
			told, summed := r.causes(t)
			require.Len(t, told, 1)
			require.Len(t, summed, 1)
			assert.Contains(t, told[0].Text, c.text)
			if c.want.Cause == "restarted" {
				assert.InDelta(t, 4*60000./tempo, told[0].PauseMs, 60, "from one stroke to the next")
			}
			got := summed[0]
			assert.Equal(t, c.want, cause{Cause: got.Cause, Bar: got.Bar, ToBar: got.ToBar, Semitones: got.Semitones, Ratio: got.Ratio})
		})
	}
}
