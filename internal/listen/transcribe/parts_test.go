package transcribe

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// The felt beat of the usual meters (common practice, no source): a quarter in
// simple time, three eighths in compound time, two eighths where there are four.
func TestTheBeatOfAMeter(t *testing.T) {
	const quarter = 480
	for _, c := range []struct {
		num, den      int
		step          int64
		perBar, cells int
	}{
		{4, 4, quarter, 4, 2}, {3, 4, quarter, 3, 2}, {2, 4, quarter, 2, 2}, {5, 4, quarter, 5, 2},
		{6, 8, 3 * quarter / 2, 2, 3}, {9, 8, 3 * quarter / 2, 3, 3}, {12, 8, 3 * quarter / 2, 4, 3},
		{3, 8, quarter / 2, 3, 1}, {7, 8, quarter / 2, 7, 1}, {8, 8, quarter, 4, 2},
		{2, 2, 2 * quarter, 2, 4}, {3, 2, 2 * quarter, 3, 4},
	} {
		step, perBar, cells := beatOf(c.num, c.den, quarter)
		assert.Equal(t, c.step, step, "%d/%d", c.num, c.den)
		assert.Equal(t, [2]int{c.perBar, c.cells}, [2]int{perBar, cells}, "%d/%d", c.num, c.den)
	}
}

func TestTheMeterIsThatOfMostBars(t *testing.T) {
	for _, c := range []struct {
		name  string
		bars  []int // beats in each
		meter string
	}{
		{"fours", []int{4, 4, 4}, "4/4"}, {"threes", []int{3, 3, 3}, "3/4"}, {"twos", []int{2, 2}, "2/4"}, {"fives", []int{5, 5}, "5/4"},
		{"a bar of two among fours", []int{4, 4, 2, 4}, "4/4"},
		{"as many threes as fours", []int{4, 3, 4, 3}, "3/4"},
		{"sevens are written as fours", []int{7, 7}, "4/4"},
	} {
		g := Grid{BarStarts: []int{0}}
		for _, n := range c.bars {
			g.BarStarts = append(g.BarStarts, g.BarStarts[len(g.BarStarts)-1]+n)
		}
		assert.Equal(t, c.meter, meterOf(g).String(), c.name)
	}
}

func TestTheTempoIsThatOfTheMiddleBeat(t *testing.T) {
	grid := func(gaps ...time.Duration) Grid {
		g := Grid{Beats: []time.Duration{0}}
		for _, d := range gaps {
			g.Beats = append(g.Beats, g.Beats[len(g.Beats)-1]+d*time.Millisecond)
		}
		return g
	}
	for _, c := range []struct {
		name string
		g    Grid
		want float64
	}{
		{"120", grid(500, 500, 500), 120},
		{"a ritardando at the end", grid(500, 500, 500, 700, 900), 120},
		{"rounded to a whole number", grid(606, 606, 606), 99},
		{"no faster than a chart says", grid(100, 100), 320},
		{"no slower", grid(9000, 9000), 20},
	} {
		assert.EqualValues(t, c.want, float64(tempoOf(c.g)), c.name)
	}
}

func TestTheKeyOfMostOfTheMusic(t *testing.T) {
	key := func(name string) pitch.Key {
		k, err := pitch.ParseKey(name)
		require.NoError(t, err)
		return k
	}
	at := func(from, to int, k string) Segment {
		return Segment{Start: time.Duration(from) * time.Second, End: time.Duration(to) * time.Second, Key: key(k)}
	}
	assert.Equal(t, key("G"), commonKey([]Segment{at(0, 4, "C"), at(4, 6, "G"), at(6, 7, "C"), at(7, 12, "G")}))
	assert.Equal(t, key("C"), commonKey([]Segment{at(0, 4, "C"), at(4, 8, "G")}), "the first of equals")
}

// Beats reach over the whole of the playing, at the pace of the nearest.
func TestBeatsCoverThePlaying(t *testing.T) {
	times := func(all []pulse) (at []float64) {
		for _, b := range all {
			at = append(at, b.at)
		}
		return at
	}
	given := []pulse{{at: 1, cells: 3}, {at: 1.5, cells: 2}, {at: 2.25, cells: 2}}
	got := cover(given, 4)
	assert.InDeltaSlice(t, []float64{0, 0.5, 1, 1.5, 2.25, 3, 3.75, 4.5}, times(got)[len(got)-8:], 1e-9)
	assert.Equal(t, 3, got[0].cells, "before the first as in the first")
	assert.Equal(t, 2, got[len(got)-1].cells)
	assert.InDeltaSlice(t, []float64{0, 0.5, 1}, times(cover(nil, 1)), 1e-9, "without any, as at 120")
	slow := times(cover([]pulse{{at: 0}, {at: 30}}, 40))
	assert.InDelta(t, longestBeat, slow[2]-slow[1], 1e-9, "no beat lasts longer than that")
}

func TestBeatsOfAFileThatMakeNoSenseAreLeftOut(t *testing.T) {
	s := time.Second
	assert.Equal(t, []pulse{{0, true, 2}, {1, false, 1}, {2, false, 6}},
		filePulses([]Beat{{-s, true, 2}, {0, true, 2}, {0, false, 2}, {s, false, 0}, {s / 2, true, 2}, {2 * s, false, 9}}))
}

// even are strokes at beats of half a second, moved by a time and every so many of
// them half a beat later.
func even(n int, by float64, offbeats int) []stroke {
	var all []stroke
	for i := range n {
		at := float64(i)*0.5 + by
		if offbeats > 0 && i%offbeats == offbeats-1 {
			at += 0.25
		}
		all = append(all, stroke{at: at, weight: 1})
	}
	return all
}

