package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// listening judges a score from 1 second on, as judgeOf.
func listening(s *score.Score, loop bool) *Judge {
	j := New(s, Options{Options: engine.Options{Level: rules.Steady, Start: sec(1), Loop: loop}})
	j.places = placesOf(j.Score)
	return j
}

// struckAs are the strikes of a score as it is written, from 1 second on, up to a bar.
func struckAs(s *score.Score, bars int) (ev evidence) {
	for _, n := range sounding.Exact(s).Notes {
		if n.Bar <= bars {
			ev.struck = append(ev.struck, strike{key: n.Key, at: n.At + sec(1), opens: true})
		}
	}
	return ev
}

// Other music is looked for after twelve strokes and a bar and a half.
func TestWhenOtherMusicIsLookedFor(t *testing.T) {
	many := func(n int, lasts float64) (ev evidence) {
		for i := range n {
			ev.struck = append(ev.struck, strike{key: 60, at: sec(1 + lasts*float64(i)/float64(n-1))})
		}
		return ev
	}
	for name, c := range map[string]struct {
		n       int
		lasts   float64 // seconds
		doubted int
		is      finding.CauseKind
		want    bool
	}{
		"enough":                      {12, 3, 0, finding.NoCause, true},
		"too few":                     {11, 3, 0, finding.NoCause, false},
		"too few in doubt":            {13, 9, 2, finding.NoCause, false},
		"enough in doubt":             {14, 9, 2, finding.NoCause, true},
		"within less than a bar more": {12, 2.99, 0, finding.NoCause, false},
		"another key is known":        {12, 3, 0, finding.OtherKey, false},
	} {
		j := judgeOf(t, false)
		ev := many(c.n, c.lasts)
		ev.doubted = c.doubted
		ev.present.causes[what].Kind = c.is
		all := j.others(&ev)
		kinds := map[finding.CauseKind]int{}
		for _, r := range all {
			kinds[r.causes[what].Kind]++
			assert.Equal(t, finding.BothHands, r.causes[what].Hand, name)
			assert.True(t, r.offAssignment())
		}
		if c.want {
			assert.Equal(t, 1, kinds[finding.OtherChart], name)
			assert.Equal(t, len(j.crossed), kinds[finding.SwappedHands], name)
			assert.Positive(t, len(j.crossed))
			assert.Equal(t, len(all), 1+len(j.crossed), name)
		}
	}
	one := *sounding.ScoreOf(t, "4/4", eight, "two-beat")
	one.Only = score.LeftAlone
	assert.Empty(t, listening(&one, false).swaps(), "one hand alone has no other's part")
}

// Sixteen accompaniments are laid over the bars at a time; those that explain most come
// first, and the one that is asked for is none of them.
func TestAccompanimentsThatAreTried(t *testing.T) {
	all := material.Catalogue(t).Of(pattern.Accompaniment)
	j := judgeOf(t, false)
	j.left = all
	ev := struckAs(sounding.ScoreOf(t, "4/4", eight, "driving-eighths"), 2)
	var few []reading
	for n := len(all); n > 0; n -= patternsAtOnce {
		assert.Len(t, j.left, n)
		few = j.patterns(&ev)
		assert.LessOrEqual(t, len(few), likeliestPatterns)
	}
	assert.Empty(t, j.left)
	if assert.Len(t, few, likeliestPatterns) {
		assert.Equal(t, "driving-eighths", few[0].causes[what].Name)
		for _, r := range few {
			assert.Equal(t, finding.OtherPattern, r.causes[what].Kind)
			assert.Equal(t, finding.BothHands, r.causes[what].Hand)
			assert.Equal(t, r.score.Pattern.Name, r.causes[what].Name)
		}
	}
	for _, l := range j.laid {
		assert.NotEqual(t, "two-beat", l.score.Pattern.Name)
		assert.NotEmpty(t, l.places)
	}
	laid := len(j.laid)
	assert.Equal(t, few, j.patterns(&ev), "they are laid once")
	assert.Len(t, j.laid, laid)

	// How many strokes must tell, and what the name costs.
	r := reading{score: j.Score}
	r.causes[what].Kind = finding.OtherPattern
	enough := func(right int, bars float64) bool {
		return j.enoughInstead(&r, &weight{right: right}, j.Click.Start+time.Duration(bars*float64(j.barLasts())))
	}
	assert.True(t, enough(fewestInstead, 2))
	assert.False(t, enough(fewestInstead-1, 3.9))
	assert.True(t, enough(fewestSparse, 4), "of few strokes in four bars")
	assert.False(t, enough(fewestSparse-1, 9))
	assert.InDelta(t, ofPattern, j.unusual(&r), 1e-9)
	j.left = all[:1]
	assert.False(t, enough(fewestInstead, 9), "not before all were looked at")
	r.causes[what].Kind = finding.SwappedHands
	assert.True(t, enough(fewestSwapped, 2))
	assert.False(t, enough(fewestSwapped-1, 9))
}

