package words

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/chordid"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

func TestBarsText(t *testing.T) {
	for want, bars := range map[string][]int{
		"bar 3":                             {3},
		"bars 3 and 4":                      {3, 4},
		"bars 3-5":                          {3, 4, 5},
		"bars 1, 3-5 and 9":                 {1, 3, 4, 5, 9},
		"bars 1-32":                         seq(1, 32),
		"bars 1, 3, 5, 7, 9, 11 and 2 more": {1, 3, 5, 7, 9, 11, 13, 15},
		"bars 2, 4, 6, 8, 10-14 and 20":     {2, 4, 6, 8, 10, 11, 12, 13, 14, 20},
	} {
		assert.Equal(t, want, barsText(bars))
	}
}

func seq(from, to int) (all []int) {
	for n := from; n <= to; n++ {
		all = append(all, n)
	}
	return all
}

// trouble is a session in which a kind was found once in each of some bars.
func trouble(k finding.Kind, last int, bars ...int) *sitting.Result {
	s := &sitting.Result{Heading: sitting.Heading{File: "a.chart", Pattern: "waltz", Tempo: 100, Level: "steady", Last: last}}
	for _, b := range bars {
		c := finding.BarCount{Bar: b}
		c.Counts[k]++
		s.Summary.Bars = append(s.Summary.Bars, c)
	}
	s.Summary.Troubles = []finding.Trouble{{Kind: k, Bars: bars, Count: len(bars)}}
	return s
}

func TestCommandPractisesSlowlyButKeepsTheTempoForTime(t *testing.T) {
	s := trouble(finding.WrongBass, 16, 5)
	assert.Equal(t, "undersong practice a.chart --pattern waltz --tempo 80 --bars 4-6 --loop --hand left", Practise(s)[0].Command)
	s = trouble(finding.Late, 16, 5)
	s.Level = "strict"
	assert.Equal(t, "undersong practice a.chart --pattern waltz --tempo 100 --bars 4-6 --loop --hand left --level strict", Practise(s)[0].Command)
	s.Follow = true
	assert.Contains(t, Practise(s)[0].Command, " --loop --hand left --follow --level strict")
	s.File = ""
	assert.Empty(t, Practise(s)[0].Command)
}

// A cause stands first, with how to practise as it has it.
func TestCausesStandFirst(t *testing.T) {
	piece := pieceOf(t, "block-whole", nil) // in C
	const practice = "  undersong practice a.chart --pattern block-whole"
	for _, c := range []struct {
		cause   finding.Cause
		change  func(r *sitting.Result)
		command string
	}{
		{finding.Cause{Kind: finding.OtherKey, Bar: 1, ToBar: 8, Semitones: 2}, nil, practice + " --key D --tempo 100"},
		{finding.Cause{Kind: finding.OtherKey, Bar: 1, ToBar: 8, Semitones: 2}, func(r *sitting.Result) { r.Follow = true }, practice + " --key D --follow"},
		{finding.Cause{Kind: finding.HalfTempo, Bar: 1, Ratio: 0.496}, nil, practice + " --tempo 50"},
		{finding.Cause{Kind: finding.DoubleTempo, Bar: 1, Ratio: 2}, nil, practice + " --tempo 200"},
		{finding.Cause{Kind: finding.DoubleTempo, Bar: 1, Ratio: 2}, func(r *sitting.Result) { r.Follow = true }, ""},
		{finding.Cause{Kind: finding.Silent, Bar: 1, Hand: finding.RightHand}, nil, practice + " --tempo 100 --hand right"},
		{finding.Cause{Kind: finding.Silent, Bar: 1, Hand: finding.RightHand}, func(r *sitting.Result) { r.File = "" }, ""},
		{finding.Cause{Kind: finding.Silent, Bar: 1, Hand: finding.BothHands}, nil, ""},
		{finding.Cause{Kind: finding.OctaveOff, Bar: 1, Octaves: 1}, nil, ""},
	} {
		r := &sitting.Result{Heading: piece.Heading}
		r.File, r.Pattern, r.Key, r.Tempo, r.Level = "a.chart", "block-whole", piece.Score.Key, 100.2, "steady"
		r.Summary.Causes, r.Summary.Bars = []finding.Cause{c.cause}, []finding.BarCount{{Bar: 1}}
		r.Summary.Bars[0].Counts[finding.Right] = 3
		r.Summary.Totals[finding.Right].Count = 3
		if c.change != nil {
			c.change(r)
		}
		s := NewSpeaker(piece)
		want := []string{sentence(s.Cause(&c.cause))}
		if c.command != "" {
			want = append(want, c.command)
		}
		assert.Equal(t, append(want, "All else right: 3 strokes"), s.Summary(r)[:len(want)+1])
	}
}

