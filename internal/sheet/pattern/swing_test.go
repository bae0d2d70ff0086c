package pattern_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/pattern"
	"undersong/patterns"
)

func TestAnotherSwing(t *testing.T) {
	cat, err := pattern.Load(patterns.Texts())
	require.NoError(t, err)
	for _, c := range []struct{ name, swing, want, fails string }{
		{"boogie-rocking", "straight", "straight", ""},
		{"boogie-rocking", " 3:2 ", "swung 3:2", ""},
		{"rock-eighths", "2:1", "swung 2:1", ""},
		{"two-beat", "2:1", "", `pattern "two-beat" cannot be swung, since it counts in quarters`},
		{"two-beat", "straight", "straight", ""},
		{"two-beat", "1:1", "straight", ""},
		{"six-eight-broken", "2:1", "", "in a simple meter"},
		{"rock-eighths", "1:2", "", "from 1:1 to 4:1"},
		{"rock-eighths", "5:1", "", "from 1:1 to 4:1"},
		{"rock-eighths", "swung", "", `swing "swung" is neither`},
	} {
		p, err := cat.Find(c.name)
		require.NoError(t, err)
		was := p.Swing
		swing, err := pattern.ParseSwing(c.swing)
		if err == nil {
			p, err = p.Swung(swing)
		}
		if c.fails != "" {
			assert.ErrorContains(t, err, c.fails, c.swing)
			continue
		}
		require.NoError(t, err, c.name)
		assert.Equal(t, c.want, p.Swing.String(), c.name)
		shipped, err := cat.Find(c.name)
		require.NoError(t, err)
		assert.Equal(t, was, shipped.Swing, "the shipped one stays")
	}
}
