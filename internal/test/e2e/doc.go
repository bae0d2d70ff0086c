// Package e2e holds no code. Its tests run the built program against an
// independent MIDI client, as two real processes over a real MIDI system.
package e2e
