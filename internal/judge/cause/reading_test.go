package cause

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// judgeOf judges eight bars of two seconds, in 4/4 at 120, from 1 second on.
func judgeOf(t *testing.T, loop bool) *Judge {
	j := New(sounding.ScoreOf(t, "4/4", eight, "two-beat"), Options{Options: engine.Options{Level: rules.Steady, Start: time.Second, Loop: loop}})
	j.places = placesOf(j.Score)
	return j
}

func sec(s float64) time.Duration { return time.Duration(math.Round(s * 1e9)) }

// Where a finding stands, when that sounds, and when a stretch begins of which it is the
// first mistake: two fifths of a beat before.
func TestWhereAFindingStands(t *testing.T) {
	j := judgeOf(t, true)
	assert.Equal(t, 200*ms, j.reach())
	assert.Equal(t, 2*time.Second, j.barLasts())
	wrong := func(pass, bar int, beat float64, want int) *finding.Finding {
		return &finding.Finding{Kind: finding.WrongNote, Pass: pass, Bar: bar, Beat: beat, Want: want}
	}
	for name, c := range map[string]struct {
		f    *finding.Finding
		at   meter.Ticks
		time float64 // seconds
	}{
		"a note more":            {wrong(0, 2, 3.5, -1), 2*meter.Whole + 5*meter.Eighth, 6.25},
		"the first stroke":       {wrong(0, 3, 2, 0), 0, 1},
		"another stroke":         {wrong(0, 3, 2, 9), 2*meter.Whole + meter.Quarter, 5.5},
		"one in the third round": {wrong(2, 0, 1, 0), 0, 33},
	} {
		assert.Equal(t, c.at, placeIn(j.Score, c.f), name)
		assert.Equal(t, sec(c.time), j.wantedAt(c.f), name)
		j.told = true
		assert.Equal(t, sec(c.time-0.2), j.since(c.f), name)
		j.told = false
		assert.Zero(t, j.since(c.f), "%s: from the beginning", name)
	}
	late := reading{pass: 1, late: 500 * ms}
	j.reading, j.told = late, true
	j.heard, _ = j.judge(&late, stretch{1, 0, 7}, true)
	assert.Equal(t, sec(33.5), j.wantedAt(wrong(2, 0, 1, 0)), "under a reading from the second round on, half a second late")
	assert.Equal(t, sec(33.3), j.since(wrong(2, 0, 1, 0)))
}

// Which bars are judged for a stretch: from the one before it to some after now.
func TestTheBarsOfAStretch(t *testing.T) {
	for name, c := range map[string]struct {
		since, now float64 // seconds
		r          reading
		want       stretch
	}{
		"the beginning":             {0, 2, reading{}, stretch{0, 0, 3}},
		"bar 3 to 4":                {4.8, 7.2, reading{}, stretch{0, 1, 6}},
		"just before bar 3":         {4.79, 7.2, reading{}, stretch{0, 0, 6}},
		"near the end":              {10.8, 14, reading{}, stretch{0, 4, 7}},
		"over the end":              {14.8, 18, reading{}, stretch{0, 6, 7}},
		"the second round":          {20.8, 22, reading{}, stretch{1, 1, 5}},
		"the second round, by it":   {20.8, 22, reading{pass: 1}, stretch{1, 1, 5}},
		"half as fast":              {8.8, 14, reading{pace: 0.5}, stretch{0, 1, 6}},
		"two beats late":            {4.8, 7.2, reading{late: sec(1)}, stretch{0, 0, 5}},
		"half as fast from round 2": {24.8, 30, reading{pass: 1, pace: 0.5}, stretch{1, 1, 6}},
		"before it begins":          {-1, 0, reading{}, stretch{0, 0, 3}},
	} {
		j := judgeOf(t, true)
		j.doubt.since = sec(c.since)
		assert.Equal(t, c.want, j.stretch(&c.r, sec(c.now)), name)
	}
}

// How far the music is under a reading, and when it is so far.
func TestHowFarTheMusicIs(t *testing.T) {
	for name, c := range map[string]struct {
		r      reading
		at, is float64 // seconds
	}{
		"as written":               {reading{}, 3, 2},
		"late":                     {reading{late: sec(0.5)}, 3, 1.5},
		"half as fast":             {reading{pace: 0.5}, 3, 1},
		"twice as fast, and early": {reading{pace: 2, late: sec(-0.25)}, 3, 4.5},
		"from the second round":    {reading{pass: 1}, 18, 1},
	} {
		j := judgeOf(t, true)
		assert.InDelta(t, c.is, j.inScore(&c.r, sec(c.at)).Seconds(), 1e-6, name)
		assert.InDelta(t, c.at, j.sounds(&c.r, sec(c.is)).Seconds(), 1e-6, name)
	}
	// Counted from another round, it is the same.
	j := judgeOf(t, true)
	for _, r := range []reading{{}, {late: sec(0.5)}, {pace: 0.5, late: sec(0.25)}, {pass: 2, pace: 2}} {
		for pass := range 4 {
			b := j.based(r, pass)
			assert.Equal(t, pass, b.pass)
			assert.Equal(t, r.pace, b.pace)
			far := time.Duration(pass-r.pass) * j.Click.Pass()
			assert.InDelta(t, (j.inScore(&r, sec(40)) - far).Seconds(), j.inScore(&b, sec(40)).Seconds(), 1e-6)
		}
	}
}

