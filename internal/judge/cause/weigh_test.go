package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/test/sounding"
)

// How many strokes must be right for a cause, and for one of time.
func TestHowManyStrokesAreRight(t *testing.T) {
	for _, c := range []struct {
		right, wrong int
		fits, steady bool
	}{
		{2, 0, false, false}, {3, 0, true, false}, {3, 2, true, false}, {3, 3, false, false}, {6, 4, true, false}, {8, 6, false, false},
		{6, 0, true, false}, {7, 0, true, true}, {7, 2, true, true}, {7, 3, true, false}, {9, 3, true, true}, {11, 4, true, false},
	} {
		w := weight{right: c.right, wrong: c.wrong}
		assert.Equal(t, c.fits, w.fits(), "%d right, %d wrong", c.right, c.wrong)
		assert.Equal(t, c.steady, w.steady(), "%d right, %d wrong", c.right, c.wrong)
	}
}

// A machine delays all strokes by the same time, a hand by a time that varies.
func TestStrokesThatComeEvenly(t *testing.T) {
	for name, c := range map[string]struct {
		strokes int
		by      time.Duration // by turns so much sooner and later than 150 ms
		even    bool
	}{
		"as a machine":               {12, 0, true},
		"too few":                    {11, 0, false},
		"29 ms to and fro":           {12, 29 * ms, true},
		"31 ms to and fro":           {12, 31 * ms, false},
		"many, and 31 ms to and fro": {30, 31 * ms, false},
	} {
		s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
		w := weight{}
		for i := range c.strokes {
			off := 150*ms + c.by
			if i%2 == 0 {
				off = 150*ms - c.by
			}
			w.add(right(s.Wants[i].Keys(), i, off), &reading{}, s)
		}
		assert.Equal(t, c.even, w.even(), name)
		if c.strokes%2 == 0 {
			assert.InDelta(t, 0.150, w.mean().Seconds(), 1e-6, name)
		}
		assert.Equal(t, c.strokes, w.right, name)
	}
}

// right is a right stroke, so much late.
func right(keys []pitch.Num, want int, late time.Duration) *finding.Finding {
	return &finding.Finding{Kind: finding.Right, Want: want, Heard: pitch.NumsOf(keys...), Offset: late}
}

// mistake is one of a hand, in the beat of a bar, as an index.
func mistake(k finding.Kind, hand finding.Part, bar int, beat float64) finding.Finding {
	return finding.Finding{Kind: k, Part: hand, Bar: bar, Beat: beat, Want: -1}
}

// What mistakes cost to describe. In bar 1 C, in bar 2 F and then G7.
func TestWhatMistakesCost(t *testing.T) {
	const l, r = finding.LeftHand, finding.RightHand
	for name, c := range map[string]struct {
		found []finding.Finding
		nats  float64
		wrong int
	}{
		"none":                        {[]finding.Finding{mistake(finding.Short, l, 0, 1), mistake(finding.Blurred, l, 0, 1)}, 0, 0},
		"one":                         {[]finding.Finding{mistake(finding.WrongNote, r, 0, 2)}, ofMistake, 1},
		"the same chord wrong again":  {[]finding.Finding{mistake(finding.WrongChord, r, 0, 2), mistake(finding.WrongChord, r, 0, 4)}, ofMistake + ofMore, 2},
		"another chord of the bar":    {[]finding.Finding{mistake(finding.WrongChord, r, 1, 2), mistake(finding.WrongChord, r, 1, 4)}, 2 * ofMistake, 2},
		"the chord in another bar":    {[]finding.Finding{mistake(finding.WrongChord, r, 0, 2), mistake(finding.WrongChord, r, 1, 2)}, 2 * ofMistake, 2},
		"late through a bar":          {[]finding.Finding{mistake(finding.Late, r, 1, 2), mistake(finding.Late, l, 1, 3), mistake(finding.Early, l, 1, 4)}, ofMistake + 2*ofMore, 3},
		"wrong, and late":             {[]finding.Finding{mistake(finding.WrongNote, r, 1, 2), mistake(finding.Late, r, 1, 2)}, 2 * ofMistake, 2},
		"every missing stroke is one": {[]finding.Finding{mistake(finding.Missing, r, 0, 2), mistake(finding.Missing, r, 0, 4)}, 2 * ofMistake, 2},
	} {
		s := sounding.ScoreOf(t, "4/4", "| C | F G7 | C | C |", "two-beat")
		w := weight{chords: map[chordOf]bool{}}
		for i := range c.found {
			w.add(&c.found[i], &reading{}, s)
		}
		assert.InDelta(t, c.nats, w.nats, 1e-9, name)
		assert.Equal(t, c.wrong, w.wrong, name)
		assert.Zero(t, w.right, name)
	}
}

// Where a hand is silent, that nothing comes from it costs nothing, and all else does.
func TestWhatASilentHandCosts(t *testing.T) {
	const l, r = finding.LeftHand, finding.RightHand
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	left := reading{mute: [2]bool{true, false}}
	for name, c := range map[string]struct {
		f     finding.Finding
		nats  float64
		wrong int
		right int
	}{
		"missing":                   {mistake(finding.Missing, l, 0, 1), 0, 0, 0},
		"wrong":                     {mistake(finding.WrongBass, l, 0, 1), ofMistake, 1, 0},
		"right":                     {mistake(finding.Right, l, 0, 1), ofMistake, 1, 0},
		"a short note says nothing": {mistake(finding.Short, l, 0, 1), 0, 0, 0},
		"the other's missing":       {mistake(finding.Missing, r, 0, 2), ofMistake, 1, 0},
		"both hands' missing":       {mistake(finding.Missing, finding.BothHands, 0, 2), ofMistake, 1, 0},
		"the other's right":         {*right(s.Wants[1].Keys(), 1, 0), 0, 0, 1},
	} {
		if c.right > 0 {
			c.f.Part = r
		}
		w := weight{chords: map[chordOf]bool{}}
		w.add(&c.f, &left, s)
		want := weight{nats: c.nats, wrong: c.wrong, right: c.right, notes: -c.f.Heard.Len() * c.right, exact: c.right, chords: w.chords, offsets: w.offsets}
		if c.f.Kind == finding.Missing && c.f.Part == r {
			want.missing[r] = 1
		}
		assert.Equal(t, want, w, name)
	}
}

