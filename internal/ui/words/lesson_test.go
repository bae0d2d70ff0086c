package words

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/byear"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/listen/chordid"
	"undersong/internal/listen/live"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// sakura is a lesson of eight bars of which each kind of finding came so often.
func sakura(counts map[finding.Kind]int) *sitting.Result {
	s := &sitting.Result{Heading: sitting.Heading{
		Title: "Sakura", File: "sakura.chart", Pattern: "waltz", Meter: meter.Meter{Num: 3, Den: 4}, Tempo: 92.5, Level: "steady", First: 1, Last: 8,
	}}
	for k, n := range counts {
		s.Summary.Totals[k] = finding.Total{Count: n, Parts: 1 << finding.LeftHand}
	}
	return s
}

func TestHeadlines(t *testing.T) {
	for want, change := range map[string]func(*sitting.Heading){
		"Sakura: waltz in C, 3/4, tempo 92.5, steady":             func(*sitting.Heading) {},
		"sakura.chart: waltz in C, 3/4, tempo 92.5, steady":       func(h *sitting.Heading) { h.Title = "" },
		"untitled: waltz in C, 3/4, tempo 92.5, steady":           func(h *sitting.Heading) { h.Title, h.File = "", "" },
		"Sakura: waltz in C, 3/4, the player leads, gentle":       func(h *sitting.Heading) { h.Follow, h.Level = true, "gentle" },
		"Sakura: waltz in C, 3/4, tempo from 100 to 92.5, steady": func(h *sitting.Heading) { h.Began = 100 },
		"Sakura: waltz in C, 3/4, tempo from 72 to 84 (asked for: 96, by 4), steady": func(h *sitting.Heading) {
			h.Began, h.Tempo, h.Ramp = 72, 84, sitting.Ramp{From: 72, To: 96, Step: 4}
		},
		"Sakura: waltz in C, 3/4, tempo 72 (from 72 to 96 by 4), steady": func(h *sitting.Heading) {
			h.Tempo, h.Ramp = 72, sitting.Ramp{From: 72, To: 96, Step: 4}
		},
		"Sakura: waltz in C, 3/4, tempo 92.5":                                        func(h *sitting.Heading) { h.Level = "" },
		"Sakura: waltz in C, 3/4, tempo 92.5, steady, left hand alone":               func(h *sitting.Heading) { h.Hands = score.LeftAlone },
		"Sakura: waltz in C, 3/4, tempo 92.5, steady, undersong plays the tune":      func(h *sitting.Heading) { h.With = "melody" },
		"Sakura: waltz in C, 3/4, tempo 92.5, steady, undersong plays the left hand": func(h *sitting.Heading) { h.With = "left" },
		"Sakura: waltz in C, 3/4, tempo 92.5, steady, bars 5-8":                      func(h *sitting.Heading) { h.Span = score.Span{From: 5, To: 8} },
		"Sakura: waltz in C, 3/4, tempo 92.5, steady, the intro":                     func(h *sitting.Heading) { h.Span = score.IntroBars },
	} {
		h := sakura(nil).Heading
		change(&h)
		assert.Equal(t, want, Headline(&h))
	}
	bass := &sitting.Heading{Title: "Lou", Choice: 3}
	assert.Equal(t, "Lou in C, one bass in each bar: C, G, F", bassHeadline(bass))
	bass.Voicing = firstbass.WithFifth
	assert.Equal(t, "Lou in C, a bass in each bar and the fifth above it: C, G, F", bassHeadline(bass))
	bass.Voicing = firstbass.WithTriad
	assert.Equal(t, "Lou in C, a bass in each bar, the fifth above it, the third in the middle: C, G, F", bassHeadline(bass))
	assert.Equal(t, "Red River Valley: 3 phrases, 19 notes, from any key", tuneHeadline(&sitting.Heading{Title: "Red River Valley"}, tuneOf(t, sounding.RedRiver)))
	assert.Equal(t, "One: 1 phrase, 1 note, from any key", tuneHeadline(&sitting.Heading{Title: "One"}, tuneOf(t, "C4")))
}

