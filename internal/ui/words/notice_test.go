package words

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// pieceOf is a piece of two lines, C and F, G7 and C, to be played with a pattern.
func pieceOf(t testing.TB, rows string, change func(*sitting.Heading)) *sitting.Piece {
	t.Helper()
	const bars = "[Verse]; | C | F |; w: first | line |; | G7 | C |; w: second | line |"
	s := built(t, bars, rows)
	h := sitting.HeadingOf(s, "steady")
	h.Title = "Sakura"
	if change != nil {
		change(&h)
	}
	return sitting.NewPiece(h, s, s.Chart)
}

// underLou is the tune of Lou with so many basses to choose from.
func underLou(t testing.TB, basses int) *sitting.Piece {
	t.Helper()
	s := louScore(t)
	h := sitting.HeadingOf(s, "")
	h.Kind, h.Title, h.Choice = sitting.Basses, "Lou", basses
	return sitting.NewPiece(h, s, material.Chart(t, sounding.Lou))
}

// lookedFor is a tune of the same notes that is looked for by ear.
func lookedFor(t testing.TB) *sitting.Piece {
	p := underLou(t, 0)
	p.Heading.Kind = sitting.Tune
	return p
}

func TestNotices(t *testing.T) {
	for want, n := range map[string]sitting.Notice{
		"":                                   {},
		"listening to Grand, click on Grand": {Kind: sitting.ListeningTo, Port: "Grand", Out: "Grand"},
		"listening to Grand":                 {Kind: sitting.ListeningTo, Port: "Grand"},
		"listening to Grand, with a delay of 14 ms":                                  {Kind: sitting.ListeningTo, Port: "Grand", Out: "Grand", NoClick: true, Delay: 14 * time.Millisecond},
		"playing on Grand":                                                           {Kind: sitting.PlayingOn, Out: "Grand"},
		"playing on Grand; the tune an octave up, clear of the accompaniment":        {Kind: sitting.PlayingOn, Out: "Grand", Up: 1},
		"silent, to be seen only; the tune 2 octaves up, clear of the accompaniment": {Kind: sitting.OnlyShown, Up: 2},
		"Wanda is an invented student, simulated: nothing is plugged in.":            {Kind: sitting.SimulatedOnly, Port: "Wanda"},
		"keyboard unplugged: waiting for Grand":                                      {Kind: sitting.Unplugged, Port: "Grand"},
		"keyboard is back: Grand":                                                    {Kind: sitting.PluggedIn, Port: "Grand"},
		"paused":                                                                     {Kind: sitting.NowPaused},
		"not now: loop this line":                                                    {Kind: sitting.NotNow, Command: sitting.DoLine},
		"that's it":                                                                  {Kind: sitting.WellDone},
		"bar 3: right":                                                               {Kind: sitting.BarRight, Bar: 3},
		"intro 2: mended":                                                            {Kind: sitting.BarMended, Bar: -2},
		"pass 2: 11 strokes right, 1 to mend":                                        {Kind: sitting.PassOver, Pass: 2, Right: 11, Wrong: 1},
		"pass 3: All right: 12 strokes":                                              {Kind: sitting.PassOver, Pass: 3, Right: 12},
		"pass 4: Nothing was played that could be judged.":                           {Kind: sitting.PassOver, Pass: 4},
		"clean: now 76":                                                              {Kind: sitting.NowFaster, Tempo: 76},
		"once more at 72":                                                            {Kind: sitting.OnceMore, Tempo: 72},
		"clean at 96, the tempo you were after":                                      {Kind: sitting.AtTheTop, Tempo: 96},
		"round 2":                                                                    {Kind: sitting.RoundBegins, Pass: 2},
		"tempo 66.67":                                                                {Kind: sitting.NowAtTempo, Tempo: 200. / 3},
		"bar 3: G7":                                                                  {Kind: sitting.BarBegins, Bar: 2},
		"begin on any key you like":                                                  {Kind: sitting.TuneBegins},
		"play it, twice or three times if you like; then wait, or press q": {Kind: sitting.RecordBegins},
		"listening; wait, or press q, when it is over":                     {Kind: sitting.RecordGoesOn},
	} {
		assert.Equal(t, want, NewSpeaker(pieceOf(t, "block-whole", nil)).Notice(&n))
	}
}

func TestNoticesOfWhatUndersongPlays(t *testing.T) {
	for want, change := range map[string]func(*sitting.Heading){
		"listening to Grand; undersong plays the tune on Organ, channel 4, and you the accompaniment; the tune an octave up, clear of the accompaniment": func(h *sitting.Heading) { h.With = "melody" },
		"listening to Grand; undersong plays the left hand on Organ, channel 4, and you the right hand; the tune an octave up, clear of the accompaniment": func(h *sitting.Heading) {
			h.With, h.Hands = "left", score.RightAlone
		},
	} {
		n := sitting.Notice{Kind: sitting.ListeningTo, Port: "Grand", Out: "Organ", NoClick: true, Channel: 4, Up: 1}
		assert.Equal(t, want, NewSpeaker(pieceOf(t, "block-whole", change)).Notice(&n))
	}
	led := NewSpeaker(pieceOf(t, "block-whole", func(h *sitting.Heading) { h.Follow = true }))
	assert.Equal(t, "listening to Grand", led.Notice(&sitting.Notice{Kind: sitting.ListeningTo, Port: "Grand", Delay: time.Second}), "who leads is late by nothing")
	wait := NewSpeaker(pieceOf(t, "right: . ch . ch/left: . . . .", nil))
	assert.Equal(t, "the first note is on beat 2 of bar 1", wait.Notice(&sitting.Notice{Kind: sitting.FirstNote}))
}

