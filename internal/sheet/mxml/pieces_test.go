package mxml

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
)

// laid lays notes one after another; negative lengths are rests.
func laid(durs ...meter.Ticks) (spans []Span) {
	var at meter.Ticks
	for _, d := range durs {
		s := Span{At: at, Dur: max(d, -d), Rest: d < 0}
		spans = append(spans, s)
		at += s.Dur
	}
	return spans
}

// shown writes pieces as "3:2[eighth eighth eighth]", rests with r, ties with ~.
func shown(pieces []Piece) string {
	var w strings.Builder
	for i, p := range pieces {
		if i > 0 {
			w.WriteByte(' ')
		}
		if p.Opens {
			fmt.Fprintf(&w, "%d:%d[", p.Actual, p.Normal)
		}
		if p.Rest {
			w.WriteByte('r')
		}
		w.WriteString(p.Type + strings.Repeat(".", p.Dots))
		if !p.Last && !p.Rest {
			w.WriteByte('~')
		}
		if p.Closes {
			w.WriteByte(']')
		}
	}
	return w.String()
}

func TestPiecesHaveTuplets(t *testing.T) {
	const third = meter.Triplet
	for _, c := range []struct {
		name, want string
		m          meter.Meter
		spans      []Span
	}{
		{"a triplet and a half", "3:2[eighth eighth eighth] half", common, laid(third, third, third, 2*quarter)},
		{"a swung pair", "3:2[quarter eighth]", common, laid(2*third, third)},
		{"a triplet with a rest", "3:2[eighth reighth eighth]", common, laid(third, -third, third)},
		{"a triplet of a dotted note", "eighth 3:2[16th eighth]", common, laid(third*3/2, third/2, third)},
		{"a triplet of quarters", "3:2[quarter quarter quarter]", common, laid(2*third, 2*third, 2*third)},
		{"a quintuplet", "5:4[16th 16th 16th 16th 16th]", common, laid(192, 192, 192, 192, 192)},
		{"a septuplet", "7:4[16th 16th 16th 16th 16th 16th 16th]", common, laid(137, 137, 137, 137, 137, 137, 138)},
		{"a note tied out of a triplet", "3:2[quarter eighth~] quarter quarter quarter", common, []Span{{0, 2 * third, false}, {2 * third, third + quarter, false}, {2 * quarter, quarter, false}, {3 * quarter, quarter, false}}},
		{"the same on beat 2", "quarter 3:2[quarter eighth~] quarter quarter", common, laid(quarter, 2*third, third+quarter, quarter)},
		{"a tied note over the middle", "quarter. eighth~ eighth eighth~ quarter", common, laid(3*eighth, quarter, 3*eighth)},
	} {
		assert.Equal(t, c.want, shown(Pieces(c.spans, c.m)), c.name)
	}
}

func TestLengthsThatNoTupletHas(t *testing.T) {
	p := Pieces([]Span{{0, 4*shortest - 1, false}}, common)[0]
	assert.Equal(t, "64th", p.Type)
	assert.Equal(t, []int{60, 59}, []int{p.Actual, p.Normal})
	p = Pieces([]Span{{0, 4*shortest - 2, false}}, common)[0]
	assert.Equal(t, []int{30, 29}, []int{p.Actual, p.Normal})
}

// beamed writes the first beam of each piece as its first letter, - for none; for
// further beams ' and the letters.
func beamed(pieces []Piece) string {
	var all []string
	for _, p := range pieces {
		text := "-"
		for i, b := range p.Beams {
			if i == 0 {
				text = ""
			}
			text += b[:1]
		}
		all = append(all, text)
	}
	return strings.Join(all, " ")
}

// Where beams end: common practice, no source.
func TestBeams(t *testing.T) {
	const sixteenth = meter.Sixteenth
	for _, c := range []struct {
		name, want string
		m          meter.Meter
		spans      []Span
	}{
		{"eight eighths", "b c c e b c c e", common, laid(eighth, eighth, eighth, eighth, eighth, eighth, eighth, eighth)},
		{"three eighths and two sixteenths", "b e b cb ee", common, laid(eighth, eighth, eighth, sixteenth, sixteenth)},
		{"a dotted pair", "b eb", common, laid(3*sixteenth, sixteenth)},
		{"a dotted pair turned round", "bf e", common, laid(sixteenth, 3*sixteenth)},
		{"a rest between", "- - -", common, laid(eighth, -eighth, eighth)},
		{"eighths of a waltz", "b e b e b e", waltz, laid(eighth, eighth, eighth, eighth, eighth, eighth)},
		{"eighths of a jig", "b c e b c e", jig, laid(eighth, eighth, eighth, eighth, eighth, eighth)},
		{"a quarter between eighths", "- - -", common, laid(eighth, quarter, eighth)},
		{"four sixteenths", "bb cc cc ee", common, laid(sixteenth, sixteenth, sixteenth, sixteenth)},
	} {
		assert.Equal(t, c.want, beamed(Pieces(c.spans, c.m)), c.name)
	}
}
