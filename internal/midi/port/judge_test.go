package port

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// skipOrFail skips a test that lacks something outside the project, or fails
// it where the named variable is 1.
func skipOrFail(t *testing.T, variable, reason string) {
	t.Helper()
	if os.Getenv(variable) == "1" {
		t.Fatalf("%s, and %s=1 insists", reason, variable)
	}
	t.Skipf("%s (%s=1 makes this a failure)", reason, variable)
}

// pythonWith finds a Python that has a module.
func pythonWith(module string) (string, bool) {
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		if path, err := exec.LookPath(name); err == nil && exec.Command(path, "-c", "import "+module).Run() == nil {
			return path, true
		}
	}
	return "", false
}

// TestAgainstMido reads files with mido, an independent reader, and expects
// the same messages at the same ticks.
func TestAgainstMido(t *testing.T) {
	python, ok := pythonWith("mido")
	if !ok {
		skipOrFail(t, "UNDERSONG_REQUIRE", "no Python with mido here")
	}
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
		b, err := Bytes(e)
		require.NoError(t, err)
		ours = append(ours, fmt.Sprintf("%d %d %X", p.Ticks[i], p.Tracks[i], b))
	}
	assert.Equal(t, lines[:last], ours)
}
