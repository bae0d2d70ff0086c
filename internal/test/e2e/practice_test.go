package e2e

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/test/outside"
)

// The tune and its accompaniment are written out here by hand, bar by bar and
// key by key, so that the program's own score has no part in what is played.
const tune = `title: Six Bars
key: C
meter: 4/4
tempo: 120

| C | F | G7 | C | F G7 | C |
`

const beatSeconds = 0.5

// bar is what two-beat plays in a bar: bass and chord on each half.
type bar struct {
	bass1  byte
	chord1 []byte
	bass2  byte
	chord2 []byte
}

var rightBars = []bar{
	{48, []byte{60, 64, 67}, 43, []byte{60, 64, 67}},
	{41, []byte{60, 65, 69}, 48, []byte{60, 65, 69}},
	{43, []byte{59, 62, 65, 67}, 50, []byte{59, 62, 65, 67}},
	{48, []byte{60, 64, 67}, 43, []byte{60, 64, 67}},
	{41, []byte{60, 65, 69}, 43, []byte{59, 62, 65, 67}},
	{48, []byte{60, 64, 67}, 43, []byte{60, 64, 67}},
}

// timed is a message and its beat.
type timed struct {
	beat float64
	hex  string
}

func (n timed) MarshalJSON() ([]byte, error) { return json.Marshal([]any{n.beat, n.hex}) }

func messages(bars []bar) []timed {
	var all []timed
	strike := func(beat float64, keys ...byte) {
		for i, k := range keys {
			spread := 0.012 * float64(i) // fingers do not land together
			all = append(all, timed{beat + spread, fmt.Sprintf("90%02x46", k)}, timed{beat + 0.8 + spread, fmt.Sprintf("80%02x40", k)})
		}
	}
	for i, b := range bars {
		at := float64(4 * i)
		strike(at, b.bass1)
		strike(at+1, b.chord1...)
		strike(at+2, b.bass2)
		strike(at+3, b.chord2...)
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].beat < all[j].beat })
	return all
}

// planted is the tune with three mistakes: the bass of bar 3 stays on C, the
// second chord of bar 2 is a C chord, the last chord of bar 4 is left out.
func planted() []bar {
	bars := append([]bar(nil), rightBars...)
	bars[2].bass1 = 48
	bars[1].chord2 = []byte{60, 64, 67}
	bars[3].chord2 = nil
	return bars
}

// stage is the program built against the MIDI system that is there, and the
// Python that can play it.
type stage struct {
	binary, python, api, chart string
}

func setUp(t *testing.T) stage {
	t.Helper()
	s := stage{api: "alsa", python: outside.Python(t, outside.RequireMIDI, "rtmidi")}
	if strings.Contains(os.Getenv("CGO_LDFLAGS"), "jack") {
		s.api = "jack"
	}
	if s.api == "alsa" {
		if _, err := os.Stat("/dev/snd/seq"); err != nil {
			outside.SkipOrFail(t, outside.RequireMIDI, "no ALSA sequencer; build for JACK with .ci/jack/env.sh")
		}
	}
	dir := t.TempDir()
	s.binary = filepath.Join(dir, "undersong")
	out, err := exec.Command("go", "build", "-o", s.binary, "undersong/cmd/undersong").CombinedOutput()
	require.NoError(t, err, string(out))
	if out, err := exec.Command(s.binary, "ports").CombinedOutput(); err != nil && !bytes.Contains(out, []byte("demo")) {
		outside.SkipOrFail(t, outside.RequireMIDI, "no live MIDI here: "+string(out))
	}
	s.chart = filepath.Join(dir, "six-bars.chart")
	require.NoError(t, os.WriteFile(s.chart, []byte(tune), 0o600))
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(dir, "config"))
	return s
}

// result is what the pianist saw; see testdata/player.py.
type result struct {
	Clicks, Sent, Lines [][2]any
	Errors              []string
	Status              int
	Pulled, Behind      float64
	Echoed              int
}

// mostBehind is how late, in seconds, the pianist itself may be: a machine that
// holds it up longer says nothing about the program, and it plays again.
const mostBehind = 0.03

// performance is what the pianist is to do.
type performance struct {
	Notes  []timed  `json:"notes"`
	Unplug any      `json:"unplug"`
	Again  []timed  `json:"again"`
	Echo   bool     `json:"echo"`
	Listen int      `json:"listen"`
	Free   any      `json:"free"`
	End    any      `json:"end"`
	args   []string // for the program, after the usual ones

	API     string   `json:"api"`
	Command []string `json:"command"`
	Beat    float64  `json:"beat"`
	Count   int      `json:"count"`
}

func (s stage) play(t *testing.T, p performance) result {
	t.Helper()
	p.Command = append([]string{s.binary, "practice", s.chart, "--pattern", "two-beat", "--json", "--in", "grand:out", "--out", "grand-in"}, p.args...)
	return s.perform(t, p)
}

// perform runs the program of a performance.
func (s stage) perform(t *testing.T, p performance) result {
	t.Helper()
	p.API, p.Beat, p.Count = s.api, beatSeconds, 4
	in, err := json.Marshal(p)
	require.NoError(t, err)
	for range 4 {
		if r := s.try(t, in); r.Behind < mostBehind {
			return r
		}
		t.Log("the machine was too busy for the pianist; once more")
	}
	t.Fatal("the machine is too busy to play in time")
	return result{}
}

