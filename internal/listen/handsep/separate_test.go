package handsep

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/test/sounding"
)

const (
	left  = pattern.Left
	right = pattern.Right
	ms    = time.Millisecond
)

// bench is a separator at work: its onsets come at places of the score, exactly in
// time unless said otherwise.
type bench struct {
	*Separator
	t *testing.T
}

func newBench(t *testing.T, m, bars, name string) *bench {
	s := sounding.ScoreOf(t, m, bars, name)
	return &bench{New(s, s.Lasts), t}
}

// place is where a beat of a bar, counted from 1, lies.
func (b *bench) place(bar int, beat float64) meter.Ticks {
	return b.score.Bars[bar-1].At + meter.Ticks((beat-1)*float64(b.score.Meter.Beat()))
}

// open begins an onset at a place: what the hands have there is open.
func (b *bench) open(bar int, beat float64) *bench {
	at := b.place(bar, beat)
	b.Onset.End()
	b.Onset.Start, b.Onset.Place = b.score.Time(at), at
	for i, h := range b.Hands {
		b.Onset.Open[i] = Nothing
		if j := h.StrokeAt(0, at); j >= 0 {
			b.Onset.Open[i] = Open{Stroke: j, Window: Window{Reach: 375 * ms, Before: 170 * ms, After: 170 * ms, Due: 85 * ms}}
			h.Cursor = j
		}
	}
	return b
}

// strike strikes notes as in "C3 E4", each one millisecond after the one before,
// and separates the hands anew with each.
func (b *bench) strike(notes string) *bench {
	for _, word := range strings.Fields(notes) {
		p, err := pitch.ParsePitch(word)
		require.NoError(b.t, err)
		at := b.Onset.Start + time.Duration(b.Onset.n)*ms
		require.True(b.t, b.Onset.Add(Strike{Key: p.Num(), Velocity: 64, At: at}))
		b.Assign()
	}
	return b
}

// told takes the hands' notes for their strokes, as when these are told.
func (b *bench) told(hands ...pattern.Hand) *bench {
	for _, which := range hands {
		h := b.Hands[which]
		b.Commit(h)
		j := b.Onset.Open[which].Stroke
		st := h.Stroke(j)
		st.Judged, st.Complete, st.DoneAt = true, Lacking(h.Want(j), st.Served) == 0, b.Onset.Start
		h.Moved(j)
	}
	return b
}

// who is who struck what: "C3 | E4 G4".
func (b *bench) who() string {
	var hands [2][]string
	for _, n := range b.Onset.Notes() {
		hands[n.Hand] = append(hands[n.Hand], n.Key.Spell(b.score.Key.Spell(n.Key.Class())).String())
	}
	return strings.TrimSpace(strings.Join(hands[left], " ") + " | " + strings.Join(hands[right], " "))
}

// Who struck what, where nothing was played before.
func TestWhoStruckWhat(t *testing.T) {
	for _, c := range []struct {
		name, meter, bars, pattern string
		bar                        int
		beat                       float64
		notes, want                string
	}{
		{"as written", "4/4", "| C | F |", "block-whole", 1, 1, "C3 C4 E4 G4", "C3 | C4 E4 G4"},
		{"the chord in another inversion", "4/4", "| C | F |", "block-whole", 1, 1, "C3 E4 G4 C5", "C3 | E4 G4 C5"},
		{"the chord an octave up", "4/4", "| C | F |", "block-whole", 1, 1, "C3 C5 E5 G5", "C3 | C5 E5 G5"},
		{"the bass in octaves", "4/4", "| C | F |", "block-whole", 1, 1, "C2 C3 C4 E4 G4", "C2 C3 | C4 E4 G4"},
		{"a doubled root", "4/4", "| C | F |", "block-whole", 1, 1, "C3 C4 E4 G4 C5", "C3 | C4 E4 G4 C5"},
		{"the bass left out", "4/4", "| C | F |", "block-whole", 1, 1, "C4 E4 G4", "| C4 E4 G4"},
		{"the chord left out", "4/4", "| C | F |", "block-whole", 1, 1, "C3", "C3 |"},
		{"a wrong bass", "4/4", "| C | F |", "block-whole", 1, 1, "D3 C4 E4 G4", "D3 | C4 E4 G4"},
		{"a wrong bass of the chord", "4/4", "| C | F |", "block-whole", 1, 1, "E3 C4 E4 G4", "E3 | C4 E4 G4"},
		{"a wrong chord", "4/4", "| C | F |", "block-whole", 1, 1, "C3 D4 F4 A4", "C3 | D4 F4 A4"},
		{"the wrong chord in both hands", "4/4", "| C | F |", "block-whole", 1, 1, "G2 B3 D4 G4", "G2 | B3 D4 G4"},
		{"one wrong note", "4/4", "| C | F |", "block-whole", 1, 1, "C3 C4 F4 G4", "C3 | C4 F4 G4"},
		{"a lone bass", "3/4", "| C | F |", "waltz", 1, 1, "C3", "C3 |"},
		{"a lone bass of another name", "3/4", "| C | F |", "waltz", 1, 1, "D3", "D3 |"},
		{"a low note where the left hand rests", "3/4", "| C | F |", "waltz", 1, 2, "C3 C4 E4 G4", "C3 | C4 E4 G4"},
		{"a fifth below, within a ninth", "3/4", "| C | F |", "waltz", 1, 2, "G3 C4 E4 G4", "| G3 C4 E4 G4"},
		{"a tune over a left hand's figure", "4/4", "| C | F |", "broken-up", 1, 1, "C3 E5", "C3 | E5"},
		{"a tune a second over it is the figure's", "4/4", "| C | F |", "broken-up", 1, 1, "C3 D3", "C3 D3 |"},
		{"a bass under a right hand's figure", "4/4", "| C | F |", "arpeggio-falling", 1, 1, "C3 G5", "C3 | G5"},
		{"tune and bass", "4/4", "| C | F |", "tune-and-bass", 1, 1, "C3 E4", "C3 | E4"},
		{"a wrong note beside the tune's, which has come", "4/4", "| C | F |", "tune-and-bass", 1, 1, "D3 C3 E4", "C3 D3 | E4"},
	} {
		b := newBench(t, c.meter, c.bars, c.pattern).open(c.bar, c.beat).strike(c.notes)
		assert.Equal(t, c.want, b.who(), c.name)
	}
}