func TestSummariesOfALesson(t *testing.T) {
	assert.Equal(t, []string{"All right: 24 strokes"}, SummaryLines(sakura(map[finding.Kind]int{finding.Right: 24})))
	assert.Equal(t, []string{"All right: 1 stroke"}, SummaryLines(sakura(map[finding.Kind]int{finding.Right: 1})))

	s := sakura(map[finding.Kind]int{finding.Right: 20, finding.Late: 1, finding.WrongBass: 2, finding.Spread: 1})
	s.Summary.Timing = [2]finding.Timing{{Strokes: 9, MeanMs: -6, SpreadMs: 21.6, DriftMs: -64}, {Strokes: 1, MeanMs: 5}}
	s.Picture.Add(2, sitting.Turn{}, finding.WrongBass)
	s.Summary.Troubles = []finding.Trouble{
		{Kind: finding.WrongBass, Bars: []int{2, 3}, Count: 2}, {Kind: finding.Late, Part: finding.RightHand, Bars: []int{7}, Count: 1},
	}
	assert.Equal(t, []string{
		"20 strokes right, 4 to mend",
		"To mend: wrong bass 2, notes not together 1, late 1",
		"Time: left hand 6 ms ahead of the beat, give or take 22 ms, rushing: 64 ms ahead by the end; right hand on the beat",
		"Bars as last played (B wrong bass, - not judged):\n  1-  2B  3-  4-  5-  6-  7-  8-",
		"Practise 1: wrong bass, bars 2 and 3 (left hand, twice): left hand alone, naming each bass note",
		"  undersong practice sakura.chart --pattern waltz --tempo 74 --bars 1-3 --loop --hand left",
		"Practise 2: late, bar 7 (right hand, once): prepare the next chord during the beat before",
		"  undersong practice sakura.chart --pattern waltz --tempo 93 --bars 6-8 --loop --hand right",
	}, SummaryLines(s))

	s.File, s.Length = "", sitting.LongSession
	said := SummaryLines(s)
	assert.NotContains(t, strings.Join(said, "\n"), "undersong practice", "there is no chart to practise from")
	assert.Equal(t, BreakAdvice(sitting.LongSession), said[len(said)-1])
	assert.NotEmpty(t, BreakAdvice(sitting.LongSession))
	assert.Empty(t, BreakAdvice(sitting.LongSession-time.Second))
}

func TestMeansAreSaidAsTheyAreHeard(t *testing.T) {
	for ms, want := range map[float64]string{
		0: "on the beat", 5: "on the beat", -5: "on the beat", 5.4: "5 ms behind the beat", -5.6: "6 ms ahead of the beat", 40: "40 ms behind the beat",
	} {
		assert.Equal(t, want, offBeat(ms), ms)
	}
	assert.Empty(t, tendency(30))
	assert.Empty(t, tendency(-30))
	assert.Empty(t, timingText(&finding.Summary{}))
	two := finding.Summary{Timing: [2]finding.Timing{{}, {Strokes: 2, SpreadMs: 3}}}
	assert.Equal(t, "Time: right hand on the beat, give or take 3 ms", timingText(&two))
}

