package cause

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/test/sounding"
)

// With how many mistakes causes are looked for: after the second, and every second from
// then on; where it is in vain, ever less often.
func TestWhenCausesAreLookedFor(t *testing.T) {
	looks := func(vain bool, mistakes int) (at []int) {
		d := doubt{}
		d.begin(0, 0)
		d.vain = vain
		f := mistake(finding.WrongNote, finding.LeftHand, 0, 1)
		for n := 1; n <= mistakes; n++ {
			if d.count(&f, false) {
				at = append(at, n)
			}
		}
		return at
	}
	assert.Equal(t, []int{2, 4, 6, 8, 10}, looks(false, 11))
	assert.Equal(t, []int{2, 5, 9, 15, 24, 37, 56, 80, 104, 128, 152, 176, 200, 224, 248, 272, 296}, looks(true, 300))
}

// Things go right again where both hands do, and as often as they went wrong.
func TestWhenAStretchIsOver(t *testing.T) {
	const l, r = finding.LeftHand, finding.RightHand
	type stroke struct {
		kind finding.Kind
		hand finding.Part
		due  bool // it may be that hand's alone
	}
	wrong := func(hand finding.Part, due bool) stroke { return stroke{finding.WrongNote, hand, due} }
	good := func(hand finding.Part) stroke { return stroke{finding.Right, hand, false} }
	for name, c := range map[string]struct {
		strokes []stroke
		over    bool // right strokes enough
		calm    bool // and two more
	}{
		"a mistake":                            {[]stroke{wrong(l, false)}, false, false},
		"a right stroke after it":              {[]stroke{wrong(l, false), good(r)}, true, false},
		"three":                                {[]stroke{wrong(l, false), good(r), good(l), good(r)}, true, true},
		"fewer than mistakes":                  {[]stroke{wrong(l, false), wrong(l, false), good(r)}, false, false},
		"a mistake the last":                   {[]stroke{wrong(l, false), good(r), good(l), good(r), wrong(l, false)}, false, false},
		"only the other hand's":                {[]stroke{wrong(l, true), good(r), good(r), good(r)}, false, false},
		"its own, too":                         {[]stroke{wrong(l, true), good(r), good(r), good(l)}, true, true},
		"the other hand, then the other again": {[]stroke{wrong(r, true), good(l), good(l), good(l)}, false, false},
		"what tells of lengths counts neither": {[]stroke{wrong(l, false), {finding.Short, l, false}, good(r)}, true, false},
	} {
		d := doubt{}
		d.begin(0, 0)
		for _, s := range c.strokes {
			f := mistake(s.kind, s.hand, 0, 1)
			d.count(&f, s.due)
		}
		assert.Equal(t, c.over, d.over(0, 0), name)
		assert.Equal(t, c.calm, d.over(patientRight, 0), name)
	}
}

// Which findings a cause may explain.
func TestMistakesThatHaveACause(t *testing.T) {
	for kind, want := range map[finding.Kind]bool{
		finding.Right: false, finding.Early: true, finding.Late: true, finding.Extra: true, finding.Missing: true, finding.WrongNote: true,
		finding.WrongChord: true, finding.WrongBass: true, finding.Spread: false, finding.Lost: false, finding.Short: false, finding.Blurred: false,
	} {
		assert.Equal(t, want, mistaken(kind), kind.String())
	}
}

// One wrong note of a chord is a slip; a wrong bass, or an octave, may be one of many.
func TestAMistakeThatStandsAlone(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", eight, "block-whole")
	block, bass := -1, -1
	for i := range s.Wants {
		if s.Wants[i].Role == score.Block {
			block = i
		} else {
			bass = i
		}
	}
	f := mistake(finding.WrongNote, finding.RightHand, 0, 1)
	assert.False(t, alone(&f, s), "of no stroke")
	f.Want = block
	assert.True(t, alone(&f, s))
	f.Want = bass
	assert.False(t, alone(&f, s), "of the bass")
	f.Want = 0
	s.Wants[0].Role = score.Block
	assert.True(t, alone(&f, s), "of the first stroke")
	f.Kind = finding.WrongChord
	assert.False(t, alone(&f, s), "the whole chord")
	octave := mistake(finding.WrongNote, finding.RightHand, 0, 1)
	octave.Want, octave.Heard, octave.Goal = block, pitch.NumsOf(72), pitch.NumsOf(60)
	assert.False(t, alone(&octave, s), "an octave off")
}

// What is in doubt begins anew each time.
func TestADoubtBegins(t *testing.T) {
	d := doubt{on: true, vain: true, likely: true, right: 4, wrong: 5, any: true, due: [2]bool{true, true}, held: make([]finding.Finding, 3)}
	d.begin(2*time.Second, 3*time.Second)
	assert.Equal(t, doubt{on: true, since: 2 * time.Second, began: 3 * time.Second, tell: 2 * time.Second, look: fewestWrong, pause: everyWrong, held: d.held}, d)
	assert.Empty(t, d.held)
	d.vain = true
	d.end()
	assert.False(t, d.on || d.vain)
}

// What was kept back as long as may be is told. Where little went wrong in it, what goes wrong
// next is in doubt for itself; live, and where much did, causes were looked for in vain.
func TestADoubtThatTookTooLong(t *testing.T) {
	for name, c := range map[string]struct {
		patient      bool
		right, wrong int
		on           bool
	}{
		"a recording, mostly right":  {true, 30, 28, false},
		"a recording, as many wrong": {true, 30, 29, true},
		"live, mostly right":         {false, 30, 10, true},
		"live, as many wrong":        {false, 30, 30, true},
	} {
		j := judgeOf(t, false)
		j.options.Patient, j.told = c.patient, true
		j.doubt.begin(0, 0)
		f := mistake(finding.WrongBass, finding.LeftHand, 0, 1)
		j.doubt.held = append(j.doubt.held, f)
		j.doubt.right, j.doubt.wrong, j.doubt.any = c.right, c.wrong, true
		assert.True(t, j.resolve(false, sec(30)), name)
		assert.Equal(t, []bool{c.on, c.on}, []bool{j.doubt.on, j.doubt.vain}, name)
		assert.Len(t, j.out, 1, name)
		assert.Empty(t, j.doubt.held, name)
	}
}
