package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// inPlace is one score from a bar on in place of another.
func inPlace(of, other *score.Score, first, last int) *sounding.Take {
	p, q := sounding.Exact(of), sounding.Exact(other)
	var all []sounding.Note
	for _, n := range p.Notes {
		if n.Bar < first || n.Bar > last {
			all = append(all, n)
		}
	}
	for _, n := range q.Notes {
		if n.Bar >= first && n.Bar <= last {
			all = append(all, n)
		}
	}
	p.Notes = all
	return p
}

// What is played in place of what is asked for, in bars 5 to 12 of 32, and what is told of
// it. Strokes are judged again when what is asked for has come for four bars.
func TestSomethingElseIsPlayed(t *testing.T) {
	const tune = eight + eight + eight + eight
	asked := sounding.ScoreOf(t, "4/4", tune, "two-beat")
	swap := func(n *sounding.Note) {
		if n.Key += 24; n.Hand == pattern.Right {
			n.Key -= 48
		}
	}
	crossed := sounding.Exact(asked)
	for i := range crossed.Notes {
		if n := &crossed.Notes[i]; n.Bar >= 5 && n.Bar <= 12 {
			swap(n)
		}
	}
	for name, c := range map[string]struct {
		take *sounding.Take
		want finding.Cause
	}{
		"driving eighths": {inPlace(asked, sounding.ScoreOf(t, "4/4", tune, "driving-eighths"), 5, 12), finding.Cause{Kind: finding.OtherPattern, Name: "driving-eighths"}},
		"chords of no key": {inPlace(asked, sounding.ScoreOf(t, "4/4", "| Db | Ebm | A | Gb | B | Abm | E | Bbm | Db | Ebm | A | Gb | B | Abm | E | Bbm |", "two-beat"), 5, 12),
			finding.Cause{Kind: finding.OtherChart}},
		"each hand's part in the other": {crossed, finding.Cause{Kind: finding.SwappedHands}},
	} {
		h, j := played(asked, c.take.Events(), Options{Patient: true, Patterns: material.Catalogue(t).Of(pattern.Accompaniment)}, 0)
		if !assert.Len(t, h.causes, 1, name) {
			continue
		}
		got := h.causes[0]
		assert.Equal(t, c.want.Kind, got.Kind, name)
		assert.Equal(t, c.want.Name, got.Name, name)
		assert.Equal(t, 5, got.Bar, name)
		assert.Empty(t, wrongs(h.found), name)
		sum := j.Summary()
		assert.GreaterOrEqual(t, sum.Causes[0].ToBar, 12, name)
		assert.Less(t, sum.Causes[0].ToBar, 19, name)
		assert.InDelta(t, 4*24, sum.Count(finding.Right), 8, "%s: what was right before and after", name)
	}
}

// Without the accompaniments it might be, another one is a matter of mistakes.
func TestAnAccompanimentThatNobodyKnows(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight+eight, "two-beat")
	h, _ := played(s, inPlace(s, sounding.ScoreOf(t, "4/4", eight+eight, "driving-eighths"), 5, 16).Events(), Options{Patient: true}, 0)
	for _, c := range h.causes {
		assert.NotEqual(t, finding.OtherPattern, c.Kind)
	}
	assert.NotEmpty(t, wrongs(h.found))
}

// A part lies in the other hand where the hands do not cross then.
func TestSwappedScores(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	c, ok := swapped(s, [2]int{2, -1})
	if assert.True(t, ok) {
		assert.Len(t, c.Wants, len(s.Wants))
		assert.Equal(t, pattern.Right, c.Wants[0].Hand)
		assert.Equal(t, s.Wants[0].Tones[0].Key+24, c.Wants[0].Tones[0].Key)
		assert.Equal(t, pattern.Left, s.Wants[0].Hand, "the score is as it was")
	}
	_, ok = swapped(s, [2]int{0, 0})
	assert.False(t, ok, "the hands cross")
	_, ok = swapped(s, [2]int{6, -1})
	assert.False(t, ok, "off the piano")
	_, ok = swapped(sounding.Score(t, "4/4", "120", eight, sounding.Own(t, "4/4", "halves", "left: 1 5")), [2]int{2, -1})
	assert.False(t, ok, "one hand alone")
}

// How well places explain strikes: those that are wanted, less what is wanted and does not
// come.
func TestHowMuchPlacesExplain(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "two-beat")
	j := New(s, Options{})
	j.places = placesOf(s)
	var ev evidence
	for _, n := range sounding.Exact(s).Notes {
		if n.Bar == 1 {
			ev.struck = append(ev.struck, strike{key: n.Key, at: n.At})
		}
	}
	assert.Equal(t, 3*8, j.explained(j.places, &ev))
	slow := placesOf(sounding.ScoreOf(t, "4/4", eight, "block-whole"))
	assert.Equal(t, 3, j.explained(slow, &ev), "the first bass alone")
	quick := placesOf(sounding.ScoreOf(t, "4/4", eight, "driving-eighths"))
	assert.Equal(t, 3*8-1-2*3, j.explained(quick, &ev), "and three that do not come")
	ev.struck[0].key += 12
	assert.Equal(t, 3*8-1, j.explained(j.places, &ev), "an octave off")
	ev.struck[0].at += 400 * time.Millisecond
	assert.Less(t, j.explained(j.places, &ev), 3*8-1)
}
