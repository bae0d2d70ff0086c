package cli

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

// Version is the program's version.
const Version = "0.1.0"

func (a *App) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "What was built: version, source, Go, live MIDI",
		Example: `  undersong version`,
		Args:    noArgs,
		RunE: func(*cobra.Command, []string) error {
			driver := a.Driver(a.Clock())
			defer func() { _ = driver.Close() }() // nothing was opened
			info, _ := debug.ReadBuildInfo()
			return a.writeText(versionText(info, driver.Name()))
		},
	}
}

// versionText tells what was built. No word of it depends on when or where, so
// that the same source gives the same program. info may be nil; midi is what live
// ports are reached by, or "none".
func versionText(info *debug.BuildInfo, midi string) string {
	lines := []string{"undersong " + Version}
	if source := sourceText(info); source != "" {
		lines = append(lines, "source: "+source)
	}
	if midi == "none" {
		midi = "none; built without a C++ compiler"
	}
	return strings.Join(append(lines,
		fmt.Sprintf("%s, %s/%s", runtime.Version(), runtime.GOOS, runtime.GOARCH), "live MIDI: "+midi), "\n")
}

// sourceText is the commit and its day, or empty where they are not known: outside
// of a repository.
func sourceText(info *debug.BuildInfo) string {
	if info == nil {
		return ""
	}
	is := map[string]string{}
	for _, s := range info.Settings {
		is[s.Key] = s.Value
	}
	commit, day := is["vcs.revision"], is["vcs.time"]
	if commit == "" {
		return ""
	}
	text := commit[:min(12, len(commit))]
	if day, _, ok := strings.Cut(day, "T"); ok {
		text += " of " + day
	}
	if is["vcs.modified"] == "true" {
		text += ", changed since"
	}
	return text
}