// What is wanted on beat 1 is C, and on beat 2 C, E and G, in any octave; in time is what
// is no more than 75 ms off, at 120.
func TestWhatAReadingExplains(t *testing.T) {
	for name, c := range map[string]struct {
		r    reading
		loop bool
		key  pitch.Num
		at   float64
		want bool
	}{
		"C on 1":                           {reading{}, false, 36, 1, true},
		"an octave up":                     {reading{}, false, 48, 1, true},
		"D":                                {reading{}, false, 38, 1, false},
		"E on 2":                           {reading{}, false, 64, 1.5, true},
		"E on 1":                           {reading{}, false, 64, 1, false},
		"C late":                           {reading{}, false, 36, 1.075, true},
		"C later":                          {reading{}, false, 36, 1.076, false},
		"C early":                          {reading{}, false, 36, 0.925, true},
		"C earlier":                        {reading{}, false, 36, 0.924, false},
		"D, a tone up":                     {reading{up: 2}, false, 38, 1, true},
		"C, a tone up":                     {reading{up: 2}, false, 36, 1, false},
		"B, a half step down":              {reading{up: -1}, false, 35, 1, true},
		"C on 2, a beat late":              {reading{late: sec(0.5)}, false, 36, 1.5, true},
		"E a beat after that":              {reading{late: sec(0.5)}, false, 64, 2, true},
		"E, half as fast":                  {reading{pace: 0.5}, false, 64, 2, true},
		"after the end":                    {reading{}, false, 36, 17, false},
		"in the second round":              {reading{}, true, 36, 17, true},
		"just before it":                   {reading{}, true, 36, 16.93, true},
		"more before it":                   {reading{}, true, 36, 16.92, false},
		"E in the third round":             {reading{}, true, 64, 33.5, true},
		"the last chord, C again":          {reading{}, true, 64, 16.5, true},
		"from the second round, in it":     {reading{pass: 1}, true, 36, 17, true},
		"from the second round, on beat 2": {reading{pass: 1}, true, 64, 17.5, true},
	} {
		j := judgeOf(t, c.loop)
		assert.Equal(t, c.want, j.explains(&c.r, &strike{key: c.key, at: sec(c.at)}), name)
	}
}

// What is in time depends on the tempo, within bounds.
func TestWhatIsInTime(t *testing.T) {
	for tempo, want := range map[meter.Tempo]time.Duration{40: 150 * ms, 60: 150 * ms, 90: 100 * ms, 120: 75 * ms, 150: 60 * ms, 200: 60 * ms} {
		s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
		s.Tempo = tempo
		assert.Equal(t, want, New(s, Options{}).close(), "at %g", tempo)
	}
}

// Two strokes at one time are one place, and a hand that is not judged has none.
func TestPlacesOfAScore(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "block-whole")
	all := placesOf(s)
	if assert.Len(t, all, 2) {
		assert.Equal(t, meter.Ticks(meter.Whole), all[1].at)
		assert.Equal(t, 2*time.Second, all[1].far)
		assert.Len(t, all[1].wants, 2)
		for _, key := range []pitch.Num{65, 69, 60, 41} {
			assert.True(t, all[1].classes.Has(key.Class()), key)
		}
		assert.False(t, all[1].classes.Has(pitch.MiddleC.Class()+2))
	}
	s.Only = score.LeftAlone
	for _, p := range placesOf(s) {
		assert.Len(t, p.wants, 1)
	}
	first, last := around(all, 0, 2*time.Second)
	assert.Equal(t, []int{0, 2}, []int{first, last}, "both ends included")
	first, last = around(all, 1, 2*time.Second-1)
	assert.Equal(t, []int{1, 1}, []int{first, last}, "nothing between")
}

