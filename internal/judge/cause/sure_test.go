package cause

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
)

// No other reading comes near the one that is taken: by more where the player has gone
// elsewhere, by less where a hand lies off or something else is played.
func TestNoOtherReadingComesNear(t *testing.T) {
	elsewhere, octave, key, swapped := reading{late: sec(4)}, reading{}, reading{up: 2}, reading{}
	elsewhere.causes[when].Kind = finding.Restarted
	octave.causes[what].Kind = finding.OctaveOff
	key.causes[what].Kind = finding.OtherKey
	swapped.causes[what].Kind = finding.SwappedHands
	for name, c := range map[string]struct {
		r             reading
		unsure, rival float64 // nats, of one that saves 20
		last          bool
		want          bool
	}{
		"a key, another as good":                    {key, 20, 0, false, true},
		"a key, another better":                     {key, 20.1, 0, false, false},
		"a key has no rivals":                       {key, 0, 19.9, false, true},
		"a key at last, another better":             {key, 20 + rivalry, 0, true, true},
		"a key at last, another much better":        {key, 20.1 + rivalry, 0, true, false},
		"a hand, another near":                      {octave, 20 - ofHand, 0, false, true},
		"a hand, another nearer":                    {octave, 20.1 - ofHand, 0, false, false},
		"a hand, the other hand near":               {octave, 0, 20 - ofHand, false, true},
		"a hand, the other hand nearer":             {octave, 0, 20.1 - ofHand, false, false},
		"hands in each other's part, another near":  {swapped, 20 - ofHand, 0, false, true},
		"elsewhere, another near":                   {elsewhere, 20 - rivalry, 0, false, true},
		"elsewhere, another nearer":                 {elsewhere, 20.1 - rivalry, 0, false, false},
		"elsewhere, another place near":             {elsewhere, 0, 20 - rivalry, false, true},
		"elsewhere, another place nearer":           {elsewhere, 0, 20.1 - rivalry, false, false},
		"elsewhere at last, another place nearer":   {elsewhere, 0, 20, true, true},
		"elsewhere at last, another reading nearer": {elsewhere, 20.1 - rivalry, 0, true, false},
	} {
		j := judgeOf(t, false)
		j.told = true
		got := j.clear(&choice{reading: c.r, saved: 20, nearest: 20, rival: c.rival}, &choice{nearest: c.unsure}, c.last)
		assert.Equal(t, c.want, got, name)
	}
	one := judgeOf(t, false)
	swapped.score = one.Score
	assert.False(t, one.clear(&choice{reading: swapped, nearest: 20}, &choice{nearest: 20.1 - ofHand}, false), "other music must be clear, too")
}

// Who begins a beat off is not elsewhere; who begins a bar off is, and so is who comes to be a
// beat off later.
func TestWhoBeginsElsewhere(t *testing.T) {
	for name, c := range map[string]struct {
		kind finding.CauseKind
		late float64 // seconds; a bar lasts two, and 75 ms are in time
		told bool
		want bool
	}{
		"a beat late":           {finding.LateStart, 0.5, false, false},
		"a beat late, later on": {finding.LateStart, 0.5, true, true},
		"nearly a bar late":     {finding.LateStart, 1.92, false, false},
		"a bar late, in time":   {finding.LateStart, 1.925, false, true},
		"nearly a bar early":    {finding.EarlyStart, -1.92, false, false},
		"a bar early, in time":  {finding.EarlyStart, -1.925, false, true},
		"a delay":               {finding.Delay, 0.2, true, false},
		"bars left out":         {finding.Skipped, -4, false, true},
	} {
		j := judgeOf(t, false)
		j.told = c.told
		r := reading{late: sec(c.late)}
		r.causes[when].Kind = c.kind
		assert.Equal(t, c.want, j.strays(&r), name)
	}
}

// Music that is elsewhere goes on with a beat of the click's, or after a pause.
func TestMusicGoesOnWithABeat(t *testing.T) {
	for name, c := range map[string]struct {
		late, was float64 // seconds; a beat lasts half a second
		pause     float64
		want      bool
	}{
		"two beats":                 {1, 0, 0, true},
		"two and a half":            {1.25, 0, 0, false},
		"just in time":              {1.075, 0, 0, true},
		"just out of time":          {1.076, 0, 0, false},
		"nearly the next beat":      {1.425, 0, 0, true},
		"not quite":                 {1.424, 0, 0, false},
		"half a beat early":         {-0.25, 0, 0, false},
		"nearly a beat early":       {-0.43, 0, 0, true},
		"a beat from where it was":  {0.7, 0.2, 0, true},
		"off the beat of before":    {0.5, 0.2, 0, false},
		"after a pause":             {0.25, 0, 0.751, true},
		"after a beat and a half":   {0.25, 0, 0.75, false},
		"a delay that is left late": {0.15, 0.15, 0, true},
	} {
		j := judgeOf(t, false)
		j.reading.late = sec(c.was)
		r := reading{late: sec(c.late)}
		r.causes[when].Pause = sec(c.pause)
		assert.Equal(t, c.want, j.inTime(&r), name)
	}
}