// What is played in bars 2 to 4 of a stretch that begins in bar 2, as written but for two
// notes more: by the whole of it, and from where a reading takes another's place.
func TestAStretchIsWeighed(t *testing.T) {
	for name, c := range map[string]struct {
		change               change
		right, notes, struck int
	}{
		"all of it":     {change{enter: sec(2.8)}, 12, 2, 28},
		"from bar 3 on": {change{enter: sec(4.8)}, 8, 10, 28},
		"from a leap":   {change{enter: sec(4.8), leaps: true}, 8, 10, 28},
	} {
		j := judgeOf(t, false)
		p := sounding.Exact(j.Score)
		for i := range p.Notes {
			n := &p.Notes[i]
			n.At, n.Till = n.At+time.Second, n.Till+time.Second
		}
		p.Add(90, sec(3.3), sec(3.4)).Add(90, sec(6.3), sec(6.4))
		for _, ev := range p.Events() {
			if ev.At < sec(9) {
				j.kept.add(ev)
			}
		}
		j.doubt.since = sec(2.8)
		w, found, ok := j.weigh(&reading{change: c.change}, sec(8.9))
		assert.True(t, ok)
		assert.Equal(t, c.right, w.right, name)
		assert.Equal(t, c.notes, w.notes, name)
		assert.Equal(t, c.struck, w.struck, name)
		assert.GreaterOrEqual(t, len(found), c.right, name)
	}
}

// How far from where it is written a right stroke lies: about so many octaves.
func TestOctavesFromWhereItIsWritten(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "block-whole")
	var chord int // the right hand's: C4 E4 G4
	for chord = range s.Wants {
		if len(s.Wants[chord].Tones) == 3 {
			break
		}
	}
	assert.Equal(t, []pitch.Num{60, 64, 67}, s.Wants[chord].Keys())
	for _, c := range []struct {
		keys []pitch.Num
		far  int
	}{
		{[]pitch.Num{60, 64, 67}, 0}, {[]pitch.Num{64, 67, 72}, 0}, {[]pitch.Num{67, 72, 76}, 0}, {[]pitch.Num{55, 60, 64}, 0},
		{[]pitch.Num{72, 76, 79}, 1}, {[]pitch.Num{48, 52, 55}, 1}, {[]pitch.Num{84, 88, 91}, 2}, {[]pitch.Num{36, 40, 43}, 2},
		{[]pitch.Num{69, 72, 77}, 1}, {[]pitch.Num{52, 55, 60}, 0},
	} {
		assert.Equal(t, c.far, octavesOff(right(c.keys, chord, 0), s), c.keys)
	}
}

// Who is later and later is no machine.
func TestADelayThatGrows(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	for grows, even := range map[time.Duration]bool{0: true, 19 * ms: true, 21 * ms: false, -21 * ms: false} {
		w := weight{}
		for i := range 16 {
			off := 150 * ms
			if i >= 8 {
				off += grows
			}
			w.add(right(s.Wants[i].Keys(), i, off), &reading{}, s)
		}
		assert.Equal(t, even, w.even(), grows.String())
	}
}

// Another tempo is one where the click is left by nearly a beat: at 120, and a tenth faster,
// after eight beats.
func TestATempoLeavesTheClick(t *testing.T) {
	for now, want := range map[float64]bool{3.9: false, 4.1: true} {
		j := judgeOf(t, false)
		r := reading{pace: 1.1}
		r.causes[when].Kind = finding.DoubleTempo
		assert.Equal(t, want, j.measured(&r, &weight{right: 20}, j.Click.Start+sec(now)), "after %g seconds", now)
	}
	for name, c := range map[string]struct {
		pace  float64
		right int
		want  bool
	}{
		"a bit faster":          {1.1, 11, false},
		"a bit faster, 12":      {1.1, 12, true},
		"a bit slower":          {0.9, 11, false},
		"a bit slower, 12":      {0.9, 12, true},
		"much faster":           {1.15, fewestSteady, true},
		"much faster, too few":  {1.15, fewestSteady - 1, false},
		"much slower":           {0.87, fewestSteady, true},
		"half as fast, too few": {0.5, fewestSteady - 1, false},
	} {
		j := judgeOf(t, false)
		r := reading{pace: c.pace}
		r.causes[when].Kind = finding.DoubleTempo
		assert.Equal(t, c.want, j.measured(&r, &weight{right: c.right}, j.Click.Start+sec(12)), name)
	}
}

// Who plays on elsewhere strikes as it is written there, as often as before, or nearly.
func TestStrokesAsExactAsBefore(t *testing.T) {
	for name, c := range map[string]struct {
		w, was weight
		want   bool
	}{
		"as often":            {weight{right: 20, exact: 20}, weight{right: 10, exact: 10}, true},
		"half as often":       {weight{right: 20, exact: 10}, weight{right: 10, exact: 10}, true},
		"less than that":      {weight{right: 20, exact: 9}, weight{right: 10, exact: 10}, false},
		"never before either": {weight{right: 20}, weight{right: 10}, true},
		"nothing before":      {weight{right: 20}, weight{}, true},
	} {
		assert.Equal(t, c.want, c.w.asExact(&c.was), name)
	}
}