func (s stage) try(t *testing.T, in []byte) result {
	t.Helper()
	cmd := exec.Command(s.python, filepath.Join("testdata", "player.py"))
	cmd.Stdin = bytes.NewReader(in)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoError(t, err, stderr.String())
	var r result
	require.NoError(t, json.Unmarshal(out, &r), string(out))
	require.Zero(t, r.Status, r.Errors)
	require.NotEmpty(t, r.Lines, r.Errors)
	return r
}

// line is a JSON line of the program.
type line struct {
	Type, Kind, Hand, Text string
	Bar                    int
	Beat                   float64
	Wanted, Heard, Fix     string
	Right                  int
	at                     float64 // when it was printed
}

func (r result) parsed(t *testing.T) []line {
	t.Helper()
	var all []line
	for _, l := range r.Lines {
		p := line{at: l[0].(float64)}
		require.NoError(t, json.Unmarshal([]byte(l[1].(string)), &p), l[1])
		all = append(all, p)
	}
	return all
}

func findings(lines []line) (wrong []string, right int) {
	for _, l := range lines {
		switch {
		case l.Type != "finding":
		case l.Kind == "right":
			right++
		default:
			wrong = append(wrong, fmt.Sprintf("bar %d beat %g %s %s", l.Bar, l.Beat, l.Hand, l.Kind))
		}
	}
	return wrong, right
}

func TestThreePlantedMistakesAreTold(t *testing.T) {
	s := setUp(t)
	r := s.play(t, performance{Notes: messages(planted())})
	lines := r.parsed(t)
	wrong, right := findings(lines)
	assert.Equal(t, []string{"bar 2 beat 4 right wrong-chord", "bar 3 beat 1 left wrong-bass", "bar 4 beat 4 right missing"}, wrong)
	assert.Equal(t, 21, right)
	assert.Equal(t, "start", lines[0].Type)
	last := lines[len(lines)-1]
	assert.Equal(t, "summary", last.Type)
	assert.Equal(t, 21, last.Right)
	for _, l := range lines {
		if l.Kind == "wrong-bass" {
			assert.Equal(t, "bass G", l.Wanted)
			assert.Equal(t, "bass C", l.Heard)
			assert.Equal(t, "go down to G", l.Fix)
		}
	}
	reportLatency(t, r, lines)
}

// reportLatency logs how long after its last key a right stroke was told.
func reportLatency(t *testing.T, r result, lines []line) {
	t.Helper()
	var took []time.Duration
	for _, l := range lines {
		if l.Kind != "right" {
			continue
		}
		last := 0.0
		for _, n := range r.Sent {
			if at := n[0].(float64); at < l.at && strings.HasPrefix(n[1].(string), "90") {
				last = at
			}
		}
		took = append(took, time.Duration((l.at-last)*float64(time.Second)))
	}
	require.NotEmpty(t, took)
	sort.Slice(took, func(i, j int) bool { return took[i] < took[j] })
	t.Logf("from the last key to the printed line: median %v, p99 %v, longest %v of %d", took[len(took)/2], took[len(took)*99/100], took[len(took)-1], len(took))
}

func TestClickIsHeardInTime(t *testing.T) {
	s := setUp(t)
	r := s.play(t, performance{Notes: messages(rightBars)})
	wrong, _ := findings(r.parsed(t))
	assert.Empty(t, wrong)
	var at []float64
	var keys []byte
	for _, c := range r.Clicks {
		var m [3]byte
		_, err := fmt.Sscanf(c[1].(string), "%02x%02x%02x", &m[0], &m[1], &m[2])
		require.NoError(t, err, c[1])
		if m[0]&0xF0 == 0x90 && m[2] > 0 {
			// General MIDI percussion is channel 10, 9 on the wire (General MIDI 1).
			assert.Equal(t, byte(0x99), m[0])
			at = append(at, c[0].(float64))
			keys = append(keys, m[1])
		}
	}
	require.Len(t, at, 4*7, "one bar of count-in and six of music")
	for i := range at {
		assert.InDelta(t, float64(i)*beatSeconds, at[i]-at[0], 0.05, "click %d", i)
		assert.Equal(t, i%4 == 0, keys[i] == keys[0], "the first beat of a bar sounds otherwise: click %d", i)
	}
}

func TestKeyboardIsPulledAndComesBack(t *testing.T) {
	s := setUp(t)
	// Pulled in bar 2 with a chord held, out for two and a half seconds; when it is
	// back, a new count-in leads to bar 2.
	r := s.play(t, performance{Notes: messages(rightBars), Unplug: []any{5.5, 2.5}, Again: messages(rightBars[1:])})
	lines := r.parsed(t)
	wrong, right := findings(lines)
	assert.Empty(t, wrong)
	assert.Equal(t, 6+20, right, "six strokes before, bars 2 to 6 after")
	var notices []line
	for _, l := range lines {
		if l.Type == "notice" && l.at > r.Pulled {
			notices = append(notices, l)
		}
	}
	require.Len(t, notices, 2, "gone, and back")
	assert.Contains(t, notices[0].Text, "grand:out")
	assert.InDelta(t, 1, notices[0].at-r.Pulled, 1, "announced within two seconds")
	assert.Equal(t, "summary", lines[len(lines)-1].Type)
}
