//go:build linux && !jack

package port

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The list as Linux 6.1 writes it (sound/core/seq/seq_clientmgr.c and seq_ports.c),
// with a second copy of this program and a piano that both listen to.
const alsaList = `Client info
  cur  clients : 6
  peak clients : 6
  max  clients : 192

Client   0 : "System" [Kernel]
  Port   0 : "Timer" (Rwe-)
  Port   1 : "Announce" (R-e-)
    Connecting To: 128:0
Client  14 : "Midi Through" [Kernel]
  Port   0 : "Midi Through Port-0" (RWe-)
Client  20 : "USB Piano" [Kernel]
  Port   0 : "USB Piano MIDI 1" (RWeX)
    Connecting To: 129:0[r:1], 131:0
    Connected From: 130:0
Client 129 : "undersong" [User]
  Port   0 : "in-4711-1" (-We-)
    Connected From: 20:0[r:1]
  Output pool :
    Pool size          : 500
Client 130 : "undersong" [User]
  Port   0 : "out-4711-2" (R-e-)
    Connecting To: 14:0, 20:0
Client 131 : "undersong" [User]
  Port   0 : "in-4712-1" (-We-)
    Connected From: 20:0
Client 132 : "undersong" [User]
  Port   0 : "in-4711-3" (-We-)
  Input pool :
    Connected From: 20:0
`

func TestALSAConnectionsAreRead(t *testing.T) {
	const piano = "USB Piano:USB Piano MIDI 1 20:0"
	for _, c := range []struct {
		own, other   string
		joined, sure bool
	}{
		{"in-4711-1", piano, true, true},
		{"out-4711-2", piano, true, true},
		{"out-4711-2", "Midi Through:Midi Through Port-0 14:0", true, true},
		{"in-4711-1", "USB Piano:USB Piano MIDI 1 24:0", false, true}, // another address
		{"in-4711-1", "USB Piano:USB Piano MIDI 1 2:0", false, true},
		{"in-4711-3", piano, false, true}, // the piano left and came back
		{"in-4711-9", piano, false, false},
		{"in-4711-1", "no number", false, false},
	} {
		joined, sure := alsaJoined(alsaList, c.own, c.other)
		assert.Equal(t, [2]bool{c.joined, c.sure}, [2]bool{joined, sure}, "%s with %s", c.own, c.other)
	}
	_, sure := alsaJoined("", "in-4711-1", piano)
	assert.False(t, sure)
}