func TestAFilesBeatsAreKeptWhereThePlayingKeepsToThem(t *testing.T) {
	file := filePulses(beatsAt(beat, 0, 60, 4))
	random := make([]stroke, 50)
	for i := range random {
		random[i] = stroke{at: float64(i*i%97) * 0.3017, weight: 1}
	}
	slices := func(all []stroke) []stroke { // in order
		for i := range all {
			for j := i; j > 0 && all[j].at < all[j-1].at; j-- {
				all[j], all[j-1] = all[j-1], all[j]
			}
		}
		return all
	}
	for _, c := range []struct {
		name  string
		on    []stroke
		want  origin
		first float64
	}{
		{"dead on", even(40, 0, 0), fromFile, 0},
		{"a little behind, evenly", even(40, 0.03, 0), fromFile, 0},
		{"started late", even(40, 0.12, 0), fromTempo, 0.12},
		{"every fourth on the offbeat", even(40, 0, 4), fromFile, 0},
		{"anywhere", slices(random), fromPlaying, 0},
		{"nothing", nil, fromPlaying, 0},
	} {
		got, from := fitted(file, c.on)
		assert.Equal(t, c.want, from, c.name)
		if from != fromPlaying {
			assert.InDelta(t, c.first, got[0].at, 0.005, c.name)
		}
	}
	_, from := fitted(filePulses(beatsAt(20*beat, 0, 10, 4)), even(40, 0, 0))
	assert.Equal(t, fromPlaying, from, "no beat lasts ten seconds")
	_, from = fitted(filePulses(beatsAt(beat/10, 0, 100, 4)), even(10, 0, 0))
	assert.Equal(t, fromPlaying, from, "nor a twentieth")
}

func TestWhatAStrokeWeighs(t *testing.T) {
	at := func(ms int, key pitch.Num, velocity uint8) Note {
		return Note{Key: key, Velocity: velocity, On: time.Duration(ms) * time.Millisecond}
	}
	got := strokes([]Note{at(0, 72, 127), at(40, 76, 127), at(100, 48, 127), at(200, 60, 0), at(300, 36, 127), at(310, 40, 127), at(320, 43, 127)})
	want := []stroke{{0, 3}, {0.1, 1.5 * strokeBass}, {0.2, strokeLeast}, {0.3, strokeMost}}
	require.Len(t, got, len(want))
	for i := range want {
		assert.InDelta(t, want[i].at, got[i].at, 1e-9)
		assert.InDelta(t, want[i].weight, got[i].weight, 1e-9, "stroke %d", i+1)
	}
}

func TestNotesThatMakeNoSenseAreLeftOut(t *testing.T) {
	s := time.Second
	good := Note{Key: 60, Velocity: 64, On: s, Release: 2 * s, Off: 3 * s}
	bad := []Note{
		{Key: -1, On: 0, Off: s}, {Key: 128, On: 0, Off: s}, {Key: 60, On: -s, Off: s}, {Key: 60, On: s, Off: s}, {Key: 60, On: 2 * s, Off: s},
	}
	assert.Equal(t, []Note{good}, sane(append(bad, good)))
	long := sane([]Note{{Key: 60, Velocity: 200, On: 0, Release: -s, Off: time.Hour}})
	assert.Equal(t, []Note{{Key: 60, Velocity: 127, On: 0, Release: 0, Off: longest}}, long)
	order := sane([]Note{{Key: 64, Velocity: 1, Off: s}, {Key: 48, Velocity: 1, Off: s}, {Key: 72, Velocity: 1, On: -0, Off: s}})
	assert.Equal(t, []pitch.Num{48, 64, 72}, []pitch.Num{order[0].Key, order[1].Key, order[2].Key})
}

// What basses cost a chord: its own tones less than the steps of songs, and those
// less than anything else.
func TestBassesOfAChord(t *testing.T) {
	m := newModel()
	of := func(typ chord.Type) *preparedProfile {
		for i := range m.kinds {
			if m.kinds[i].typ == typ {
				return &m.kinds[i]
			}
		}
		t.Fatal(typ)
		return nil
	}
	for _, c := range []struct {
		typ   chord.Type
		above int
		want  float64
	}{
		{chord.Major, 0, 0}, {chord.Major, 4, overThird}, {chord.Minor, 3, overThird}, {chord.Major, 7, overFifth},
		{chord.Diminished, 6, overFifth}, {chord.Augmented, 8, overFifth}, {chord.Dominant, 10, overSeventh},
		{chord.Sixth, 9, overSeventh}, {chord.MajorSeventh, 11, overSeventh},
		{chord.Major, 2, overBelow}, {chord.Major, 10, overBelow}, {chord.Major, 11, overBelow},
		{chord.Major, 1, overOther}, {chord.Major, 5, overOther}, {chord.Major, 9, overOther}, {chord.Minor, 4, overOther},
	} {
		assert.Equal(t, c.want, overCost(c.above, of(c.typ)), "%s over %d", c.typ.Name(), c.above)
	}
}

func TestKeysOfTheChordBefore(t *testing.T) {
	keys := func(k ...pitch.Num) []pitch.Num { return k }
	for _, c := range []struct {
		name         string
		keys, before []pitch.Num
		want         bool
	}{
		{"its upper notes again", keys(64, 67, 72), keys(48, 64, 67, 72), true},
		{"two of them", keys(64, 72), keys(48, 64, 67, 72), true},
		{"all of it", keys(48, 64, 67), keys(48, 64, 67), false},
		{"another note among them", keys(64, 69), keys(48, 64, 67, 72), false},
		{"a note above", keys(64, 76), keys(48, 64, 67, 72), false},
		{"nothing before", keys(64), nil, false},
	} {
		assert.Equal(t, c.want, isPart(c.keys, c.before), c.name)
	}
}