func TestNoticesOfBasses(t *testing.T) {
	s := NewSpeaker(underLou(t, 3))
	assert.Equal(t, "play the tune, and under it C or G or F", s.Notice(&sitting.Notice{Kind: sitting.BassesBegin}))
	for want, choices := range map[string]finding.Few{
		"bar 2: any of them will do": finding.FewOf(), "bar 2: C fits": finding.FewOf(0), "bar 2: G and F fit": finding.FewOf(1, 2), "bar 2: C, G and F fit": finding.FewOf(0, 1, 2),
	} {
		assert.Equal(t, want, s.Notice(&sitting.Notice{Kind: sitting.BassesFit, Bar: 1, Choices: choices}))
	}
}

func TestASpeakerHasTheVoiceOfItsPiece(t *testing.T) {
	strokes, basses, tune := NewSpeaker(pieceOf(t, "block-whole", nil)), NewSpeaker(underLou(t, 2)), NewSpeaker(lookedFor(t))
	assert.Nil(t, strokes.Basses())
	assert.Nil(t, strokes.Tune())
	assert.NotNil(t, strokes.Strokes(&finding.Finding{}))
	assert.NotNil(t, basses.Basses())
	assert.NotNil(t, tune.Tune())

	assert.Equal(t, "Sakura: block-whole in C, 4/4, tempo 96, steady", strokes.Headline())
	assert.Equal(t, "Lou in C, one bass in each bar: C, G", basses.Headline())
	assert.Equal(t, "Lou: 1 phrase, 13 notes, from any key", tune.Headline())

	lost := &finding.Finding{Kind: finding.Lost, Bar: 2, Want: -1}
	assert.Equal(t, "lost after bar 3 - begin again at the start of a bar", strokes.Line(lost))
	assert.Equal(t, "the tune was lost after bar 3 - begin again at the start of a bar", basses.Line(lost))
	assert.Equal(t, "phrase 1 is right", tune.Line(&finding.Finding{Kind: finding.PhraseRight}))
	assert.Equal(t, []int{3, 3, 0}, []int{strokes.Bar(lost), basses.Bar(lost), tune.Bar(lost)})

	for s, want := range map[*Speaker]string{
		strokes: "Nothing was played that could be judged.", basses: "Right: 0 of 0 bars", tune: "Found: 0 of 0 phrases",
	} {
		r := sitting.Result{Heading: s.piece.Heading}
		r.Summary.Tune.Hardest, r.Summary.Basses.Leading = -1, -1
		assert.Equal(t, want, s.Summary(&r)[0])
	}
}

func TestWhatTapsSay(t *testing.T) {
	ms := func(n int) time.Duration { return time.Duration(n) * time.Millisecond }
	for want, r := range map[string]sitting.TapResult{
		"5 of 10 clicks were tapped with: too few to tell. Tap once with each click, any key.": {Of: 10, Taps: 5},
		"10 taps, 30 ms behind the click, give or take 41 ms\nThat is too uneven to tell a delay from. Listen to some clicks first, then tap with one finger.": {
			Of: 10, Taps: 10, Mean: ms(30), Spread: ms(41)},
		"10 taps, 90 ms ahead of the click, give or take 5 ms\nMore than 80 ms is no piano's delay: sound over a wireless link may be late, or the taps fell between the clicks. Use a cable, and try again.": {
			Of: 10, Taps: 10, Mean: ms(-90), Spread: ms(5)},
		"6 taps, on the click, give or take 40 ms\nThat is as good as none: there is nothing to set.": {Of: 10, Taps: 6, Spread: ms(40)},
		"9 taps, 13 ms ahead of the click, give or take 8 ms\nMost people tap a little ahead of a click without knowing. Where it is set, practice counts it as in time.": {
			Of: 10, Taps: 9, Mean: ms(-13), Spread: ms(8)},
		"9 taps, 13 ms behind the click, give or take 8 ms\nYour keys arrive late, or the click does. Where it is set, practice counts it as in time.": {
			Of: 10, Taps: 9, Mean: ms(13), Spread: ms(8)},
		"9 taps, 1 ms behind the click, give or take 8 ms\nThat is as good as none: there is nothing to set.": {Of: 10, Taps: 9, Mean: ms(1), Spread: ms(8)},
	} {
		said := TapLines(r)
		text := said[0]
		for _, more := range said[1:] {
			text += "\n" + more
		}
		assert.Equal(t, want, text)
	}
}

func TestWhatIsPlayedFromNowOn(t *testing.T) {
	for want, h := range map[string]sitting.Heading{
		"the whole":                               {},
		"bars 5-8, round and round":               {Span: score.Span{From: 5, To: 8}, Loop: true},
		"bar 3, left hand alone, round and round": {Span: score.Span{From: 3, To: 3}, Hands: score.LeftAlone, Loop: true},
		"the whole, right hand alone":             {Hands: score.RightAlone},
	} {
		assert.Equal(t, want, Changed(&h))
	}
}
