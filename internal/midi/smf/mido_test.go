package smf

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"undersong/internal/test/outside"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestAgainstMido reads files with mido, an independent reader, and expects
// the same messages at the same ticks.
func TestAgainstMido(t *testing.T) {
	python := outside.Python(t, outside.Require, "mido")
	files := map[string][]byte{
		"published format 0": unhex(exampleFormat0),
		"published format 1": unhex(exampleFormat1),
		"running status and system exclusive": smf(0, 96,
			"00 903C40 00 4040 60 FF0102 4869 00 904340 00 F005 43120007F7 00 804000 0A E30040 00 C105 00 FF2F00"),
	}
	rng := rand.New(rand.NewPCG(3, 4))
	for i := range 5 {
		o, tracks := randomFile(rng)
		var b bytes.Buffer
		require.NoError(t, Write(&b, o, tracks...))
		files[fmt.Sprintf("written by us %d", i)] = b.Bytes()
	}
	for name, data := range files {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "file.mid")
			require.NoError(t, os.WriteFile(path, data, 0o600))
			out, err := exec.Command(python, filepath.Join("testdata", "mido_notes.py"), path).CombinedOutput()
			require.NoError(t, err, string(out))
			assertSameAsMido(t, mustRead(t, data), strings.Split(strings.TrimSpace(string(out)), "\n"))
		})
	}
}

func assertSameAsMido(t *testing.T, p *Performance, lines []string) {
	t.Helper()
	last := len(lines) - 1
	var seconds float64
	_, err := fmt.Sscanf(lines[last], "length %g", &seconds)
	require.NoError(t, err, lines[last])
	assert.InDelta(t, seconds, p.End.Seconds(), 2e-6)
	var ours []string
	for i, e := range p.Events {
		b, err := e.Bytes()
		require.NoError(t, err)
		ours = append(ours, fmt.Sprintf("%d %d %X", p.Ticks[i], p.Tracks[i], b))
	}
	assert.Equal(t, lines[:last], ours)
}