func TestCommandsSayHowItWasPlayed(t *testing.T) {
	for want, change := range map[string]func(*sitting.Result){
		"undersong practice sakura.chart --pattern waltz --tempo 74 --bars 1-3 --loop --hand left":                func(*sitting.Result) {},
		"undersong practice sakura.chart --pattern my.pattern --tempo 74 --bars 1-3 --loop --hand left":           func(s *sitting.Result) { s.Own = "my.pattern" },
		"undersong practice sakura.chart --tempo 74 --bars 1-3 --loop --hand left":                                func(s *sitting.Result) { s.AsChart = true },
		"undersong practice sakura.chart --pattern waltz --key C --tempo 74 --bars 1-3 --loop --hand left":        func(s *sitting.Result) { s.Moved = true },
		"undersong practice sakura.chart --pattern waltz --tempo 74 --bars 1-3 --loop --with right":               func(s *sitting.Result) { s.With = "right" },
		"undersong practice sakura.chart --pattern waltz --tempo 74 --bars 1-3 --loop --with left":                func(s *sitting.Result) { s.With = "left" },
		"undersong practice sakura.chart --pattern waltz --tempo 74 --bars 1-3 --loop --hand left --with melody":  func(s *sitting.Result) { s.With = "melody" },
		"undersong practice sakura.chart --pattern waltz --tempo 74 --bars 1-3 --loop --hand left --level strict": func(s *sitting.Result) { s.Level = "strict" },
	} {
		s := sakura(nil)
		s.Summary.Troubles = []finding.Trouble{{Kind: finding.WrongBass, Bars: []int{2}, Count: 2}}
		change(s)
		assert.Equal(t, want, Practise(s)[0].Command)
	}
}

func TestAMistakeAgainInAFewWords(t *testing.T) {
	s := built(t, "| C | F |", "block-whole")
	for want, f := range map[string]finding.Finding{
		"bar 2, beat 1: missing F again":                       {Kind: finding.Missing},
		"bar 2, beat 1: extra C F again":                       {Kind: finding.Extra, Heard: keysOf(t, "C4 F4")},
		"bar 2, beat 1: let go too early again":                {Kind: finding.Short, Heard: keysOf(t, "C4 F4 A4")},
		"bar 2, beat 1: E in the pedal again":                  {Kind: finding.Blurred, Heard: keysOf(t, "E4")},
		"bar 2, beat 1: C F one after another again":           {Kind: finding.Spread, Heard: keysOf(t, "C4 F4")},
		"lost after bar 2 - begin again at the start of a bar": {Kind: finding.Lost},
	} {
		again := at(t, s, right, 2, 1, f)
		again.Again = 1
		assert.Equal(t, want, line(&Wording{Score: s, Ear: chordid.New()}, again))
	}
}

func TestSummariesOfBasses(t *testing.T) {
	s := &sitting.Result{Heading: sitting.Heading{File: "lou.chart", Choice: 2}}
	said := func(last ...finding.Kind) string {
		s.Summary.Basses = finding.BassSummary{All: 4, Leading: -1}
		for i, k := range last {
			s.Summary.Basses.Bars = append(s.Summary.Basses.Bars, finding.BassBar{Bar: i + 1, Last: k})
		}
		return strings.Join(bassSummary(s), "\n")
	}
	const ok, bad = finding.Right, finding.Misfit
	assert.Equal(t, "Right: 0 of 4 bars", said())
	assert.Equal(t, "Right: 1 of 4 bars", said(ok))
	assert.Equal(t, "Right: 1 of 4 bars\nTo practise, bars 2-4:\n  undersong bass lou.chart --bars 1-4", said(ok, bad, bad, bad))
	assert.Equal(t, "Right: 3 of 4 bars\nTo practise, bar 1:\n  undersong bass lou.chart --bars 1-1", said(bad, ok, ok, ok))
	assert.Equal(t, "Right: 2 of 4 bars\nTo practise, bars 2 and 4:\n  undersong bass lou.chart --bars 1-2", said(ok, bad, ok, bad), "the first run of them")
	assert.Equal(t, "All right: 4 bars\nNow in a second key:\n  undersong bass lou.chart --key G", said(ok, ok, ok, ok))
	s.Moved = true
	assert.Equal(t, "All right: 4 bars\nIn two keys: now with the fifth:\n  undersong bass lou.chart --voicing fifth", said(ok, ok, ok, ok))
	s.Voicing = firstbass.WithTriad
	assert.Equal(t, "All right: 4 bars\nIn two keys: now with a third bass, the subdominant:\n  undersong bass lou.chart --with 3", said(ok, ok, ok, ok))
	assert.Equal(t, "Right: 3 of 4 bars\nTo practise, bar 3:\n  undersong bass lou.chart --voicing triad --key C --bars 2-3", said(ok, ok, bad, ok))
	s.Choice = 3
	assert.Equal(t, "All right: 4 bars\nThat is the whole ladder: bass, fifth and triad, in two keys.", said(ok, ok, ok, ok))
	s.Span = score.Span{From: 2, To: 4}
	assert.Equal(t, "All right: 4 bars\nNow the whole tune:\n  undersong bass lou.chart --voicing triad --with 3 --key C", said(ok, ok, ok, ok))
	assert.Equal(t, "Right: 3 of 4 bars\nTo practise, bar 2:\n  undersong bass lou.chart --voicing triad --with 3 --key C --bars 2-2", said(ok, bad, ok, ok), "bar 1 is no part of it")
	said(ok, ok, ok, ok)
	s.Summary.Basses.Leading = 3
	assert.Equal(t, "Try G in bar 3: the dominant leads home more strongly.", bassSummary(s)[1])
	s.Length = sitting.LongSession
	assert.Equal(t, BreakAdvice(sitting.LongSession), bassSummary(s)[3])

	many := &sitting.Result{Heading: s.Heading}
	many.Span = score.Span{}
	assert.Equal(t, score.Span{From: 4, To: 8}, bassSpan(many, []int{5, 6, 7, 8, 9, 10}), "four bars at a time, and the one before")
}

