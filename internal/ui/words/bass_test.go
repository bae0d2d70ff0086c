package words

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

func louScore(t testing.TB) *score.Score {
	t.Helper()
	return scoreOf(t, material.Chart(t, sounding.Lou))
}

func lines(v *BassWording, found []finding.Finding) []string {
	var all []string
	for i := range found {
		all = append(all, v.Line(&found[i]))
	}
	return all
}

func TestWhatIsSaidOfBasses(t *testing.T) {
	home := []string{"C3 0-3.8", "C3 4-7.8", "G2 8-11.8", "C3 12-15.8"}
	with := func(bar int, h ...string) []string {
		var all []string
		for i, x := range home {
			if i != bar-1 {
				all = append(all, x)
			}
		}
		return append(all, h...)
	}
	for _, c := range []struct {
		what    string
		voicing firstbass.Voicing
		hits    []string
		want    string // of the bar that is concerned
	}{
		{"all fits", firstbass.BassAlone, home, ""},
		{"another fit, in another register", firstbass.BassAlone, with(3, "G1 8-11.8"), ""},
		{"held on into the next bar", firstbass.BassAlone, []string{"C3 0-7.8", "G2 8-11.8", "C3 12-15.8"}, ""},
		{"struck again on every beat", firstbass.BassAlone, with(1, "C3 0-0.9", "C3 1-1.9", "C3 2-2.9", "C3 3-3.9"), ""},
		{"broken chord", firstbass.BassAlone, with(1, "C3 0-0.9", "G3 1-1.9"), ""},
		{"late in the bar", firstbass.BassAlone, with(3, "G2 10-11.8"), ""},
		{"a tenth of a second before the bar", firstbass.BassAlone, with(3, "G2 7.8-11.6"), ""},
		{"misfit", firstbass.BassAlone, with(3, "C3 8-11.8"), "bar 3: C does not fit here: the tune has D and B; G fits - down to G"},
		{"misfit, mended by the hand itself", firstbass.BassAlone, with(3, "C3 8-8.8", "G2 9-11.8"), "bar 3: C does not fit here: the tune has D and B; G fits - down to G"},
		{"the root of no primary chord", firstbass.BassAlone, with(2, "A2 4-7.8"), "bar 2: A is the root of none of these: C or G; C fits - up to C"},
		{"missing", firstbass.BassAlone, with(2), "bar 2: no bass - put C under it"},
		{"misfit at the end", firstbass.BassAlone, with(4, "G2 12-15.8"), "bar 4: G does not fit here: the tune stays on C; C fits - up to C"},
		{"root above another note", firstbass.WithFifth, with(1, "E2 C3 0-3.8"), "bar 1: E is lowest: the root belongs at the bottom - put C below it"},
		{"no fifth", firstbass.WithFifth, home[:1], "bar 1: the fifth is missing - add G, the fifth above C"},
		{"a fourth", firstbass.WithFifth, with(1, "C3 F3 0-3.8"), "bar 1: F above C is a fourth - up to G"},
		{"a tritone", firstbass.WithFifth, with(1, "C3 0-3.8", "F#3 1-3"), "bar 1: F# above C is a tritone - a half step up to G"},
		{"minor third", firstbass.WithTriad, with(1, "C3 Eb3 G3 0-3.8"), "bar 1: Eb above C is a minor third - a half step up to E"},
		{"no third", firstbass.WithTriad, with(1, "C3 G3 0-3.8"), "bar 1: the third is missing - add E between C and the tune"},
		{"third above the tune", firstbass.WithTriad, with(1, "C3 G3 E5 0-3.8"), "bar 1: E above the tune; the third sounds best in the middle, under the tune - an octave down with E"},
		{"fourth for the third", firstbass.WithTriad, with(1, "C3 G3 F3 0-3.8"), "bar 1: F above C is a fourth - a half step down to E"},
	} {
		l, v := firstbass.New(louScore(t), firstbass.Options{Voicing: c.voicing, Basses: 2}), NewBassWording(louScore(t), 2)
		found := sounding.Hear(l, sounding.Under(t, louScore(t), c.hits...))
		var wrong []string
		for i := range found {
			if found[i].Kind != finding.Right && (c.want == "" || strings.HasPrefix(c.want, v.Place(&found[i])+":")) {
				wrong = append(wrong, v.Line(&found[i]))
			}
		}
		if c.want == "" {
			assert.Empty(t, wrong, c.what)
		} else {
			assert.Equal(t, []string{c.want}, wrong, c.what)
		}
	}
}

