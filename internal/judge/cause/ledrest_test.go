package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/follow"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// stroke is something told of a stroke of a score.
func stroke(s *score.Score, k finding.Kind, pass, want int) *finding.Finding {
	w := &s.Wants[want]
	return &finding.Finding{Kind: k, Part: finding.PartOf(w.Hand), Pass: pass, Bar: w.Bar, Beat: w.Beat, Want: want, Second: -1, At: time.Duration(want) * sec(0.5)}
}

// What was passed without a word counts once: in full for each bar of a hand.
func TestStrokesThatWerePassed(t *testing.T) {
	const ok = finding.Right
	type told struct {
		kind       finding.Kind
		pass, want int
	}
	for name, c := range map[string]struct {
		told []told
		nats float64
		of   [2]int
	}{
		"nothing":                     {[]told{{ok, 0, 0}, {ok, 0, 1}, {ok, 0, 2}}, 0, [2]int{}},
		"a chord":                     {[]told{{ok, 0, 0}, {ok, 0, 2}}, ofMistake, [2]int{0, 1}},
		"a chord that was told of":    {[]told{{ok, 0, 0}, {finding.Missing, 0, 1}, {ok, 0, 2}}, 0, [2]int{}},
		"two chords of a bar":         {[]told{{ok, 0, 0}, {ok, 0, 2}, {ok, 0, 4}}, 2 * ofMistake, [2]int{0, 2}},
		"both at once":                {[]told{{ok, 0, 0}, {ok, 0, 4}}, 2*ofMistake + ofMore, [2]int{1, 2}},
		"of two bars":                 {[]told{{ok, 0, 3}, {ok, 0, 10}}, 4*ofMistake + 2*ofMore, [2]int{3, 3}},
		"too many to be passed":       {[]told{{ok, 0, 0}, {ok, 0, 4*longestPassed + 1}}, 0, [2]int{}},
		"as many as may be, and once": {[]told{{ok, 0, 0}, {ok, 0, 2}, {ok, 0, 0}, {ok, 0, 2}}, ofMistake, [2]int{0, 1}},
		"in another round":            {[]told{{ok, 0, 0}, {ok, 1, 4}}, 0, [2]int{}},
		"in the second round":         {[]told{{ok, 1, 0}, {ok, 1, 2}}, ofMistake, [2]int{0, 1}},
		"what is wrong leads nowhere": {[]told{{ok, 0, 0}, {finding.WrongBass, 0, 2}}, 0, [2]int{}},
		"back":                        {[]told{{ok, 0, 4}, {ok, 0, 0}}, 0, [2]int{}},
	} {
		j := ledBy(t)
		p := passed{score: j.Score, seen: map[int]bool{}}
		nats := 0.0
		for _, x := range c.told {
			nats += p.take(stroke(j.Score, x.kind, x.pass, x.want))
		}
		assert.InDelta(t, c.nats, nats, 1e-9, name)
		assert.Equal(t, c.of, p.of, name)
	}
	j := ledBy(t)
	p := passed{score: j.Score, seen: map[int]bool{}}
	assert.Zero(t, p.take(&finding.Finding{Kind: finding.Extra, Want: -1, Second: -1}))
	both := stroke(j.Score, finding.Missing, 0, 1)
	both.Second = 2
	p.take(stroke(j.Score, ok, 0, 0))
	p.take(both)
	assert.Zero(t, p.take(stroke(j.Score, ok, 0, 3)), "both strokes of a finding are told of")
}

// How many strokes of a hand lie between two places, through all rounds.
func TestStrokesBetweenPlaces(t *testing.T) {
	j := ledBy(t)
	bar := meter.Ticks(meter.Whole)
	for _, c := range []struct {
		hand     int
		from, to meter.Ticks
		want     int
	}{
		{0, 0, bar, 1}, {1, 0, bar, 2}, {0, -1, bar, 2}, {0, 0, bar + 1, 2}, {0, 7 * bar, 9 * bar, 3}, {1, 7 * bar, 9 * bar, 4}, {0, 0, 0, 0}, {0, 16 * bar, 17 * bar, 1},
	} {
		assert.Equal(t, c.want, j.strokes(c.hand, c.from, c.to), "hand %d from %d to %d", c.hand, c.from, c.to)
	}
}

// A bar that the player was sure to begin is kept once, and a stretch is weighed from a
// bar before.
func TestBarsThatAreSure(t *testing.T) {
	j := ledBy(t)
	l := j.led
	begin := func(bar int, at float64) {
		l.anchor(follow.Estimate{Bar: bar, At: meter.Ticks(bar) * meter.Whole}, sec(at), sec(0.5), j.Score)
	}
	assert.Equal(t, anchor{}, j.start())
	for bar := range 8 {
		begin(bar, 3+2*float64(bar))
		begin(bar, 3.04+2*float64(bar))
		l.anchor(follow.Estimate{Bar: bar, At: meter.Ticks(bar)*meter.Whole + meter.Quarter}, sec(3.5+2*float64(bar)), sec(0.5), j.Score)
	}
	assert.Equal(t, 8, l.anchored)
	for since, want := range map[float64]anchor{4.9: {}, 5: {0, sec(3), sec(0.5)}, 6.9: {0, sec(3), sec(0.5)}, 7: {1, sec(5), sec(0.5)}, 12: {3, sec(9), sec(0.5)}, 60: {7, sec(17), sec(0.5)}} {
		j.doubt.since = sec(since)
		assert.Equal(t, want, j.start(), "in doubt since %g", since)
	}
	begin(7, 17.2)
	assert.Equal(t, 9, l.anchored, "the same bar again")
	j.options.Loop = true
	assert.Equal(t, anchor{}, j.start(), "in a loop, from the beginning of all")
}

