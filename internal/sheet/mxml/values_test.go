package mxml

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/meter"
)

const (
	quarter = meter.Quarter
	eighth  = meter.Eighth
)

var (
	common = meter.Meter{Num: 4, Den: 4}
	waltz  = meter.Meter{Num: 3, Den: 4}
	jig    = meter.Meter{Num: 6, Den: 8}
	slow   = meter.Meter{Num: 12, Den: 8}
	five   = meter.Meter{Num: 5, Den: 4}
	march  = meter.Meter{Num: 2, Den: 4}
	cutC   = meter.Meter{Num: 2, Den: 2}
)

// short writes values as "half. eighth": a dot a dot.
func short(values []Value) string {
	var all []string
	for _, v := range values {
		all = append(all, v.Type+strings.Repeat(".", v.Dots))
	}
	return strings.Join(all, " ")
}

// How rhythms are written so that the beats are seen: common practice, no source.
func TestNotesShowTheBeats(t *testing.T) {
	for _, c := range []struct {
		name    string
		m       meter.Meter
		at, dur meter.Ticks
		notes   string
		rests   string
	}{
		{name: "a whole bar of four", m: common, at: 0, dur: 4 * quarter, notes: "whole", rests: "whole"},
		{name: "a whole waltz bar", m: waltz, at: 0, dur: 3 * quarter, notes: "half.", rests: "quarter quarter quarter"},
		{name: "a whole jig bar", m: jig, at: 0, dur: 3 * quarter, notes: "half.", rests: "half."},
		{name: "a whole bar of five", m: five, at: 0, dur: 5 * quarter, notes: "half. half", rests: "quarter quarter quarter quarter quarter"},
		{name: "three beats of four", m: common, at: 0, dur: 3 * quarter, notes: "half.", rests: "half quarter"},
		{name: "a half on beat 2", m: common, at: quarter, dur: 2 * quarter, notes: "half", rests: "quarter quarter"},
		{name: "the last three beats of four", m: common, at: quarter, dur: 3 * quarter, notes: "half.", rests: "quarter half"},
		{name: "a beat and a half on beat 1", m: common, at: 0, dur: 3 * eighth, notes: "quarter.", rests: "quarter eighth"},
		{name: "a beat and a half on beat 2", m: common, at: quarter, dur: 3 * eighth, notes: "quarter eighth", rests: "quarter eighth"},
		{name: "a quarter after an eighth", m: common, at: eighth, dur: quarter, notes: "quarter", rests: "eighth eighth"},
		{name: "a quarter over the middle", m: common, at: 3 * eighth, dur: quarter, notes: "eighth eighth", rests: "eighth eighth"},
		{name: "a quarter after an eighth in two", m: march, at: eighth, dur: quarter, notes: "quarter", rests: "eighth eighth"},
		{name: "a half after a quarter in cut time", m: cutC, at: quarter, dur: 2 * quarter, notes: "half", rests: "quarter quarter"},
		{name: "five eighths", m: common, at: 0, dur: 5 * eighth, notes: "half eighth", rests: "half eighth"},
		{name: "a dotted eighth", m: common, at: 0, dur: 3 * eighth / 2, notes: "eighth.", rests: "eighth."},
		{name: "two eighths of a jig", m: jig, at: 0, dur: quarter, notes: "quarter", rests: "quarter"},
		{name: "four eighths of a jig", m: jig, at: 0, dur: 4 * eighth, notes: "quarter. eighth", rests: "quarter. eighth"},
		{name: "two beats in the middle of twelve-eight", m: slow, at: 3 * eighth, dur: 6 * eighth, notes: "quarter. quarter.", rests: "quarter. quarter."},
		{name: "two beats of twelve-eight", m: slow, at: 6 * eighth, dur: 6 * eighth, notes: "half.", rests: "half."},
		{name: "an eighth after a sixteenth", m: common, at: eighth / 2, dur: eighth, notes: "eighth", rests: "16th 16th"},
		{name: "a sixteenth after a thirty-second", m: common, at: eighth / 4, dur: eighth / 2, notes: "16th", rests: "32nd 32nd"},
		{name: "an eighth after a thirty-second", m: common, at: eighth / 4, dur: eighth, notes: "32nd 16th 32nd", rests: "32nd 16th 32nd"},
		{name: "a dotted eighth after a sixteenth", m: common, at: quarter + eighth/2, dur: 3 * eighth / 2, notes: "eighth.", rests: "16th eighth"},
		{name: "an eighth after a sixteenth of a jig", m: jig, at: eighth / 2, dur: eighth, notes: "eighth", rests: "16th 16th"},
		{name: "the last two eighths of a jig's beat", m: jig, at: 4 * eighth, dur: 2 * eighth, notes: "quarter", rests: "quarter"},
		{name: "over the seam of four and three", m: meter.Meter{Num: 7, Den: 4}, at: 3 * quarter, dur: 2 * quarter, notes: "quarter quarter", rests: "quarter quarter"},
		{name: "before the seam of four and three", m: meter.Meter{Num: 7, Den: 4}, at: 0, dur: 4 * quarter, notes: "whole", rests: "quarter quarter quarter quarter"},
		{name: "over the seam of three and two", m: five, at: 2 * quarter, dur: 2 * quarter, notes: "quarter quarter", rests: "quarter quarter"},
	} {
		assert.Equal(t, c.notes, short(Values(c.at, c.dur, c.m)), c.name)
		assert.Equal(t, c.rests, short(Rests(c.at, c.dur, c.m)), c.name+", rests")
	}
}

// Whatever is cut is all there, in order, and each value lasts what it says.
func TestValuesFillTheNote(t *testing.T) {
	for _, m := range meter.Known() {
		for at := meter.Ticks(0); at < m.Bar(); at += meter.Sixteenth {
			for dur := meter.Sixteenth; at+dur <= m.Bar(); dur += meter.Sixteenth {
				for i, values := range [][]Value{Values(at, dur, m), Rests(at, dur, m)} {
					end := at
					for _, v := range values {
						assert.Equal(t, end, v.At)
						assert.Contains(t, lengths, length{v.Dur, v.Type, v.Dots})
						end += v.Dur
					}
					assert.Equal(t, at+dur, end, fmt.Sprint(m, at, dur, i))
				}
			}
		}
	}
}

func TestLessThanTheShortestIsLeftOut(t *testing.T) {
	assert.Equal(t, "256th", short(Values(0, shortest+1, common)))
	assert.Empty(t, Values(0, shortest-1, common))
}