func TestTheLastBassIsCalledHome(t *testing.T) {
	c := material.Chart(t, strings.Replace(sounding.Lou, "C2C2", "G4", 1))
	s := scoreOf(t, c)
	l := firstbass.New(s, firstbass.Options{Voicing: firstbass.BassAlone, Basses: 2})
	found := sounding.Hear(l, sounding.Under(t, s, "C3 0-3.8", "C3 4-7.8", "G2 8-11.8", "G2 12-15.8"))
	assert.Equal(t, "bar 4: G fits; the tune comes home here, and so does the bass - let the last bass be C", lines(NewBassWording(s, 2), found)[3])
}

func TestRightIsToldOnceForEachBarWithItsReason(t *testing.T) {
	s := louScore(t)
	l, v := firstbass.New(s, firstbass.Options{Voicing: firstbass.BassAlone, Basses: 2}), NewBassWording(s, 2)
	found := sounding.Hear(l, sounding.Under(t, s, "C3 0-3.8", "C3 4-7.8", "G2 8-11.8", "C3 12-15.8"))
	assert.Equal(t, []string{
		"bar 1: C fits: the tune's E is its third", "bar 2: C fits: the tune's E is its third",
		"bar 3: G fits: the tune's D is its fifth", "bar 4: C fits: the tune has C too",
	}, lines(v, found))
}

func scoreOf(t testing.TB, c *chart.Chart) *score.Score {
	t.Helper()
	s, err := score.Tune(c, score.Options{})
	require.NoError(t, err)
	return s
}

