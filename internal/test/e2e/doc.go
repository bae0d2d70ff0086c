// Package e2e tests the built program against an independent MIDI client, as two
// real processes over a real MIDI system. It holds no code.
package e2e