// What is to be mended is practised in the key in which it was played.
func TestCommandPractisesInTheKeyThatIsPlayed(t *testing.T) {
	s := trouble(finding.WrongBass, 16, 5)
	s.Key = pitch.KeyAt(0, false)
	for _, c := range []struct {
		from, to int
		want     string
	}{
		{1, 16, "--key G "}, {4, 4, "--key G "}, {5, 16, "waltz --tempo"}, {1, 3, "waltz --tempo"},
	} {
		s.Summary.Causes = []finding.Cause{{Kind: finding.OtherKey, Semitones: -5, Bar: c.from, ToBar: c.to}}
		assert.Contains(t, Practise(s)[0].Command, c.want, c)
	}
}

func TestPictureShowsTheLastTimeOfEachBar(t *testing.T) {
	var p sitting.Picture
	assert.Empty(t, pictureText(p, 0, 1, 8))
	for pass, kinds := range [][]finding.Kind{
		{finding.Right, finding.WrongBass, finding.Late, finding.Right, finding.Missing},
		{finding.Late, finding.Right, finding.WrongChord},
	} {
		for i, k := range kinds {
			p.Add(i+1, sitting.Turn{Pass: pass}, finding.Right)
			p.Add(i+1, sitting.Turn{Pass: pass}, k)
			p.Add(i+1, sitting.Turn{Pass: pass}, finding.Right)
		}
	}
	p.Add(1, sitting.Turn{Pass: 0}, finding.Lost) // of the pass before, told late
	p.Add(11, sitting.Turn{Pass: 1}, finding.Balance)
	assert.Equal(t, "Bars as last played (+ right, C wrong chord, M missing, L late, V out of balance, - not judged):\n"+
		"   1L   2+   3C   4+   5M   6-   7-   8-\n"+
		"   9-  10-  11V", pictureText(p, 0, 0, 11))
}

func TestPictureShowsTheIntroFirst(t *testing.T) {
	var p sitting.Picture
	for i, bar := range []int{-1, -2, 1, 2} {
		p.Add(bar, sitting.Turn{}, []finding.Kind{finding.Right, finding.WrongChord, finding.Right, finding.Late}[i])
	}
	assert.Equal(t, "Bars as last played (+ right, C wrong chord, L late):\n  intro  1+  2C\n  1+  2L", pictureText(p, 2, 1, 2))
}

func TestBarsOfAnIntroAreNamedAndPractised(t *testing.T) {
	assert.Equal(t, "intro 2", barsText([]int{-2}))
	assert.Equal(t, "bars intro 1, intro 2, 3 and 5-7", barsText([]int{-1, -2, 3, 5, 6, 7}))
	s := trouble(finding.Late, 16, -1, -2, -3)
	s.AsChart = true
	assert.Contains(t, Practise(s)[0].Command, "--bars intro --loop")
	assert.NotContains(t, Practise(s)[0].Command, "--pattern")
}

func TestEveryKindHasItsOwnMark(t *testing.T) {
	seen := map[string]bool{notJudged: true}
	for _, k := range finding.Kinds(finding.Strokes) {
		assert.False(t, seen[barMarks[k]], barMarks[k])
		seen[barMarks[k]] = true
	}
}

func TestEveryKindHasWords(t *testing.T) {
	for _, k := range finding.Kinds(finding.Strokes) {
		assert.Contains(t, kindWords, k)
		assert.Contains(t, barMarks, k)
		assert.True(t, k == finding.Right || remedies[k] != "", "a remedy for %s", k)
	}
}

func TestReminderIsShort(t *testing.T) {
	c := material.Chart(t, "key: C\nmeter: 4/4\n\n| C | F |\n")
	s, err := score.Build(c, material.Shipped(t, "block-whole"), score.Options{})
	require.NoError(t, err)
	v := &Wording{Score: s, Ear: chordid.New()}
	bass := &finding.Finding{Kind: finding.WrongBass, Bar: 1, Beat: 1, Want: 2, Second: -1, Heard: finding.KeysOf(43), Goal: finding.KeysOf(41)}
	late := &finding.Finding{Kind: finding.Late, Part: finding.RightHand, Bar: 1, Beat: 1, Want: 3, Second: -1, Heard: finding.KeysOf(60, 65, 69), Offset: 150 * time.Millisecond}
	assert.Equal(t, "bar 2, beat 1: bass G, this is F - go down to F", line(v, bass))
	for n, want := range map[int]string{1: "", 2: ", third time", 9: ", tenth time", 10: ", 11 times now"} {
		bass.Again = n
		assert.Equal(t, "bar 2, beat 1: bass G again"+want, line(v, bass))
	}
	late.Again = 1
	assert.Equal(t, "bar 2, beat 1: 150 ms late again", line(v, late))
}

