package transcribe

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/pitch"
)

// At 120 a minute a beat is half a second.
const beat = 500 * time.Millisecond

func beatsAt(period, from time.Duration, n, perBar int) []Beat {
	out := make([]Beat, n)
	for b := range out {
		out[b] = Beat{At: from + time.Duration(b)*period, Bar: b%perBar == 0, Cells: 2}
	}
	return out
}

// score reads lines of "beat length key key key": notes from a beat on.
func score(t *testing.T, lines string) Performance {
	t.Helper()
	p := Performance{}
	for _, line := range strings.Split(strings.TrimSpace(lines), "\n") {
		fields := strings.Fields(line)
		var from, length float64
		_, err := fmt.Sscan(fields[0], &from)
		require.NoError(t, err)
		_, err = fmt.Sscan(fields[1], &length)
		require.NoError(t, err)
		for _, f := range fields[2:] {
			k, err := pitch.ParsePitch(f)
			require.NoError(t, err)
			on := time.Duration(from * float64(beat))
			off := on + time.Duration(length*float64(beat))
			p.Notes = append(p.Notes, Note{Key: k.Num(), Velocity: 70, On: on, Release: off, Off: off})
			p.End = max(p.End, off)
		}
	}
	p.Beats = beatsAt(beat, 0, int(p.End/beat)+4, 4)
	return p
}

func labels(segments []Segment) string {
	var out []string
	for _, s := range segments {
		out = append(out, fmt.Sprintf("%g:%s", s.Start.Seconds()/beat.Seconds(), s.Label()))
	}
	return strings.Join(out, " ")
}

// Beats and chords as an accompanist writes them down (common practice, no
// source).
func TestWhatAccompanistsWriteDown(t *testing.T) {
	for _, c := range []struct{ name, notes, want string }{
		{"a bass line down under block chords", `
			0 4 C3 E4 G4 C5
			4 4 B2 D4 G4 B4
			8 4 A2 E4 A4 C5
			12 4 G2 E4 G4 C5
			16 4 F2 F4 A4 C5
			20 4 G2 D4 G4 B4
			24 4 C3 E4 G4 C5`,
			"0:C 4:G/B 8:Am 12:C/G 16:F 20:G 24:C"},
		{"a seventh that only the bass walks over", `
			0 4 A2 E4 A4 C5
			4 4 G2 E4 A4 C5
			8 4 F2 F4 A4 C5
			12 4 E2 E4 G#4 B4 D5
			16 4 A2 E4 A4 C5`,
			"0:Am 4:Am/G 8:F 12:E7 16:Am"},
		{"root and fifth", `
			0 0.9 C3
			1 0.8 E4 G4 C5
			2 0.9 G2
			3 0.8 E4 G4 C5
			4 0.9 F2
			5 0.8 F4 A4 C5
			6 0.9 C3
			7 0.8 F4 A4 C5
			8 0.9 G2
			9 0.8 F4 G4 B4
			10 0.9 D3
			11 0.8 F4 G4 B4
			12 3.9 C3 E4 G4 C5`,
			"0:C 4:F 8:G7 12:C"},
		{"a walking bass", `
			0 1 C3
			1 1 E3
			2 1 G3
			3 1 E3
			0 1.8 E4 G4 C5
			2 1.8 E4 G4 C5
			4 1 F3
			5 1 A3
			6 1 C3
			7 1 F#3
			4 1.8 F4 A4 C5
			6 1.8 F4 A4 C5
			8 1 G3
			9 1 F3
			10 1 D3
			11 1 B2
			8 1.8 F4 G4 B4
			10 1.8 F4 G4 B4
			12 4 C3 E4 G4 C5`,
			"0:C 4:F 8:G7 12:C"},
		{"a suspension for half a bar", `
			0 4 C3 E4 G4 C5
			4 2 G2 D4 G4 C5
			6 2 G2 D4 G4 B4
			8 4 C3 E4 G4 C5`,
			"0:C 4:Gsus4 6:G 8:C"},
		{"chords an eighth early", `
			0 3.5 C3
			0 1 E4 G4 C5
			2 1 E4 G4 C5
			3.5 4.5 F2 F4 A4 C5
			6 1 F4 A4 C5
			8 3.5 G2
			8 1 D4 G4 B4
			10 1 D4 G4 B4
			11.5 4.5 C3 E4 G4 C5
			14 1 E4 G4 C5
			16 4 A2 E4 A4 C5
			20 4 F2 F4 A4 C5
			24 4 G2 D4 G4 B4
			28 4 C3 E4 G4 C5`,
			"0:C 4:F 8:G 12:C 16:Am 20:F 24:G 28:C"},
		{"a fourth in passing", `
			0 4 C3 E4 G4
			1 0.5 E5
			1.5 0.5 F5
			2 1 G5
			4 4 G2 D4 G4 B4
			8 4 C3 E4 G4
			10 0.5 F4
			12 4 C3 E4 G4`,
			"0:C 4:G 8:C"},
		{"open fifths are what the key says", `
			0 4 C3 G3 C4 E4
			4 4 A2 E3 A3
			8 4 F2 C3 F3
			12 4 D3 A3 D4
			16 4 G2 D3 G3 B3
			20 4 C3 G3 C4 E4`,
			"0:C 4:Am 8:F 12:Dm 16:G 20:C"},
		{"arpeggios without pedal", `
			0 0.5 C3
			0.5 0.5 G3
			1 0.5 C4
			1.5 0.5 E4
			2 0.5 G4
			2.5 0.5 E4
			3 0.5 C4
			3.5 0.5 G3
			4 0.5 D3
			4.5 0.5 A3
			5 0.5 C4
			5.5 0.5 F4
			6 0.5 A4
			6.5 0.5 F4
			7 0.5 C4
			7.5 0.5 A3
			8 4 G2 F3 B3 D4
			12 4 C3 G3 E4`,
			"0:C 4:Dm7 8:G7 12:C"},
		{"diminished, and named as a leading note", `
			0 4 C3 E4 G4
			4 4 B2 D4 F4
			8 4 C3 E4 G4
			12 4 F#2 A3 C4 Eb4
			16 4 G2 B3 D4 G4
			20 4 C3 E4 G4`,
			"0:C 4:Bdim 8:C 12:F#dim7 16:G 20:C"},
	} {
		segments, grid := Chords(score(t, c.notes), Options{})
		assert.Equal(t, c.want, labels(segments), c.name)
		assert.True(t, grid.FromFile, c.name)
	}
}

