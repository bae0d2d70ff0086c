package rules

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/listen/handsep"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// loud is a bar as loud as told: "bass 60", "chord 84", "accent 70", "tune 50/80" for
// the tune over something.
type loud struct {
	role     score.Role
	accent   bool
	velocity int
	under    int // Melody: what lies beneath it, 0 for nothing
	buried   bool
}

func barOf(strokes ...loud) (b Loudness) {
	for _, l := range strokes {
		st := &handsep.Stroke{Struck: 1, Velocity: l.velocity, Buried: l.buried}
		if l.role == score.Melody {
			st.TopVelocity = l.velocity
			if l.under > 0 {
				st.Struck, st.Velocity = 3, l.velocity+2*l.under
			}
		}
		b.Add(&score.Want{Role: l.role, Accent: l.accent}, st)
	}
	return b
}

// At level steady, for a usual touch.
func TestABarOutOfBalance(t *testing.T) {
	const bass, block, figure, tune = score.Bass, score.Block, score.Figure, score.Melody
	for _, c := range []struct {
		name    string
		strokes []loud
		oneHand bool
		want    Balance
	}{
		{"chords as much over the bass as may be", []loud{{role: bass, velocity: 60}, {role: block, velocity: 84}}, false, Balanced},
		{"chords too loud", []loud{{role: bass, velocity: 60}, {role: block, velocity: 85}}, false, ChordsLoud},
		{"within it on the mean", []loud{{role: bass, velocity: 60}, {role: block, velocity: 80}, {role: block, velocity: 87}}, false, Balanced},
		{"on the mean", []loud{{role: bass, velocity: 60}, {role: block, velocity: 84}, {role: block, velocity: 87}}, false, ChordsLoud},
		{"one hand has nothing to be balanced with", []loud{{role: bass, velocity: 60}, {role: block, velocity: 100}}, true, Balanced},
		{"no bass", []loud{{role: block, velocity: 100}}, false, Balanced},
		{"no chords", []loud{{role: bass, velocity: 30}}, false, Balanced},
		{"a broken chord is none", []loud{{role: bass, velocity: 60}, {role: figure, velocity: 100}}, false, Balanced},
		{"accents that are louder", []loud{{role: block, velocity: 61, accent: true}, {role: block, velocity: 60}}, false, Balanced},
		{"accents that are not", []loud{{role: block, velocity: 60, accent: true}, {role: block, velocity: 60}}, false, AccentsSoft},
		{"nothing but accents", []loud{{role: block, velocity: 60, accent: true}}, false, Balanced},
		{"chords may be loud where accents are asked for", []loud{{role: block, velocity: 99, accent: true}, {role: bass, velocity: 60}}, false, Balanced},
		{"a tune as much under its chords as may be", []loud{{role: tune, velocity: 60, under: 76}}, false, Balanced},
		{"a tune under its chords", []loud{{role: tune, velocity: 60, under: 77}}, false, TuneBuried},
		{"one hand with a tune", []loud{{role: tune, velocity: 60, under: 77}}, true, TuneBuried},
		{"under the other hand's", []loud{{role: tune, velocity: 60}, {role: block, velocity: 77}}, false, TuneBuried},
		{"a tune alone", []loud{{role: tune, velocity: 20}}, false, Balanced},
		{"chords without a tune", []loud{{role: block, velocity: 100}, {role: figure, velocity: 20}}, false, Balanced},
		{"another note on top: that is told already", []loud{{role: tune, velocity: 60, under: 100, buried: true}}, false, Balanced},
	} {
		b := barOf(c.strokes...)
		assert.Equal(t, c.want, Steady.Balance(&b, &Touch{}, c.oneHand), c.name)
	}
}

// How much each level lets pass, for a usual touch.
func TestTheLevelsOfBalance(t *testing.T) {
	for _, c := range []struct {
		level         Level
		chords, under int // velocity: by which they may be louder than a bass or a tune at 60
		accent        int // velocity: of accents beside strokes at 60, to be louder enough
	}{
		{Gentle, 30, 24, 54},
		{Steady, 24, 16, 61},
		{Strict, 15, 6, 64},
	} {
		for over, want := range map[int][3]Balance{0: {Balanced, Balanced, Balanced}, 1: {ChordsLoud, TuneBuried, AccentsSoft}} {
			chords := barOf(loud{role: score.Bass, velocity: 60}, loud{role: score.Block, velocity: 60 + c.chords + over})
			tune := barOf(loud{role: score.Melody, velocity: 60, under: 60 + c.under + over})
			accent := barOf(loud{role: score.Block, velocity: c.accent - over, accent: true}, loud{role: score.Block, velocity: 60})
			for i, b := range []Loudness{chords, tune, accent} {
				assert.Equal(t, want[i], c.level.Balance(&b, &Touch{}, false), "%s: %v, by %d", c.level.Name, want[i], over)
			}
		}
	}
}

// The levels' steps are stretched to the player's own range, from half to one and a
// half.
func TestTouch(t *testing.T) {
	touched := func(apart, n int) *Touch {
		var touch Touch
		for i := range n {
			touch.Add(64 + apart*(2*(i%2)-1))
		}
		return &touch
	}
	assert.Equal(t, 1.0, touched(12, 23).stretch(), "not known yet")
	assert.InDelta(t, 1.5, touched(12, 24).stretch(), 1e-9)
	assert.InDelta(t, 1.0, touched(6, 64).stretch(), 1e-9, "a usual touch")
	assert.InDelta(t, 0.75, touched(9, 64).stretch()/2, 1e-9)
	assert.InDelta(t, 0.5, touched(1, 64).stretch(), 1e-9, "hardly any difference")
	assert.InDelta(t, 2.0/3, touched(4, 640).stretch(), 0.01, "for ever")
	narrow := barOf(loud{role: score.Bass, velocity: 60}, loud{role: score.Block, velocity: 73})
	assert.Equal(t, Balanced, Steady.Balance(&narrow, &Touch{}, false))
	assert.Equal(t, ChordsLoud, Steady.Balance(&narrow, touched(1, 64), false))
	changed := touched(1, 64)
	for range 10 {
		changed.Add(84)
	}
	assert.Greater(t, changed.stretch(), 1.0, "what is new weighs a sixty-fourth each")
	assert.Less(t, changed.mean, 68.0)
}

// Where it is told.
func TestThePlaceOfBalance(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "backbeat")
	at := func(b Balance, bar int) finding.Finding {
		f := finding.Finding{Kind: finding.Balance, Bar: bar, Want: -1}
		b.Place(&f, s)
		return f
	}
	chords := at(ChordsLoud, 1)
	assert.Equal(t, finding.RightHand, chords.Part)
	assert.Equal(t, 1.0, chords.Beat)
	assert.False(t, chords.Accent || chords.Sung)
	tune := at(TuneBuried, 1)
	assert.Equal(t, finding.RightHand, tune.Part)
	assert.True(t, tune.Sung)
	accent := at(AccentsSoft, 1)
	assert.True(t, accent.Accent)
	assert.Same(t, want(t, s, pattern.Right, 2, 2), &s.Wants[accent.Want], "the first accent of its bar")
	assert.Equal(t, 2.0, accent.Beat)
	assert.Equal(t, finding.RightHand, accent.Part)
	none := sounding.ScoreOf(t, "4/4", "| C |", "block-whole")
	f := finding.Finding{Want: -1}
	AccentsSoft.Place(&f, none)
	assert.Equal(t, -1, f.Want)
	assert.Equal(t, finding.BothHands, f.Part)
	assert.Equal(t, 1.0, f.Beat)
}
