package e2e

import (
	"bytes"
	"encoding/json"
	"math"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// replugged is what became of one pull of the cable; see testdata/replug.py.
type replugged struct {
	Gap, Late  float64
	Gone, Back bool
	Lines      []string
}

// replugs pulls the cable of a program that listens and plugs it in again after
// each gap, in seconds. keys are held at the pull, and struck after it.
func (s stage) replugs(t *testing.T, gaps []float64, keys [2][]int, command ...string) []replugged {
	t.Helper()
	in, err := json.Marshal(map[string]any{"api": s.api, "command": append([]string{s.binary}, command...), "gaps": gaps, "keys": keys})
	require.NoError(t, err)
	cmd := exec.Command(s.python, filepath.Join("testdata", "replug.py"))
	cmd.Stdin = bytes.NewReader(in)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoError(t, err, stderr.String())
	var r struct {
		Times  []replugged
		Errors []string
		Status int
	}
	require.NoError(t, json.Unmarshal(out, &r), string(out))
	require.Zero(t, r.Status, r.Errors)
	require.Len(t, r.Times, len(gaps))
	return r.Times
}

// gaps are so many times from 20 ms to two seconds, each longer than the last by
// the same part: most are short.
func gaps(n int) (all []float64) {
	for i := range n {
		all = append(all, 0.02*math.Pow(100, float64(i)/float64(n-1)))
	}
	return all
}

// However short the cable was out, that is told, what was held is let go, and
// what is played a second later is heard.
func TestKeyboardIsReplugged(t *testing.T) {
	s := setUp(t)
	held, after := []int{60, 64, 67}, []int{57, 60, 65}
	longest, deaf, times := 0.0, 0, 50
	if testing.Short() {
		times = 15
	}
	for _, r := range s.replugs(t, gaps(times), [2][]int{held, after}, "hear", "--json", "--in", "grand:out") {
		longest = max(longest, r.Late)
		told := strings.Join(r.Lines, "\n")
		if !assert.True(t, r.Gone && r.Back && r.Late < 1, "a gap of %.3f s: told within a second\n%s", r.Gap, told) ||
			!assert.Contains(t, told, `"notes":[60,64,67]`, "a gap of %.3f s: the chord that was held has ended", r.Gap) ||
			!assert.Contains(t, told, `"notes":[57,60,65]`, "a gap of %.3f s: the next chord is heard, alone", r.Gap) {
			deaf++
		}
	}
	t.Logf("%d of %d went wrong; the latest was taken up again after %.0f ms", deaf, times, 1000*longest)
}

func TestKeyboardIsRepluggedInPractice(t *testing.T) {
	s := setUp(t)
	times := s.replugs(t, gaps(6), [2][]int{{48}, {48}},
		"practice", s.chart, "--pattern", "two-beat", "--follow", "--loop", "--json", "--in", "grand:out", "--out", "grand-in")
	for _, r := range times {
		told := strings.Join(r.Lines, "\n")
		assert.True(t, r.Gone && r.Back && r.Late < 1, "a gap of %.3f s: told within a second\n%s", r.Gap, told)
		assert.Contains(t, told, `"kind":"right"`, "a gap of %.3f s: the first bass is heard", r.Gap)
	}
}