// Findings as values, with what is told of them: line; wanted; heard; why; fix.
func TestEveryKindOfBassFindingIsWorded(t *testing.T) {
	s := louScore(t) // E E C C | E E G | D D B B | C C
	two, three := NewBassWording(s, 2), NewBassWording(s, 3)
	bass := func(chord int, speaks []int, choices ...int) finding.BassDetail {
		return finding.BassDetail{Chord: chord, Speaks: finding.FewOf(speaks...), Choices: finding.FewOf(choices...)}
	}
	tonic, dominant := int(firstbass.Tonic), int(firstbass.Dominant)
	for name, c := range map[string]struct {
		v           *BassWording
		f           finding.Finding
		heard, goal string
		want        string
	}{
		"right, by a note of the tune": {two, finding.Finding{Kind: finding.Right, Bass: bass(dominant, []int{7})}, "G2", "",
			"bar 3: G fits: the tune's D is its fifth; G; G; the tune's D is its fifth; "},
		"right, the root itself": {two, finding.Finding{Kind: finding.Right, Bass: bass(tonic, []int{2})}, "C3", "",
			"bar 3: C fits: the tune has C too; C; C; the tune has C too; "},
		"right, with nothing to say": {two, finding.Finding{Kind: finding.Right, Bass: bass(tonic, nil)}, "C3", "",
			"bar 3: C fits: nothing in the tune is against it; C; C; nothing in the tune is against it; "},
		"misfit, one of three fits": {three, finding.Finding{Kind: finding.Misfit, Bass: bass(tonic, []int{7, 9}, dominant)}, "C3", "G2",
			"bar 3: C does not fit here: the tune has D and B; G fits - down to G; G; C; the tune has D and B; down to G"},
		"misfit, two fit": {three, finding.Finding{Kind: finding.Misfit, Bass: bass(dominant, []int{11}, tonic, 2)}, "G2", "F2",
			"bar 3: G does not fit here: the tune stays on C; C and F fit - down to F; C or F; G; the tune stays on C; down to F"},
		"misfit, none fits well": {two, finding.Finding{Kind: finding.Misfit, Bass: bass(tonic, nil)}, "C3", "",
			"bar 3: C does not fit here: the tune goes another way; any of them will do here - choose C or G; C or G; C; the tune goes another way; choose C or G"},
		"misfit later": {two, finding.Finding{Kind: finding.Misfit, Beat: 2.5, Bass: finding.BassDetail{Chord: tonic, Speaks: finding.FewOf(7), Choices: finding.FewOf(dominant), Later: true}}, "C3", "G3",
			"bar 3, beat 2.5: C does not fit any more: the tune has D; G fits - up to G; G; C; the tune has D; up to G"},
		"no root, a half step away": {two, finding.Finding{Kind: finding.NotRoot, Bass: bass(-1, nil, tonic)}, "Db3", "C3",
			"bar 3: Db is the root of none of these: C or G; C fits - a half step down to C; C; Db; Db is the root of none of these: C or G; a half step down to C"},
		"a half step up": {two, finding.Finding{Kind: finding.NotRoot, Bass: bass(-1, nil, tonic)}, "B2", "C3",
			"bar 3: B is the root of none of these: C or G; C fits - a half step up to C; C; B; B is the root of none of these: C or G; a half step up to C"},
		"not lowest": {two, finding.Finding{Kind: finding.NotLowest, Bass: bass(-1, nil, tonic)}, "E2", "C2",
			"bar 3: E is lowest: the root belongs at the bottom - put C below it; C; E; E is lowest: the root belongs at the bottom; put C below it"},
		"not home": {two, finding.Finding{Kind: finding.NotHome, Bass: bass(dominant, nil, tonic)}, "G2", "C3",
			"bar 3: G fits; the tune comes home here, and so does the bass - let the last bass be C; C; G; the tune comes home here, and so does the bass; let the last bass be C"},
		"missing": {two, finding.Finding{Kind: finding.Missing, Bass: bass(-1, nil, dominant)}, "", "G2",
			"bar 3: no bass - put G under it; G; nothing; ; put G under it"},
		"no fifth": {two, finding.Finding{Kind: finding.NoFifth, Bass: bass(dominant, nil)}, "G2", "D3",
			"bar 3: the fifth is missing - add D, the fifth above G; D; nothing; ; add D, the fifth above G"},
		"wrong fifth": {two, finding.Finding{Kind: finding.WrongFifth, Bass: bass(dominant, nil)}, "C3", "D3",
			"bar 3: C above G is a fourth - up to D; D; C; C above G is a fourth; up to D"},
		"no third": {two, finding.Finding{Kind: finding.NoThird, Bass: bass(dominant, nil)}, "G2", "B2",
			"bar 3: the third is missing - add B between G and the tune; B; nothing; ; add B between G and the tune"},
		"high third": {two, finding.Finding{Kind: finding.HighThird, Bass: bass(dominant, nil)}, "G2", "B2",
			"bar 3: B above the tune; the third sounds best in the middle, under the tune - an octave down with B; B; B above the tune; the third sounds best in the middle, under the tune; an octave down with B"},
		"wrong third": {two, finding.Finding{Kind: finding.WrongThird, Bass: bass(tonic, nil)}, "Eb3", "E3",
			"bar 3: Eb above C is a minor third - a half step up to E; E; Eb; Eb above C is a minor third; a half step up to E"},
		"lost": {two, finding.Finding{Kind: finding.Lost, Bass: bass(-1, nil)}, "", "",
			"the tune was lost after bar 3 - begin again at the start of a bar; the tune; other music; ; begin again at the start of a bar"},
	} {
		c.f.Bar, c.f.Heard, c.f.Goal = 2, keysOf(t, c.heard), keysOf(t, c.goal)
		assert.Equal(t, c.want, strings.Join([]string{c.v.Line(&c.f), c.v.Wanted(&c.f), c.v.Heard(&c.f), c.v.Why(&c.f), c.v.Fix(&c.f)}, "; "), name)
	}
}