// How much must be heard of what is played instead: six strokes of hands in each other's
// part, and hardly any of them wrong.
func TestHowMuchIsHeardOfOtherMusic(t *testing.T) {
	for name, c := range map[string]struct {
		right, wrong int
		want         bool
	}{
		"five":                    {5, 0, false},
		"six":                     {6, 0, true},
		"three of twenty wrong":   {17, 3, true},
		"three of nineteen wrong": {16, 3, false},
	} {
		j := judgeOf(t, false)
		r := reading{score: j.Score}
		r.causes[what].Kind = finding.SwappedHands
		assert.Equal(t, c.want, j.measured(&r, &weight{right: c.right, wrong: c.wrong}, sec(60)), name)
	}
	for name, c := range map[string]struct {
		wrong, near int // of a hundred notes, those in some harmony near
		bars        float64
		want        bool
	}{
		"another tune":              {12, 67, 5, true},
		"too few strokes":           {11, 67, 5, false},
		"for less than five bars":   {12, 67, 4.99, false},
		"in a harmony that is near": {12, 68, 5, false},
	} {
		j := judgeOf(t, false)
		j.doubt.since = sec(3)
		r := reading{}
		r.causes[what].Kind = finding.OtherChart
		w := weight{wrong: c.wrong, near: c.near, struck: 100}
		assert.Equal(t, c.want, j.measured(&r, &w, sec(3+2*c.bars)), name)
	}
}

// A delay that comes up in the middle is heard for three bars; and half the tempo is one of
// the player's own when it is eight tenths of a beat from the click.
func TestHowLongATimeIsHeard(t *testing.T) {
	even := weight{right: 12, sum: 12 * 0.01, square: 12 * 0.01 * 0.01}
	for bars, want := range map[float64]bool{2.99: false, 3: true, 4: true} {
		j := judgeOf(t, false)
		j.told = true
		r := reading{late: 150 * ms, change: change{enter: sec(5)}}
		r.causes[when].Kind = finding.Delay
		assert.Equal(t, want, j.measured(&r, &even, sec(5+2*bars)), "after %g bars", bars)
	}
	for since, want := range map[float64]bool{0.79: false, 0.8: true} {
		j := judgeOf(t, false)
		r := reading{pace: 0.5, change: change{enter: sec(5)}}
		r.causes[when].Kind = finding.HalfTempo
		assert.Equal(t, want, j.measured(&r, &weight{right: 12}, sec(5+since)), "after %g seconds", since)
		late := r
		late.change = change{}
		assert.Equal(t, want, j.measured(&late, &weight{right: 12}, j.Click.Start+sec(since)), "%g seconds after the click begins", since)
	}
}

// Nothing at all must come for two bars, from where it ends or the click begins.
func TestNothingComesForLong(t *testing.T) {
	both, left := reading{mute: [2]bool{true, true}}, reading{mute: [2]bool{true, false}}
	for name, c := range map[string]struct {
		r     reading
		enter float64 // seconds
		w     weight
		now   float64
		want  bool
	}{
		"for two bars":           {both, 5, weight{}, 9, true},
		"for less":               {both, 5, weight{}, 8.99, false},
		"before the click":       {both, 0, weight{}, 4.99, false},
		"since the click":        {both, 0, weight{}, 5, true},
		"a stroke":               {both, 5, weight{wrong: 1}, 9, false},
		"as many right as wrong": {both, 5, weight{right: 1, wrong: 1}, 9, false},
		"one hand plays":         {left, 5, weight{}, 9, false},
	} {
		j := judgeOf(t, false)
		c.r.change.enter = sec(c.enter)
		assert.Equal(t, c.want, j.nothing(&c.r, &c.w, sec(c.now)), name)
	}
}

// Off the beat is what is more than a quarter from one.
func TestAQuarterOfABeatIsOnIt(t *testing.T) {
	for late, half := range map[float64]float64{0.125: 0, 0.126: ofHalf, 0.375: 0, 0.374: ofHalf, -0.125: 0, -0.126: ofHalf} {
		r := reading{late: sec(late)}
		r.causes[when].Kind = finding.LateStart
		assert.InDelta(t, ofBeats*math.Log(1+math.Abs(late)/0.5)+half, judgeOf(t, false).unusual(&r), 1e-9, "%g seconds", late)
	}
}

// What is wanted when a stroke comes speaks for keys: where two speak as loud, the nearer one
// up comes first. Nothing is heard after the last stroke, if nothing comes at all.
func TestWhatIsProposedFirst(t *testing.T) {
	j := judgeOf(t, false)
	ev := evidence{struck: []strike{{key: 40, at: sec(1)}, {key: 41, at: sec(3)}}}
	var ups []int
	for _, r := range j.keys(&ev) { // E for C, and F for F
		ups = append(ups, r.causes[what].Semitones)
	}
	assert.Equal(t, []int{4, 1, 2}, ups)
	for _, r := range j.propose(&ev) {
		enter := time.Duration(0)
		if r.mute == [2]bool{true, true} {
			enter = sec(3.075)
		}
		if r.mute != [2]bool{} {
			assert.Equal(t, change{leave: enter, enter: enter}, r.change, "%+v", r.mute)
		}
	}
}