func TestSilence(t *testing.T) {
	p := score(t, `
		4 4 C3 E4 G4
		8 0.5 F2 A3 C4
		10 0.5 F2 A3 C4
		12 1 C3 E4 G4
		24 4 G2 B3 D4`)
	segments, _ := Chords(p, Options{})
	assert.Equal(t, "0:N 4:C 8:F 12:C 13:N 24:G", labels(segments), "short gaps are no rests, long ones are")
	assert.Equal(t, []pitch.Num{48, 64, 67}, segments[1].Notes)
	assert.Empty(t, segments[0].Notes)

	segments, grid := Chords(Performance{End: time.Second}, Options{})
	assert.Equal(t, []Segment{{End: time.Second}}, segments)
	assert.Equal(t, "N", segments[0].Label())
	assert.Empty(t, grid.Beats)
	segments, _ = Chords(Performance{}, Options{})
	assert.Empty(t, segments)
}

func TestAKeyThatIsGivenSpellsTheChords(t *testing.T) {
	p := score(t, "0 4 F#2 A#3 C#4\n4 4 B2 D#4 F#4\n8 4 C#3 E#4 G#4\n12 4 F#2 A#3 C#4")
	for _, key := range []string{"F#", "Gb"} {
		k, err := pitch.ParseKey(key)
		require.NoError(t, err)
		segments, _ := Chords(p, Options{Key: &k})
		assert.Equal(t, key, segments[0].Label())
		assert.Equal(t, k, segments[0].Key)
	}
}

