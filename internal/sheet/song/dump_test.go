package song

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

func note(t *testing.T, at, dur meter.Ticks, name string, tied bool) melody.Note {
	t.Helper()
	p, err := pitch.ParsePitch(name)
	assert.NoError(t, err)
	return melody.Note{At: at, Dur: dur, Pitch: p, Tied: tied}
}

// Two bars of 3/4, the first played twice, with a tie over the barline.
func waltz(t *testing.T) *Song {
	m := meter.Meter{Num: 3, Den: 4}
	return &Song{Meter: m, Order: []int{0, 0, 1}, Sections: []Section{{Name: "Verse", Bars: []Bar{
		{Len: m.Bar(), Chords: []Symbol{Name(0, "F"), Name(2*meter.Quarter, "C7")}, Lyrics: []string{"far the", "near the"},
			Notes: []melody.Note{note(t, 0, meter.Half, "F4", false), note(t, meter.Half, meter.Quarter, "G4", true)}},
		{Len: m.Bar(), Chords: []Symbol{Name(0, "Z9")}, Notes: []melody.Note{note(t, 0, meter.Triplet, "G4", false)}},
	}}}}
}

func TestDumpUnfoldsRepeatsAndJoinsTies(t *testing.T) {
	d := waltz(t).Dump()
	assert.Equal(t, []DumpNote{{0, 65, 2}, {2, 67, 1}, {3, 65, 2}, {5, 67, 1.3333}}, d.Melody, "a tie leads to the next note alone")
	assert.Equal(t, []DumpChord{{0, "F"}, {2, "C7"}, {3, "F"}, {5, "C7"}, {6, "Z9"}}, d.Chords)
	assert.Equal(t, DumpBar{Beats: 3, Chords: []DumpPlace{{1, "F"}, {3, "C7"}}, Lyric: "far the", Verses: []string{"far the", "near the"}}, d.Sections[0].Bars[0])
	assert.Equal(t, "3/4", d.Meter)
}

func TestDumpOfNothingHasEmptyLists(t *testing.T) {
	out, err := (&Song{Meter: meter.Meter{Num: 4, Den: 4}, Sections: []Section{{Bars: []Bar{{Len: meter.Whole}}}}}).Dump().JSON()
	assert.NoError(t, err)
	for _, list := range []string{`"chords": []`, `"melody": []`, `"words": []`, `"notices": []`} {
		assert.Contains(t, string(out), list)
	}
}

func TestNoticesSayWhere(t *testing.T) {
	for want, n := range map[string]Notice{
		"line 3: a tablature is passed over": {Line: 3, Text: "a tablature is passed over"},
		"measure 12a: no chord":              {Measure: "12a", Text: "no chord"},
		"the meter is taken to be 4/4":       {Text: "the meter is taken to be 4/4"},
	} {
		assert.Equal(t, want, n.String())
	}
}
