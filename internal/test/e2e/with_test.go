package e2e

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// message is one that the instrument was sent.
type message struct {
	at            float64 // in seconds
	status        byte
	key, velocity byte
}

func (m message) strikes() bool { return m.status&0xF0 == 0x90 && m.velocity > 0 }
func (m message) releases() bool {
	return m.status&0xF0 == 0x80 || m.status&0xF0 == 0x90 && m.velocity == 0
}

// heard are the messages of a channel, as on the wire.
func (r result) heard(t *testing.T, channel byte) (all []message) {
	t.Helper()
	for _, c := range r.Clicks {
		m := message{at: c[0].(float64)}
		_, err := fmt.Sscanf(c[1].(string), "%02x%02x%02x", &m.status, &m.key, &m.velocity)
		require.NoError(t, err, c[1])
		if m.status&0x0F == channel {
			all = append(all, m)
		}
	}
	return all
}

// down are the keys that were struck and not let go.
func down(all []message) map[byte]bool {
	held := map[byte]bool{}
	for _, m := range all {
		switch {
		case m.strikes():
			held[m.key] = true
		case m.releases():
			delete(held, m.key)
		}
	}
	return held
}

// chords leaves the bass notes out, which all lie under G3.
func chords(all []timed) (above []timed) {
	for _, n := range all {
		if n.hex[2:4] >= "37" {
			above = append(above, n)
		}
	}
	return above
}

func TestClickAndTheLeftHandAreHeardAndTheRightIsJudged(t *testing.T) {
	s := setUp(t)
	r := s.play(t, performance{Notes: chords(messages(rightBars)), Echo: true, args: []string{"--with", "left"}})
	wrong, told := findings(r.parsed(t))
	assert.Empty(t, wrong)
	assert.Equal(t, 12, told, "the two chords of each bar, and no echo of the left hand")

	clicks := r.heard(t, 9)
	require.NotEmpty(t, clicks)
	ours := r.heard(t, 3)
	assert.GreaterOrEqual(t, r.Echoed, len(ours), "all of it was sent back")
	assert.Empty(t, down(ours))
	var strikes []message
	for _, m := range ours {
		if m.strikes() {
			strikes = append(strikes, m)
		}
	}
	require.Len(t, strikes, 12)
	off := 0.0
	for i, m := range strikes {
		off = max(off, math.Abs(m.at-clicks[0].at-float64(4+2*i)*beatSeconds))
		b := rightBars[i/2]
		assert.Equal(t, []byte{b.bass1, b.bass2}[i%2]%12, m.key%12, "stroke %d; the fifth may lie above or below", i)
		assert.InDelta(t, float64(4+2*i)*beatSeconds, m.at-clicks[0].at, 0.05, "stroke %d", i)
		assert.LessOrEqual(t, m.velocity, byte(60))
	}
	t.Logf("farthest from its place: %.1f ms", 1000*off)
}

func TestPlayedKeysAreLetGoAtCtrlC(t *testing.T) {
	s := setUp(t)
	r := s.perform(t, performance{Listen: 9, Command: []string{s.binary, "play", s.chart, "--pattern", "two-beat", "--out", "grand-in", "--loop", "--plain"}})
	piano := r.heard(t, 0)
	strikes := 0
	for _, m := range piano {
		if m.strikes() {
			strikes++
		}
	}
	assert.GreaterOrEqual(t, strikes, 9)
	assert.Less(t, strikes, 20, "it ended at once")
	assert.Empty(t, down(piano))
	assert.Equal(t, "bar 1: C", r.Lines[3][1])
}