// A chord of B, D and F, where a diminished one stands alone among major ones: each key has
// it, and four bars on or back are near. Of a major chord two of its notes belong to it.
func TestNotesInTheHarmonyOfBarsNear(t *testing.T) {
	for name, c := range map[string]struct {
		tune string
		at   float64 // seconds; a bar lasts two, from 1 on
		up   pitch.Num
		want int
	}{
		"in its bar":                 {"| Bdim | C | C | C | C | C | C | C |", 1, 0, 3},
		"a little early":             {"| C | Bdim | C | C | C | C | C | C |", 2.95, 0, 3},
		"early, four bars too early": {"| C | C | C | C | C | Bdim | C | C |", 2.95, 0, 3},
		"just before it begins":      {"| Bdim | C | C | C | C | C | C | C |", 0.925, 0, 3},
		"just five bars after":       {"| C | C | C | C | C | C | C | Bdim |", 24.925, 0, 0},
		"nearly five bars after":     {"| C | C | C | C | C | C | C | Bdim |", 24.92, 0, 3},
		"in another key":             {"| Bdim | C | C | C | C | C | C | C |", 1, 5, 3},
		"lower":                      {"| Bdim | C | C | C | C | C | C | C |", 1, -4, 3},
		"four bars too early":        {"| C | C | C | C | Bdim | C | C | C |", 1, 0, 3},
		"five bars too early":        {"| C | C | C | C | C | Bdim | C | C |", 1, 0, 2},
		"four bars too late":         {"| C | C | Bdim | C | C | C | C | C |", 13, 0, 3},
		"five bars too late":         {"| C | Bdim | C | C | C | C | C | C |", 13, 0, 2},
		"the last bar":               {"| C | C | C | C | C | C | C | Bdim |", 15, 0, 3},
		"after the end":              {"| C | C | C | C | C | C | C | Bdim |", 17, 0, 3},
		"five bars after":            {"| C | C | C | C | C | C | C | Bdim |", 25, 0, 0},
		"long before the beginning":  {"| Bdim | C | C | C | C | C | C | C |", -9, 0, 0},
	} {
		j := listening(sounding.ScoreOf(t, "4/4", c.tune, "two-beat"), false)
		ev := evidence{struck: []strike{{key: 60, at: sec(c.at)}}, doubted: 1}
		for _, key := range []pitch.Num{59, 62, 65} {
			ev.struck = append(ev.struck, strike{key: key + c.up, at: sec(c.at)})
		}
		assert.Equal(t, c.want, j.inHarmony(&ev), name)
	}
}

// Another tune is one of which few strokes are right, even by chance and early or late, and
// few of whose notes belong to any harmony near.
func TestAnotherTune(t *testing.T) {
	cluster := []pitch.Num{60, 61, 62, 63}
	for name, c := range map[string]struct {
		keys []pitch.Num
		was  weight
		want bool
	}{
		"nothing right":         {cluster, weight{wrong: 10}, true},
		"three of twenty":       {cluster, weight{right: 3, wrong: 17}, true},
		"four of twenty":        {cluster, weight{right: 4, wrong: 16}, false},
		"one, and two early":    {cluster, weight{right: 1, wrong: 19, off: 2}, true},
		"one, and three early":  {cluster, weight{right: 1, wrong: 19, off: 3}, false},
		"chords of another key": {nil, weight{wrong: 10}, false},
	} {
		j := judgeOf(t, false)
		ev := evidence{struck: []strike{{key: 60, at: sec(0.5)}}, doubted: 1}
		for n := range 12 {
			for _, key := range c.keys {
				ev.struck = append(ev.struck, strike{key: key, at: sec(1 + float64(n)/2)})
			}
		}
		if c.keys == nil {
			for _, s := range struckAs(j.Score, 6).struck[:48] {
				s.key++
				ev.struck = append(ev.struck, s)
			}
		}
		w, ok := j.foreign(&ev, &c.was)
		assert.Equal(t, c.want, ok, name)
		assert.Equal(t, []int{48, 48, c.was.right, c.was.wrong}, []int{w.notes, w.struck, w.right, w.wrong}, name)
		assert.Zero(t, w.nats, name)
		late := listening(sounding.ScoreOf(t, "4/4", "| C |", "two-beat"), false)
		_, ok = late.foreign(&evidence{struck: ev.struck[25:], doubted: 0}, &c.was)
		assert.False(t, ok, "what is struck when the music is over tells nothing")
	}
	for near, want := range map[int]bool{66: true, 67: true, 68: false} {
		assert.Equal(t, want, (&weight{near: near, struck: 100}).foreign(0), "%d of 100", near)
		assert.True(t, (&weight{near: near, struck: 100}).foreign(0.01), "%d of 100, or one more", near)
	}
}

