package port

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestChoose(t *testing.T) {
	const (
		through = "Midi Through:Midi Through Port-0 14:0"
		stage   = "Stage Piano:Stage Piano MIDI 1 20:0"
		pads    = "Pads:Pads MIDI 1 24:0"
		pads2   = "Pads:Pads MIDI 2 24:1"
	)
	cases := []struct {
		name  string
		ports []string
		want  string
		got   string
		err   string
	}{
		{"the only one", []string{stage}, "", stage, ""},
		{"the only one beside the through port", []string{through, stage}, " ", stage, ""},
		{"nothing there", nil, "", "", "no MIDI port is there; plug the instrument in, switch it on and try again"},
		{"nothing there, and one asked for", nil, "stage", "", "no MIDI port is there; plug the instrument in, switch it on and try again"},
		{"only the through port", []string{through}, "", "", `no instrument's MIDI port is there, only "Midi Through:Midi Through Port-0 14:0"; plug the instrument in, switch it on and try again, or name one of these`},
		{"the through port, asked for", []string{through, stage}, "through", through, ""},
		{"two, and none asked for", []string{through, stage, pads}, "", "", `there are several MIDI ports: "Stage Piano:Stage Piano MIDI 1 20:0", "Pads:Pads MIDI 1 24:0"; name one of them, or a part of its name`},
		{"a part, in the wrong case", []string{through, stage, pads}, "STAGE", stage, ""},
		{"a part of two", []string{stage, pads, pads2}, "pads", "", `"pads" may be any of "Pads:Pads MIDI 1 24:0", "Pads:Pads MIDI 2 24:1"; name more of it`},
		{"no such", []string{stage}, "spinet", "", `no MIDI port is called "spinet"; there is "Stage Piano:Stage Piano MIDI 1 20:0"`},
		{"the full name wins over a part", []string{"Piano 2", "Piano"}, "Piano", "Piano", ""},
		{"the full name wins in the wrong case", []string{"Piano 2", "Piano"}, "piano", "Piano", ""},
		{"without the numbers at the end", []string{"Piano 2:MIDI 20:0", "Piano:MIDI 24:0"}, "piano:midi", "Piano:MIDI 24:0", ""},
		{"two of the same make", []string{"Piano:MIDI 20:0", "Piano:MIDI 24:0"}, "Piano:MIDI", "", `"Piano:MIDI" may be any of "Piano:MIDI 20:0", "Piano:MIDI 24:0"; name more of it`},
		{"two of the same make, told apart by number", []string{"Piano:MIDI 20:0", "Piano:MIDI 24:0"}, "24:0", "Piano:MIDI 24:0", ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := Choose(c.ports, c.want)
			assert.Equal(t, c.got, got)
			if c.err == "" {
				require.NoError(t, err)
				return
			}
			require.EqualError(t, err, c.err)
			var none *NoPortError
			var many *AmbiguousPortError
			assert.NotEqual(t, errors.As(err, &none), errors.As(err, &many), "one of the two kinds")
		})
	}
}

func TestBaseName(t *testing.T) {
	assert.Equal(t, "USB Piano:USB Piano MIDI 1", BaseName("USB Piano:USB Piano MIDI 1 20:0"))
	assert.Equal(t, "USB Piano MIDI 1", BaseName("USB Piano MIDI 1"))
	assert.Equal(t, "system:midi_capture_1", BaseName("system:midi_capture_1"))
}