// Music that comes earlier or later as a whole, in another key or at another tempo as well.
func TestMovesThatAreTried(t *testing.T) {
	for name, c := range map[string]struct {
		first, beat float64 // seconds
		up          pitch.Num
		present     reading
		kind        finding.CauseKind
		late        float64 // seconds
	}{
		"a beat late":                  {1.5, 0.5, 0, reading{}, finding.LateStart, 0.5},
		"two beats early":              {0, 0.5, 0, reading{}, finding.EarlyStart, -1},
		"150 ms late":                  {1.15, 0.5, 0, reading{}, finding.Delay, 0.15},
		"six bars late":                {13, 0.5, 0, reading{}, finding.LateStart, 12},
		"a beat late, a tone up":       {1.5, 0.5, 2, reading{up: 2}, finding.LateStart, 0.5},
		"two beats late, half as fast": {2, 1, 0, reading{pace: 0.5}, finding.LateStart, 1},
	} {
		j := judgeOf(t, false)
		var times []float64
		for i := range 12 {
			times = append(times, c.first+float64(i)*c.beat)
		}
		ev := strokesAt(j, times...)
		for i := range ev.struck {
			ev.struck[i].key += c.up
		}
		ev.present = c.present
		few := j.shifts(&ev)
		assert.LessOrEqual(t, len(few), likeliestShifts, name)
		if assert.NotEmpty(t, few, name) {
			assert.InDelta(t, c.late, few[0].late.Seconds(), 0.02, name)
			assert.Equal(t, c.kind, few[0].causes[when].Kind, name)
		}
	}
}

// A hand of which nothing came for more than two bars, and four strokes, while the other
// played on may be silent: since its last stroke, or from the beginning.
func TestAHandThatRests(t *testing.T) {
	for name, c := range map[string]struct {
		last, now int // strokes: the left hand's last, and the right hand's now; four to a bar
		mute      bool
		only      score.Only
		kind      finding.Kind
		since     float64 // seconds; 0 for none
	}{
		"for two bars":                {0, 7, false, score.BothHands, finding.Right, 0},
		"for more":                    {0, 9, false, score.BothHands, finding.Right, 0.05},
		"of its own, later":           {2, 11, false, score.BothHands, finding.Right, 1.05},
		"hardly for more":             {2, 9, false, score.BothHands, finding.Right, 0},
		"wrong strokes are strokes":   {0, 9, false, score.BothHands, finding.WrongChord, 0.05},
		"missing ones are none":       {0, 9, false, score.BothHands, finding.Missing, 0},
		"it is silent, as is known":   {0, 9, true, score.BothHands, finding.Right, 0},
		"the left hand is not judged": {0, 9, false, score.RightAlone, finding.Right, 0},
	} {
		j := ledBy(t)
		s := *j.Score
		s.Only = c.only
		j.Score = &s
		j.never = [2]bool{}
		j.reading.mute[0] = c.mute
		j.rests(stroke(&s, finding.Right, 0, c.last))
		j.rests(stroke(&s, c.kind, 0, c.now))
		assert.Equal(t, c.since != 0, j.doubt.on, name)
		assert.Equal(t, c.since != 0, j.led.looks, name)
		if c.since != 0 {
			assert.Equal(t, sec(c.since), j.doubt.since, name)
		}
	}
	j := ledBy(t)
	j.rests(stroke(j.Score, finding.Right, 0, 0))
	j.rests(stroke(j.Score, finding.Right, 0, 9))
	assert.True(t, j.doubt.on)
	assert.Zero(t, j.doubt.since, "from the beginning, where it was never right")
	j.led.looks = false
	j.rests(stroke(j.Score, finding.Right, 0, 15))
	assert.False(t, j.led.looks, "and again only after twice as long")
	j.rests(stroke(j.Score, finding.Right, 0, 17))
	assert.True(t, j.led.looks)
}

// Round and round where the player leads, one of the rounds in another key.
func TestWhoLeadsInALoop(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", sixteen, "two-beat")
	for name, c := range map[string]struct {
		up   []pitch.Num
		pass int
	}{
		"the second, to the end": {[]pitch.Num{0, 3, 3}, 1},
		"the third":              {[]pitch.Num{0, 0, 3}, 2},
	} {
		looping := leading
		looping.Loop = true
		h, j := played(s, rounds(s, c.up...).Events(), looping, 0)
		if assert.Len(t, h.causes, 1, name) {
			assert.Equal(t, finding.OtherKey, h.causes[0].Kind, name)
			assert.Equal(t, []int{3, c.pass, 1}, []int{h.causes[0].Semitones, h.causes[0].Pass, h.causes[0].Bar}, name)
		}
		assert.Empty(t, noted(wrongs(h.found)), name)
		sum := j.Summary()
		assert.Equal(t, 3*64, sum.Count(finding.Right), name)
	}
}