// What naming a cause costs: less from the beginning, more far away and off the beat; and
// nothing but a doubt where it is the score as written, or a tempo heard better.
func TestWhatACauseCosts(t *testing.T) {
	reads := func(k finding.CauseKind, r reading) reading {
		n := when
		if k == finding.OtherKey || k == finding.OctaveOff || k == finding.Silent {
			n = what
		}
		r.causes[n].Kind = k
		return r
	}
	tempo := reads(finding.HalfTempo, reading{pace: 0.5})
	key := reads(finding.OtherKey, reading{up: 2})
	both := tempo
	both.up, both.causes[what] = key.up, key.causes[what]
	better := tempo
	better.pace, better.causes[when].Ratio = 0.52, 0.52
	for name, c := range map[string]struct {
		present, r reading
		told       bool
		want       float64
	}{
		"another key":               {reading{}, key, true, ofCause + margin},
		"from the beginning":        {reading{}, key, false, ofFirst + margin},
		"as written again":          {key, reading{}, true, backAgain},
		"the same tempo, better":    {tempo, better, true, 0},
		"another key, too":          {tempo, both, true, ofCause + margin},
		"another key and a tempo":   {reading{}, both, true, 2*ofCause + margin},
		"no tempo of its own again": {both, key, true, backAgain},
		"a beat late":               {reading{}, reads(finding.LateStart, reading{late: sec(0.5)}), true, ofCause + ofBeats*math.Log(2) + margin},
		"a beat early":              {reading{}, reads(finding.EarlyStart, reading{late: sec(-0.5)}), true, ofCause + ofBeats*math.Log(2) + margin},
		"seven beats late":          {reading{}, reads(finding.LateStart, reading{late: sec(3.5)}), true, ofCause + ofBeats*math.Log(8) + margin},
		"half a beat late":          {reading{}, reads(finding.LateStart, reading{late: sec(0.25)}), true, ofCause + ofBeats*math.Log(1.5) + ofHalf + margin},
		"a fifth of a beat late":    {reading{}, reads(finding.LateStart, reading{late: sec(0.1)}), true, ofCause + ofBeats*math.Log(1.2) + margin},
		"a delay":                   {reading{}, reads(finding.Delay, reading{late: sec(0.2)}), true, ofCause + margin},
		"another key, still late":   {reads(finding.LateStart, reading{late: sec(0.5)}), reads(finding.OtherKey, reads(finding.LateStart, reading{late: sec(0.5), up: 2})), true, ofCause + ofBeats*math.Log(2) + margin},
	} {
		j := judgeOf(t, false)
		j.reading, j.told = c.present, c.told
		assert.InDelta(t, c.want, j.costs(&c.r), 1e-9, name)
		none, some := weight{nats: 40, notes: 7}, weight{nats: 12, notes: 3}
		saved := 28 - c.want
		if c.r.moves() || c.present.moves() {
			saved += 4*ofNote - ofNumber
		}
		assert.InDelta(t, saved, j.saves(&c.r, &none, &some), 1e-9, name)
		if j.options.Patient = true; c.want > margin {
			c.want += moreSure
		}
		assert.InDelta(t, c.want, j.costs(&c.r), 1e-9, "%s, in a recording", name)
	}
}

// What was struck in doubt, and before it; what is struck together is one onset.
func TestWhatWasStruck(t *testing.T) {
	j := judgeOf(t, false)
	j.doubt.since = sec(4)
	for _, k := range []struct {
		at  float64
		key uint8
	}{{1.99, 36}, {2, 43}, {3, 36}, {4, 38}, {4.05, 62}, {4.051, 64}, {4.1, 65}, {4.102, 67}, {5, 43}, {6, 44}, {7.01, 45}} {
		j.kept.add(event.On(sec(k.at), k.key, 70))
		j.kept.add(event.Off(sec(k.at+0.01), k.key))
	}
	all, doubted := j.struck(sec(7))
	var times, opens []float64
	var known []pitch.Num
	for _, s := range all {
		times = append(times, s.at.Seconds())
		if s.opens {
			opens = append(opens, s.at.Seconds())
		}
		if s.known {
			known = append(known, s.key)
		}
	}
	assert.Equal(t, []float64{1.99, 2, 3, 4, 4.05, 4.051, 4.1, 4.102, 5, 6}, times, "from some bars before the doubt to now")
	assert.Equal(t, 3, doubted)
	assert.Equal(t, []float64{1.99, 3, 4, 4.051, 4.102, 5, 6}, opens, "50 ms and less is together")
	assert.Equal(t, []pitch.Num{43, 43}, known, "the fifth of C in bar 1, and the root of G7 in bar 3")
	ev := evidence{struck: all, doubted: doubted}
	assert.Equal(t, []int{0, 2, 3, 5, 7, 8, 9}, ev.onsets(), "from the second before what is in doubt on")
	assert.Equal(t, sec(1), ev.silence(3))
	assert.Zero(t, ev.silence(0))
}
