package meter

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The beats of each meter, the first first; 5/4 has no half (common practice, no
// source).
func TestStrength(t *testing.T) {
	for name, want := range map[string][]Strength{
		"2/4":  {Downbeat, MidBar},
		"3/4":  {Downbeat, OnBeat, OnBeat},
		"4/4":  {Downbeat, OnBeat, MidBar, OnBeat},
		"5/4":  {Downbeat, OnBeat, OnBeat, OnBeat, OnBeat},
		"2/2":  {Downbeat, MidBar},
		"6/8":  {Downbeat, MidBar},
		"9/8":  {Downbeat, OnBeat, OnBeat},
		"12/8": {Downbeat, OnBeat, MidBar, OnBeat},
	} {
		m, err := Parse(name)
		assert.NoError(t, err)
		for i, strength := range want {
			at := Ticks(i) * m.Beat()
			assert.Equal(t, strength, m.Strength(at), "%s, beat %d", name, i+1)
			for _, off := range []Ticks{1, Sixteenth, m.Beat() - 1} {
				assert.Equal(t, OffBeat, m.Strength(at+off), "%s, beat %d and %d ticks", name, i+1, off)
			}
		}
	}
	assert.Equal(t, OffBeat, StrengthOf(3, 2, 6), "half of a bar of three beats is none of them")
}
