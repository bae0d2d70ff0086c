package engine

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// sung is two bars of a tune of quarters, E G C5 E | A4 F D F, over C and F at
// 120, with a pattern's right hand.
func sung(t testing.TB, right string) *score.Score {
	t.Helper()
	c := material.Chart(t, "key: C\ntempo: 120\nmeter: 4/4\n\n| C | F |\nm: | E2 G2 c2 E2 | A2 F2 D2 F2 |\n")
	p := material.Pattern(t, "name: own\nmeter: 4/4\ngrid: quarters\nright: "+right+"\nleft: 1 - - -\n")
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err)
	return s
}

func TestWhatIsToldOfATune(t *testing.T) {
	for _, c := range []struct {
		name, right string
		bend        func(*sounding.Take)
		want        []string
	}{
		{"a note left out", "tu - - -", func(p *sounding.Take) { p.Keys(right, 1, 3) },
			[]string{"right missing: bar 1, beat 3: no note of the tune - strike C"}},
		{"a wrong note", "tu - - -", func(p *sounding.Take) { p.Keys(right, 2, 2, 64) },
			[]string{"right wrong-note: bar 2, beat 2: E, wanted the tune's F - go up to F"}},
		{"two wrong notes are two", "tu - - -", func(p *sounding.Take) { p.Keys(right, 2, 2, 64).Keys(right, 2, 3, 61) },
			[]string{"right wrong-note: bar 2, beat 2: E, wanted the tune's F - go up to F", "right wrong-note: bar 2, beat 3: Db, wanted the tune's D - go up to D"}},
		{"another octave in mid phrase", "tu - - -", func(p *sounding.Take) { p.Keys(right, 1, 3, 84) },
			[]string{"right wrong-note: bar 1, beat 3: C, an octave too high - go down an octave"}},
		{"a phrase that begins an octave too low", "tu - - -", func(p *sounding.Take) { p.Keys(right, 1, 1, 52) },
			[]string{"right wrong-note: bar 1, beat 1: E, an octave too low - go up an octave"}},
		{"a phrase that goes on in another octave", "tu - - -", func(p *sounding.Take) {
			for _, b := range []float64{1, 2, 3, 4} {
				p.Each(right, 2, b, func(n *sounding.Note) { n.Key += 12 })
			}
		}, []string{"right wrong-note: bar 2, beat 1: A, an octave too high - go down an octave"}},
		{"a phrase an octave higher", "tu - - -", func(p *sounding.Take) {
			for i := range p.Notes {
				if p.Notes[i].Hand == right {
					p.Notes[i].Key += 12
				}
			}
		}, []string{}},
		{"a note of the chord is missing under it", "tu+ch tu tu tu", func(p *sounding.Take) { p.Keys(right, 1, 1, 60, 64) },
			[]string{"right missing: bar 1, beat 1: C without its fifth - add G"}},
		{"the tune is missing over its chord", "tu+ch tu tu tu", func(p *sounding.Take) { p.Keys(right, 1, 1, 55, 60) },
			[]string{"right missing: bar 1, beat 1: missing the tune's E over G C - add E"}},
		{"another note on top", "tu+ch tu tu tu", func(p *sounding.Take) { p.Keys(right, 1, 1, 60, 64, 67) },
			[]string{"right wrong-inversion: bar 1, beat 1: G on top, wanted the tune's E on top - play G C E, E on top"}},
	} {
		s := sung(t, c.right)
		p := sounding.Exact(s)
		c.bend(p)
		assert.Equal(t, c.want, wrongs(s, p), c.name)
	}
}

func TestFreedomsOfATune(t *testing.T) {
	s := sung(t, "tu - - -")
	p := sounding.Exact(s)
	for i := range p.Notes {
		if p.Notes[i].Hand == right {
			p.Notes[i].Key += 12
		}
	}
	assert.Empty(t, wrongs(s, p), "the whole phrase an octave higher")

	s = sung(t, "tu+ch tu tu tu")
	assert.Empty(t, wrongs(s, sounding.Exact(s).Keys(right, 1, 1, 60, 55, 64)), "the chord in any order")
	s = sung(t, "tub - - -")
	assert.Empty(t, wrongs(s, sounding.Exact(s)), "blue as shown")
	assert.Empty(t, wrongs(s, sounding.Exact(s).Keys(right, 1, 1, 64)), "plain")
	p = sounding.Exact(s).Keys(right, 1, 1, 64)
	p.Add(63, 0, 60*time.Millisecond)
	assert.Empty(t, wrongs(s, p), "both together, crushed")
}

func TestATuneIsLouderThanItsChords(t *testing.T) {
	s := sung(t, "tu+ch tu tu+ch tu")
	p := sounding.Exact(s)
	for i := range p.Notes {
		n := &p.Notes[i]
		n.Velocity = 90
		if n.Hand == right && (n.Beat == 2 || n.Beat == 4) || n.Key == 64 || n.Key == 72 || n.Key == 69 || n.Key == 62 {
			n.Velocity = 50
		}
	}
	assert.Equal(t, []string{
		"right balance: bar 1, beat 1: chords louder than the tune - lighter chords, let the tune sing",
		"right balance: bar 2, beat 1: chords louder than the tune - lighter chords, let the tune sing",
	}, wrongs(s, p))
	even := sounding.Exact(s)
	for i := range even.Notes {
		even.Notes[i].Velocity = 70
	}
	assert.Empty(t, wrongs(s, even), "as loud as each other is right")
}

// A rolled chord is told when the roll is over: a wrong note in it, too.
func TestRolledChords(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "rolled-whole")
	roll := func(p *sounding.Take) *sounding.Take {
		n := 0
		for i := range p.Notes {
			if p.Notes[i].Hand == right {
				p.Notes[i].At += time.Duration(n%3) * 60 * time.Millisecond
				n++
			}
		}
		return p
	}
	assert.Empty(t, wrongs(s, roll(sounding.Exact(s))))
	assert.Equal(t, []string{"right wrong-note: bar 1, beat 1: Csus4, wanted C - keep C G, F down to E"},
		wrongs(s, roll(sounding.Exact(s).Keys(right, 1, 1, 60, 65, 67))))
	extra := roll(sounding.Exact(s))
	extra.Add(61, 30*time.Millisecond, beat)
	assert.Equal(t, []string{"right extra: bar 1, beat 1: Db does not belong here - leave out Db"}, wrongs(s, extra))
}

func TestTheTunesFaultsAreFound(t *testing.T) {
	human, err := performer.Human("steady")
	require.NoError(t, err)
	s := sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "tune-full")
	for _, kind := range []mistakes.Kind{mistakes.Balance, mistakes.WrongInversion} {
		sites := mistakes.Plan{}.Sites(s, human, kind)
		require.NotEmpty(t, sites, kind)
		perf, err := mistakes.Play(s, human, mistakes.Plan{}.Plant(kind, sites[len(sites)-1]), 5)
		require.NoError(t, err)
		found, _ := run(s, perf.Events, rules.Steady)
		var told []string
		for i := range found {
			if found[i].Kind != finding.Right {
				told = append(told, found[i].Kind.String())
			}
		}
		assert.Equal(t, []string{string(kind)}, told)
	}
}