func TestNothingPlayed(t *testing.T) {
	assert.Equal(t, []string{"Nothing was played that could be judged."}, SummaryLines(&sitting.Result{}))
}

func TestTendencyIsSaid(t *testing.T) {
	assert.Equal(t, ", rushing: 64 ms ahead by the end", tendency(-64))
	assert.Equal(t, ", dragging: 31 ms behind by the end", tendency(31.2))
	assert.Empty(t, tendency(29))
	assert.Empty(t, tendency(-29))
}

func TestLaterTimesThroughARepeatAreSaid(t *testing.T) {
	voice := &Wording{Score: &score.Score{Meter: meter.Meter{Num: 4, Den: 4}, Bars: []score.Bar{{Number: 1, Pass: 1}, {Number: 1, Pass: 2}, {Number: 1, Pass: 3}, {Number: 1, Pass: 30}}}}
	for bar, want := range []string{"bar 1, beat 2", "bar 1, second time, beat 2", "bar 1, third time, beat 2", "bar 1, 30th time, beat 2"} {
		f := &finding.Finding{Bar: bar, Beat: 2}
		assert.Equal(t, want, voice.Place(f))
	}
}

// What to practise fits the mistake, not only its kind.
func TestTipsFitTheMistake(t *testing.T) {
	tip := func(tr finding.Trouble) string {
		tr.Bars, tr.Count = []int{2, 6}, 2
		return troubleText(&tr)
	}
	degrees := func(names ...int) (d finding.Degrees) {
		for _, n := range names {
			d |= 1 << n
		}
		return d
	}
	for _, c := range []struct {
		trouble finding.Trouble
		want    string
	}{
		{finding.Trouble{Kind: finding.Missing}, "missing, bars 2 and 6 (left hand, twice): count aloud and touch every beat"},
		{finding.Trouble{Kind: finding.Missing, Part: finding.RightHand, Aspect: finding.Tones, Lacked: degrees(6)},
			"seventh left out, bars 2 and 6 (right hand, twice): find the seventh of each chord first, then strike the whole chord"},
		{finding.Trouble{Kind: finding.Missing, Part: finding.RightHand, Aspect: finding.Tones, Lacked: degrees(2, 6)},
			"notes left out, bars 2 and 6 (right hand, twice): set every finger on its key, then strike the whole chord"},
		{finding.Trouble{Kind: finding.Missing, Lacked: degrees(6)}, "missing, bars 2 and 6 (left hand, twice): count aloud and touch every beat"},
		{finding.Trouble{Kind: finding.WrongBass}, "wrong bass, bars 2 and 6 (left hand, twice): left hand alone, naming each bass note"},
		{finding.Trouble{Kind: finding.WrongBass, Aspect: finding.ChordTone},
			"wrong bass, bars 2 and 6 (left hand, twice): left hand alone, saying which tone of the chord each bass is: root, third, fifth"},
		{finding.Trouble{Kind: finding.WrongBass, Aspect: finding.Octave},
			"bass in another octave, bars 2 and 6 (left hand, twice): left hand alone, feeling how far down the basses lie"},
		{finding.Trouble{Kind: finding.WrongInversion, Part: finding.RightHand, Aspect: finding.OnTop},
			"tune not on top, bars 2 and 6 (right hand, twice): the tune alone with the upper fingers, then the chord under it"},
		{finding.Trouble{Kind: finding.Balance, Part: finding.BothHands}, "out of balance, bars 2 and 6 (both hands, twice): let the bass carry, the chords lightly above it"},
		{finding.Trouble{Kind: finding.Balance, Part: finding.BothHands, Aspect: finding.Accents},
			"accents too soft, bars 2 and 6 (both hands, twice): lean into the accented beats, all others lighter"},
		{finding.Trouble{Kind: finding.Balance, Part: finding.BothHands, Aspect: finding.OnTop},
			"tune too soft, bars 2 and 6 (both hands, twice): the chords alone, as softly as they go, then the tune over them"},
	} {
		assert.Equal(t, c.want, tip(c.trouble))
	}
}
