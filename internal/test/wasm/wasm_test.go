package wasm

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/imports/wasi_snapshot_preview1"

	"undersong/internal/play/mistakes"
	"undersong/internal/play/performer"
	"undersong/patterns"
)

// goFor runs the go command for another machine.
func goFor(t *testing.T, system string, args ...string) {
	t.Helper()
	cmd := exec.Command("go", args...)
	cmd.Env = append(os.Environ(), "GOOS="+system, "GOARCH=wasm", "CGO_ENABLED=0")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "GOOS=%s go %s: %s", system, strings.Join(args, " "), out)
}

// run runs a program of wasip1, without a clock, and gives what it writes.
func run(t *testing.T, program string, config wazero.ModuleConfig) string {
	t.Helper()
	code, err := os.ReadFile(program)
	require.NoError(t, err)
	ctx := context.Background()
	r := wazero.NewRuntime(ctx)
	defer r.Close(ctx)
	wasi_snapshot_preview1.MustInstantiate(ctx, r)
	var out bytes.Buffer
	_, err = r.InstantiateWithConfig(ctx, code, config.WithStdout(&out).WithStderr(&out))
	require.NoError(t, err, out.String())
	return out.String()
}

func slow(t *testing.T) {
	if testing.Short() {
		t.Skip("building for WebAssembly takes a while; it runs without -short")
	}
}

// A page runs the engine and the sittings under js, where there is no runner here:
// that they build says that they need nothing of this machine.
func TestTheEngineBuildsForAPage(t *testing.T) {
	slow(t)
	goFor(t, "js", "build", "undersong/internal/judge/...", "undersong/internal/listen/...", "undersong/internal/play/...",
		"undersong/internal/session/...", "undersong/internal/ui/words", "undersong/internal/ui/lines")
}

// lessons are pieces with the mistakes of a beginner, by the click and led, at
// every level.
func lessons(t *testing.T) []*Lesson {
	t.Helper()
	all := []*Lesson{
		{Chart: "red-river-valley", Pattern: "two-beat", Level: "steady"},
		{Chart: "clementine", Pattern: "waltz", Key: "G", Level: "strict"},
		{Chart: "frere-jacques", Pattern: "driving-eighths", Level: "gentle", Loop: true},
		{Chart: "red-river-valley", Pattern: "two-beat", Level: "steady", Led: true},
		{Chart: "skye-boat-song", Pattern: "six-eight-rocking", Key: "Bb", Level: "gentle", Led: true, Loop: true},
		{Chart: "when-the-saints", Pattern: "tune-and-chords", Level: "strict", Led: true},
	}
	human, err := performer.Human("beginner")
	require.NoError(t, err)
	kinds := slices.Concat(mistakes.NoteKinds(), mistakes.TimeKinds(), mistakes.FollowKinds())
	for i, l := range all {
		l.Name = l.Chart + " " + l.Pattern
		text, err := os.ReadFile(filepath.Join("../../../testdata/charts", l.Chart+".chart"))
		require.NoError(t, err)
		l.Chart, l.Pattern = string(text), patterns.Texts()[l.Pattern+".pattern"]
		s, err := l.score()
		require.NoError(t, err, l.Name)
		played, err := mistakes.Play(s, human, mistakes.Random(kinds, 0.3), uint64(i))
		require.NoError(t, err, l.Name)
		l.Events = played.Events
	}
	return all
}

func TestTheSameBytesAsWebAssembly(t *testing.T) {
	slow(t)
	program := filepath.Join(t.TempDir(), "lesson.wasm")
	goFor(t, "wasip1", "build", "-o", program, "undersong/internal/test/wasm/lesson")
	var in, natively bytes.Buffer
	for _, l := range lessons(t) {
		require.NoError(t, json.NewEncoder(&in).Encode(l))
	}
	lessons := in.String()
	require.NoError(t, Judge(&in, &natively))
	want := strings.Split(natively.String(), "\n")
	got := strings.Split(run(t, program, wazero.NewModuleConfig().WithStdin(strings.NewReader(lessons))), "\n")
	for i := range min(len(want), len(got)) {
		require.Equal(t, want[i], got[i], "line %d", i+1)
	}
	assert.Len(t, got, len(want))
	assert.Greater(t, strings.Count(natively.String(), "{Kind:missing "), 20, "what is compared has mistakes in it")
}

// The engine's own tests hold there too, but for those that play for long.
func TestTheEnginesTestsAsWebAssembly(t *testing.T) {
	slow(t)
	const engine = "internal/judge/engine"
	program := filepath.Join(t.TempDir(), "engine.test")
	goFor(t, "wasip1", "test", "-c", "-o", program, "undersong/"+engine)
	said := run(t, program, wazero.NewModuleConfig().
		WithArgs(program, "-test.short", "-test.v", "-test.run=^Test", "-test.skip=Hours|Minute|Ticks|EveryPattern").
		WithFSConfig(wazero.NewFSConfig().WithReadOnlyDirMount("../../..", "/house")).WithEnv("PWD", "/house/"+engine))
	assert.Greater(t, strings.Count(said, "--- PASS"), 20, said)
	assert.NotContains(t, said, "--- FAIL")
}