func TestWhichBassesFit(t *testing.T) {
	v := NewBassWording(louScore(t), 3)
	assert.Equal(t, []string{"G", "F"}, v.Fits(&finding.Finding{Kind: finding.Misfit, Bass: finding.BassDetail{Choices: finding.FewOf(1, 2)}}))
	assert.Equal(t, []string{"G"}, v.Fits(&finding.Finding{Kind: finding.Right, Bass: finding.BassDetail{Chord: 1}}))
	assert.Empty(t, toneName(v.bass(0), pitch.Note{Letter: 3}), "F is no tone of C")
}

func TestIntervalsAboveABass(t *testing.T) {
	g := firstbass.Primary(pitch.Key{}, 2)[1]
	var got []string
	for k := pitch.Num(43); k < 55; k++ {
		got = append(got, intervalName(k, &g))
	}
	assert.Equal(t, "an octave, a half step, a second, a minor third, a major third, a fourth, a tritone, a fifth, a minor sixth, a sixth, a minor seventh, a seventh", strings.Join(got, ", "))
}

func TestARepeatedBassMistakeIsAShortReminder(t *testing.T) {
	v := NewBassWording(louScore(t), 2)
	said := func(k finding.Kind, again int, mended bool) string {
		f := finding.Finding{
			Kind: k, Bar: 2, Heard: keysOf(t, "C3"), Goal: keysOf(t, "G2"), Again: again, Mended: mended,
			Bass: finding.BassDetail{Speaks: finding.FewOf(7), Choices: finding.FewOf(1)},
		}
		if mended {
			f.Bass.Speaks = finding.FewOf(0)
		}
		return line(v, &f)
	}
	assert.Equal(t, "bar 3: C does not fit here: the tune has D; G fits - down to G", said(finding.Misfit, 0, false))
	assert.Equal(t, "bar 3: C again", said(finding.Misfit, 1, false))
	assert.Equal(t, "bar 3: C again, third time", said(finding.Misfit, 2, false))
	assert.Equal(t, "bar 3: no bass again", said(finding.Missing, 1, false))
	assert.Equal(t, "bar 3: no fifth again", said(finding.NoFifth, 1, false))
	assert.Equal(t, "bar 3: no third again", said(finding.NoThird, 1, false))
	assert.Equal(t, "the tune was lost after bar 3 - begin again at the start of a bar", said(finding.Lost, 3, false))
	assert.Equal(t, "bar 3: C fits: the tune's E is its third (mended)", said(finding.Right, 0, true))
}

func TestWhyABassFitsAStretch(t *testing.T) {
	s := louScore(t)
	v := NewBassWording(s, 2)
	var why []string
	for _, stretch := range v.Theory.Stretches() {
		for _, i := range stretch.Fits {
			why = append(why, v.bass(i).Root.String()+": "+v.WhyFits(i, &stretch))
		}
	}
	assert.Equal(t, []string{"C: the tune's E is its third", "C: the tune's E is its third", "G: the tune's D is its fifth", "C: the tune has C too"}, why)
	silent := scoreOf(t, material.Chart(t, "key: C\nmeter: 4/4\nunit: 1/4\n| C | G7 |\nm: z4 | G4 |\n"))
	v = NewBassWording(silent, 2)
	first := v.Theory.Stretches()[0]
	assert.Equal(t, "the chart has it", v.WhyFits(0, &first))
	assert.Equal(t, "nothing in the tune is against it", v.WhyFits(1, &first))
}
