package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/sheet/chart"
)

// Whatever a recording is called, the chart made from it can be read.
func TestTitlesAreReadBack(t *testing.T) {
	for file, want := range map[string]string{
		"lessons/aura-lee.mid": "aura-lee", "take 3.final.MID": "take 3.final", "Song #1: a test.mid": "Song #1: a test",
		"two\nlines.mid": "two lines", "tab\there.mid": "tab here", "bad\xffname.mid": "bad name", ".mid": "", "  .mid": "", "Frère Jacques": "Frère Jacques",
		"title: x.mid": "title: x", "# remark.mid": "# remark", "| C |.mid": "| C |",
	} {
		assert.Equal(t, want, titleOf(file))
		c, err := chart.Parse([]byte("key: C\n| C | F |"), "")
		require.NoError(t, err)
		c.Title = titleOf(file)
		again, err := chart.Parse([]byte(c.Text()), "")
		require.NoError(t, err, "%q", file)
		assert.Equal(t, want, again.Title)
	}
}