func TestBeatsAreFoundWhereTheFileHasNone(t *testing.T) {
	p := Performance{}
	for i, c := range [][]pitch.Num{{48, 64, 67}, {41, 65, 69}, {43, 62, 67}, {45, 64, 69}, {41, 65, 69}, {43, 62, 67}, {48, 64, 67}} {
		for b := range 4 {
			on := beat + time.Duration(4*i+b)*beat
			for n, k := range c {
				if n > 0 || b == 0 {
					p.Notes = append(p.Notes, Note{Key: k, Velocity: 70, On: on, Release: on + beat, Off: on + beat})
				}
			}
			p.End = on + beat
		}
	}
	want := "C F G Am F G C"
	for name, file := range map[string][]Beat{"none": nil, "at another pace": beatsAt(370*time.Millisecond, 0, 60, 4)} {
		p.Beats = file
		segments, grid := Chords(p, Options{})
		assert.False(t, grid.FromFile, name)
		var got []string
		for _, s := range segments {
			if s.Label() != "N" {
				got = append(got, s.Label())
			}
		}
		assert.Equal(t, want, strings.Join(got, " "), name)
		require.NotEmpty(t, grid.BarStarts)
		near := false
		for _, b := range grid.BarStarts {
			if d := grid.Beats[b] - 9*beat; d > -60*time.Millisecond && d < 60*time.Millisecond {
				near = true
			}
		}
		assert.True(t, near, "G begins a bar")
	}
}

func TestATempoMapOutOfPhaseIsShifted(t *testing.T) {
	p := score(t, "0 4 C3 E4 G4\n4 4 F2 A3 C4\n8 4 G2 B3 D4\n12 2 A2 C4 E4\n14 2 F2 A3 C4\n16 4 C3 E4 G4")
	for b := range 20 { // repeated chords keep the beat
		p.Notes = append(p.Notes, Note{Key: 67, Velocity: 50, On: time.Duration(b) * beat, Off: time.Duration(b)*beat + beat/2})
	}
	p.Beats = beatsAt(beat, 170*time.Millisecond, 24, 4)
	segments, grid := Chords(p, Options{})
	assert.True(t, grid.FromFile)
	assert.InDelta(t, 4, segments[1].Start.Seconds()/beat.Seconds(), 0.1)

	_, grid = Chords(p, Options{OwnBeats: true})
	assert.False(t, grid.FromFile)
}

func TestNotesOutOfEvents(t *testing.T) {
	ms := time.Millisecond
	events := []event.Event{
		event.On(0, 48, 80),
		{At: 0, Status: event.NoteOn | event.Percussion, Data1: 36, Data2: 100},
		event.Pedal(100*ms, 127),
		event.Off(200*ms, 48),
		event.On(300*ms, 60, 70),
		event.On(400*ms, 60, 60), // struck again without a note-off
		event.Pedal(500*ms, 0),
		event.On(600*ms, 62, 50),
	}
	assert.Equal(t, []Note{
		{Key: 48, Velocity: 80, On: 0, Release: 200 * ms, Off: 500 * ms},
		{Key: 60, Velocity: 70, On: 300 * ms, Release: 400 * ms, Off: 400 * ms},
		{Key: 60, Velocity: 60, On: 400 * ms, Release: 900 * ms, Off: 900 * ms},
		{Key: 62, Velocity: 50, On: 600 * ms, Release: 900 * ms, Off: 900 * ms},
	}, FromEvents(events, 900*ms))
}

func TestBeatsOutOfAFile(t *testing.T) {
	p := &smf.Performance{
		TicksPerQuarter: 480, End: 4 * time.Second,
		Tempos: []smf.TempoChange{{MicrosPerQuarter: 500_000}, {At: time.Second, Tick: 960, MicrosPerQuarter: 1_000_000}},
		Meters: []smf.MeterChange{{Num: 2, Den: 4}, {Tick: 960, Num: 6, Den: 8}},
	}
	assert.Equal(t, []Beat{
		{0, true, 2}, {beat, false, 2},
		{time.Second, true, 3}, {2500 * time.Millisecond, false, 3}, {4 * time.Second, true, 3},
	}, FromFile(p).Beats)
	assert.Empty(t, FromFile(&smf.Performance{End: time.Second}).Beats)
}
