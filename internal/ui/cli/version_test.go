package cli

import (
	"context"
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/midi/port"
)

func TestVersionTellsTheSource(t *testing.T) {
	settings := func(pairs ...string) *debug.BuildInfo {
		info := &debug.BuildInfo{}
		for i := 0; i < len(pairs); i += 2 {
			info.Settings = append(info.Settings, debug.BuildSetting{Key: pairs[i], Value: pairs[i+1]})
		}
		return info
	}
	const commit = "0123456789abcdef0123456789abcdef01234567"
	for want, info := range map[string]*debug.BuildInfo{
		"":             settings("CGO_ENABLED", "1"),
		"0123456789ab": settings("vcs.revision", commit),
		"0123456789ab of 2024-05-06, changed since": settings("vcs.revision", commit, "vcs.time", "2024-05-06T07:08:09Z", "vcs.modified", "true"),
		"0123456789ab of 2024-05-06":                settings("vcs.revision", commit, "vcs.time", "2024-05-06T07:08:09Z", "vcs.modified", "false"),
		"0123":                                      settings("vcs.revision", "0123"),
	} {
		assert.Equal(t, want, sourceText(info))
	}
	assert.Empty(t, sourceText(nil))
}

func TestVersionTellsWhetherLiveMIDIIsThere(t *testing.T) {
	w := newWorld(t)
	assert.Zero(t, w.Run(context.Background(), []string{"version"}))
	assert.Regexp(t, `\Aundersong 0\.1\.0\n(source: .*\n)?go\S+, \w+/\w+\nlive MIDI: `+w.script.Name()+`\n\z`, w.out.String())

	without := newWorld(t)
	without.Driver = func(clock) port.Driver { return nameless{} }
	assert.Zero(t, without.Run(context.Background(), []string{"version"}))
	assert.Contains(t, without.out.String(), "live MIDI: none; built without a C++ compiler\n")
}

// nameless is the driver of a build without cgo, as far as it tells its name.
type nameless struct{ deaf }

func (nameless) Name() string { return "none" }
