package chordid

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// tonalScript times Chord.detect of the general-purpose library tonal over the
// same chords, and prints nanoseconds a name.
const tonalScript = `
const { Chord } = require("tonal");
const names = ["C","Db","D","Eb","E","F","Gb","G","Ab","A","Bb","B"];
const sets = JSON.parse(require("fs").readFileSync(0)).map(keys => keys.map(k => names[k % 12]));
const pass = () => { let n = 0; for (const s of sets) n += Chord.detect(s).length; return n; };
pass();
const start = process.hrtime.bigint();
let rounds = 0;
do { pass(); rounds++; } while (process.hrtime.bigint() - start < 2000000000n);
console.log(Number(process.hrtime.bigint() - start) / (rounds * sets.length));
`

// BenchmarkAgainstTonal names the 876 chords of the table in turn and, where
// Node is there and the registry answers, has tonal 6.4.2 name them too; it
// reports nanoseconds for both, with and without context, and the ratio.
func BenchmarkAgainstTonal(b *testing.B) {
	var all [][]pitch.Num
	for _, row := range tonalRows(b) {
		all = append(all, row.keys)
	}
	sets := make([]chord.Set, len(all))
	for i, keys := range all {
		sets[i], _ = setOf(keys...)
	}
	r := New()
	i := 0
	for b.Loop() {
		r.Best(sets[i%len(sets)], all[i%len(all)][0].Class())
		i++
	}
	plain := float64(b.Elapsed()) / float64(b.N)
	context := inContextTime(r, sets, all)
	b.ReportMetric(context, "context-ns/op")
	theirs, reason := tonalTime(b, all)
	if reason != "" {
		b.Logf("tonal was not measured: %s", reason)
		return
	}
	b.ReportMetric(theirs, "tonal-ns/op")
	b.ReportMetric(theirs/plain, "tonal/ours")
	b.ReportMetric(theirs/context, "tonal/ours-in-context")
}

func inContextTime(r *Recognizer, sets []chord.Set, all [][]pitch.Num) float64 {
	k := pitch.Key{}
	x := Context{Key: &k}
	const rounds = 20
	start := time.Now()
	for range rounds {
		for i, s := range sets {
			r.InContext(s, all[i][0].Class(), &x)
		}
	}
	return float64(time.Since(start)) / float64(rounds*len(sets))
}

func tonalTime(b *testing.B, all [][]pitch.Num) (nanoseconds float64, reason string) {
	b.Helper()
	npm, err := exec.LookPath("npm")
	if err != nil {
		return 0, "Node is not there"
	}
	dir := b.TempDir()
	install := exec.Command(npm, "install", "--silent", "--no-audit", "--no-fund", "--prefix", dir, "tonal@6.4.2")
	if out, err := install.CombinedOutput(); err != nil {
		return 0, "npm: " + err.Error() + " " + string(out)
	}
	if err := os.WriteFile(filepath.Join(dir, "time.js"), []byte(tonalScript), 0o600); err != nil {
		return 0, err.Error()
	}
	in, err := json.Marshal(all)
	if err != nil {
		return 0, err.Error()
	}
	node := exec.Command("node", filepath.Join(dir, "time.js"))
	stdin, err := node.StdinPipe()
	if err != nil {
		return 0, err.Error()
	}
	go func() {
		stdin.Write(in)
		stdin.Close()
	}()
	out, err := node.Output()
	if err != nil {
		return 0, "node: " + err.Error()
	}
	if err := json.Unmarshal(out, &nanoseconds); err != nil {
		return 0, err.Error()
	}
	return nanoseconds, ""
}