func TestSummariesOfATune(t *testing.T) {
	s := &sitting.Result{Heading: sitting.Heading{File: "my river.chart"}}
	v := &TuneWording{Tune: tuneOf(t, "C4 D4 / E4 F4 / C4 D4")}
	sum := &s.Summary.Tune
	sum.Hardest, sum.Phrases = -1, []finding.PhraseSummary{{Phrase: 0}, {Phrase: 1}}
	assert.Equal(t, []string{"Found: 0 of 2 different phrases", "No phrase was begun."}, v.summary(s))

	sum.Phrases = []finding.PhraseSummary{{Phrase: 0, Found: true, Right: true, Tries: 1, Wrong: 1}, {Phrase: 1, Tries: 2, Wrong: 3}}
	sum.Found, sum.Hardest, sum.HardestMiss = 1, 3, 3
	assert.Equal(t, []string{
		"Found: 1 of 2 different phrases",
		"  phrase 1, 3     right          1 time through, 1 wrong note\n  phrase 2        not found yet  2 times through, 3 wrong notes",
		"Hardest: up a step, in phrase 2 from note 1 to note 2 (3 wrong notes)",
	}, v.summary(s))

	sum.Phrases[1].Found, sum.Whole, sum.Hardest = true, true, -1
	assert.Equal(t, []string{
		"The whole tune is found",
		"  phrase 1, 3     right          1 time through, 1 wrong note\n  phrase 2        found          2 times through, 3 wrong notes",
		"Next, from another note:\n  undersong tune 'my river.chart' --from another --known",
	}, v.summary(s))
	sum.Hardest, sum.HardestMiss = 0, 2
	s.Task, sum.Task = byear.Task{Another: true}, finding.TaskSummary{Begun: true, Kept: 2}
	s.Length = sitting.LongSession
	sum.Hardest = -1
	assert.Equal(t, []string{"As asked: 2 of 3 phrases", BreakAdvice(sitting.LongSession)}, v.summary(s)[2:])
	s.File, sum.Task = "", finding.TaskSummary{}
	s.Length = 0
	assert.Len(t, v.summary(s), 2, "there is no chart to go on with")
}

func TestWhatSoundsIsNamed(t *testing.T) {
	c, err := chord.Parse("F/A")
	require.NoError(t, err)
	k := keysOf(t, "A3 C4 F4")
	assert.Equal(t, "F/A", SoundName(&live.Sound{Chord: c, Keys: k.Slice()}))
	k = keysOf(t, "C4 C#4 C5")
	assert.Equal(t, "C Db", NoteNames(k.Slice(), pitch.Key{}))
	assert.Empty(t, NoteNames(nil, pitch.Key{}))
	assert.Equal(t, "left out", Reason(chordid.ByMissing))
}