// What is asked for is played again when sixteen strokes in a row were right, not all in one bar.
func TestWhatIsAskedForComesAgain(t *testing.T) {
	const ok, no, short = finding.Right, finding.WrongChord, finding.Short
	run := func(bar, n int) (all []finding.Finding) {
		for range n {
			all = append(all, mistake(ok, finding.LeftHand, bar, 1))
		}
		return all
	}
	one := func(k finding.Kind, bar int) []finding.Finding {
		return []finding.Finding{mistake(k, finding.LeftHand, bar, 1)}
	}
	for name, c := range map[string]struct {
		told [][]finding.Finding
		out  int
		to   int // bar
	}{
		"sixteen":                       {[][]finding.Finding{run(2, 8), run(3, 8)}, 16, 4},
		"fifteen":                       {[][]finding.Finding{run(2, 8), run(3, 7)}, 0, 4},
		"sixteen in a bar":              {[][]finding.Finding{run(2, 16)}, 0, 3},
		"and one in the next":           {[][]finding.Finding{run(2, 16), run(3, 1)}, 17, 4},
		"one wrong among them":          {[][]finding.Finding{run(2, 8), one(no, 2), run(3, 15)}, 0, 4},
		"one wrong, and then sixteen":   {[][]finding.Finding{run(2, 8), one(no, 2), run(3, 8), run(4, 8)}, 16, 5},
		"one short one is told as well": {[][]finding.Finding{run(2, 8), one(short, 2), run(3, 8)}, 17, 4},
		"but is not one of them":        {[][]finding.Finding{run(2, 8), one(short, 2), run(3, 7)}, 0, 4},
	} {
		j := judgeOf(t, false)
		j.all = []finding.Cause{{Kind: finding.OtherChart, Bar: 2}}
		j.reading.causes[what].Kind = finding.OtherChart
		for _, list := range c.told {
			for i := range list {
				list[i].Want, list[i].Second = 0, -1
				j.hear(&list[i])
			}
		}
		assert.Len(t, j.out, c.out, name)
		assert.Equal(t, c.to, j.all[0].ToBar, name)
		assert.Equal(t, c.out == 0, j.reading.offAssignment(), name)
		if c.out > 0 {
			assert.Zero(t, j.row, name)
			assert.Empty(t, j.awaited, name)
		}
	}
}

// Where the hands have each other's part, strokes that are right octaves from where they are
// written say nothing.
func TestHandsThatAreCrossedStill(t *testing.T) {
	for _, c := range []struct {
		kind finding.CauseKind
		up   pitch.Num
		over bool
	}{{finding.SwappedHands, 24, false}, {finding.SwappedHands, 0, true}, {finding.OtherPattern, 24, true}} {
		j := judgeOf(t, false)
		j.all = []finding.Cause{{Kind: c.kind, Bar: 2}}
		j.reading.causes[what].Kind = c.kind
		for want := range 20 {
			f := *stroke(j.Score, finding.Right, 0, want)
			f.Heard = pitch.NumsOf()
			for _, key := range j.Score.Wants[want].Keys() {
				f.Heard.Add(key + c.up)
			}
			j.hear(&f)
		}
		assert.Equal(t, c.over, !j.reading.offAssignment(), "%s, %d up", c.kind, c.up)
	}
}

// Places explain strokes in another key too; and hands are crossed by an octave or two each.
func TestOtherMusicInAnotherKey(t *testing.T) {
	j := judgeOf(t, false)
	ev := struckAs(j.Score, 1)
	for i := range ev.struck {
		ev.struck[i].key++
	}
	assert.Less(t, j.explained(j.places, &ev), 4)
	ev.present.up = 1
	assert.Equal(t, 24, j.explained(j.places, &ev))
	var lifts [][2]pitch.Num
	for _, r := range j.swaps() {
		lifts = append(lifts, [2]pitch.Num{r.score.Wants[0].Tones[0].Key - j.Score.Wants[0].Tones[0].Key, r.score.Wants[1].Tones[0].Key - j.Score.Wants[1].Tones[0].Key})
	}
	assert.Equal(t, [][2]pitch.Num{{24, -12}, {12, -24}, {24, -24}}, lifts)
}
