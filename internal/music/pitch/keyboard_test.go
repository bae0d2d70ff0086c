package pitch

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestKeyboards(t *testing.T) {
	for text, want := range map[string]string{"49": "C2 C6", "61": "C2 C7", "76": "E1 G7", "88": "A0 C8"} {
		k, err := ParseKeyboard(text)
		require.NoError(t, err, text)
		c := Key{}
		assert.Equal(t, want, k.Low().Spell(c.Spell(k.Low().Class())).String()+" "+k.High().Spell(c.Spell(k.High().Class())).String(), text)
		assert.True(t, k.Has(k.Low()) && k.Has(k.High()) && !k.Has(k.Low()-1) && !k.Has(k.High()+1), text)
	}
	for _, text := range []string{"", "60", "many", "0", "-61"} {
		_, err := ParseKeyboard(text)
		assert.ErrorContains(t, err, "49, 61, 76 or 88", text)
	}
	assert.Equal(t, [2]Num{PianoLow, PianoHigh}, [2]Num{Keyboard(0).Low(), Keyboard(0).High()})
}
