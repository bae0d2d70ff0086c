package finding

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCausesAreReadBack(t *testing.T) {
	for _, k := range CauseKinds() {
		c := Cause{Kind: k, Bar: 3, ToBar: 7, Pass: 1, At: 12, Semitones: -5, Octaves: 1, Hand: RightHand, Ratio: 0.5, Beats: -1, Offset: 150, Pause: 900, Name: "waltz"}
		text, err := json.Marshal(c)
		require.NoError(t, err)
		var back Cause
		require.NoError(t, json.Unmarshal(text, &back))
		assert.Equal(t, c, back)
	}
	var k CauseKind
	assert.Error(t, k.UnmarshalText([]byte("bad-luck")))
}

func TestLeapsAreMoments(t *testing.T) {
	for _, k := range CauseKinds() {
		assert.Equal(t, k == Restarted || k == Skipped, k.Leaps(), k.String())
	}
}

func TestCausesAreJoined(t *testing.T) {
	a, b := Summary{Causes: []Cause{{Kind: OtherKey, Bar: 1}}}, Summary{Causes: []Cause{{Kind: Delay, Bar: 2}}}
	assert.Equal(t, []Cause{{Kind: OtherKey, Bar: 1}, {Kind: Delay, Bar: 2}}, a.Join(b).Causes)
	assert.Len(t, a.Causes, 1)
}
