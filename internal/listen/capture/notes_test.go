package capture

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
)

const ms = time.Millisecond

// groupsStruck are groups as in "C3, C4 E4 G4": a beat after one another.
func groupsStruck(t testing.TB, text string) []group {
	t.Helper()
	var all []group
	for i, keys := range strings.Split(text, ",") {
		notes := noted(t, keys)
		for n := range notes {
			notes[n].on += time.Duration(i) * beat
			notes[n].off += time.Duration(i) * beat
		}
		all = append(all, newGroup(notes, 0))
	}
	return all
}

// at are notes struck so many milliseconds from the first: "C4 0 E4 20".
func at(t testing.TB, keys string, on ...int) []note {
	t.Helper()
	all := noted(t, keys)
	for i := range all {
		all[i].on = time.Duration(on[i]) * ms
		all[i].off = all[i].on + beat
	}
	return all
}

// Notes by time, and of one moment from below.
func TestNotesOfEvents(t *testing.T) {
	got := notesOf([]event.Event{
		event.On(0, 64, 70), event.On(0, 60, 60), event.Off(1*ms, 60),
		event.On(100*ms, 48, 50), event.On(300*ms, 48, 40), // struck anew without a release
		event.Off(500*ms, 64),
		{At: 600 * ms, Status: 0x99, Data1: 38, Data2: 100}, // a drum
		event.On(700*ms, 72, 30), event.Off(900*ms, 48), event.Off(901*ms, 48),
		event.On(950*ms, 79, 30), event.Off(990*ms, 79),
	})
	assert.Equal(t, []note{
		{60, 0, 1 * ms, 60}, {64, 0, 500 * ms, 70}, {48, 100 * ms, 300 * ms, 50}, {48, 300 * ms, 900 * ms, 40},
		{72, 700 * ms, 990 * ms, 30}, {79, 950 * ms, 990 * ms, 30},
	}, got)
}

// What belongs together: fingers of one stroke come within 50 ms of one another; a
// roll takes longer, where strokes are far apart.
func TestNotesThatBelongTogether(t *testing.T) {
	for _, c := range []struct {
		name, keys string
		on         []int
		want       []float64 // where groups begin, in seconds
	}{
		{"one chord", "C4 E4 G4", []int{0, 20, 40}, []float64{0.02}},
		{"one chord, rolled", "C4 E4 G4", []int{0, 140, 290}, []float64{0}},
		{"three strokes", "C4 E4 G4", []int{0, 300, 600}, []float64{0, 0.3, 0.6}},
		{"two chords", "C4 E4 G4 C5", []int{0, 30, 1000, 1030}, []float64{0.015, 1.015}},
		{"two chords, the second rolled", "C4 E4 G4 C5 E5", []int{0, 30, 1000, 1080, 1160}, []float64{0.015, 1}},
		{"a roll begins where its first note does", "C4 G4 C5 E5 C4", []int{0, 1000, 1045, 1090, 2000}, []float64{0, 1.045, 2}},
		{"and is no roll within a tenth of a second", "C4 G4 C5 E5 C4", []int{0, 1000, 1050, 1100, 2000}, []float64{0, 1, 2}},
		{"quick notes are a figure", "C4 E4 G4 C5 E5", []int{0, 100, 200, 300, 400}, []float64{0, 0.1, 0.2, 0.3, 0.4}},
	} {
		notes := at(t, c.keys, c.on...)
		for i := range notes {
			notes[i].on += 5 * time.Second // after a silence, which does not count
		}
		groups := groupsOf(notes)
		var got []float64
		for _, g := range groups {
			got = append(got, g.at)
		}
		assert.InDeltaSlice(t, c.want, got, 1e-9, c.name)
	}
	late := groupsOf([]note{{67, time.Second, 2 * time.Second, 64}, {60, time.Second + 20*ms, 2 * time.Second, 64}})
	assert.InDelta(t, 0.01, late[0].at, 1e-9, "from the first note of all")
	assert.Equal(t, []pitch.Num{60, 67}, []pitch.Num{late[0].notes[0].key, late[0].notes[1].key}, "from below")
}

// The usual distance leaves out what is a roll.
func TestTheUsualDistance(t *testing.T) {
	parts := func(on ...int) (all [][]note) {
		for _, o := range on {
			all = append(all, at(t, "C4", o))
		}
		return all
	}
	assert.Equal(t, time.Second, usualGap(parts(0)))
	assert.Equal(t, time.Second, usualGap(parts(0, 60, 120)), "nothing but a roll")
	assert.Equal(t, 500*ms, usualGap(parts(0, 500)))
	assert.Equal(t, 500*ms, usualGap(parts(1000, 1300, 1800, 2600)), "the middle of 300, 500 and 800")
	assert.Equal(t, 800*ms, usualGap(parts(1000, 1060, 1860)))
}

func TestTheMiddleOfAStroke(t *testing.T) {
	assert.InDelta(t, 0.03, middle(at(t, "C4 E4 G4", 1010, 1030, 1050), time.Second), 1e-9)
}

// A roll goes upwards, each note clearly after the one before.
func TestRolls(t *testing.T) {
	for _, c := range []struct {
		name, keys string
		on         []int
		want       bool
	}{
		{"upwards", "C4 E4 G4", []int{1000, 1060, 1120}, true},
		{"downwards", "C4 E4 G4", []int{1120, 1060, 1000}, false},
		{"out of order", "C4 E4 G4", []int{1000, 1120, 1060}, false},
		{"at once", "C4 E4 G4", []int{1000, 1000, 1000}, false},
		{"the upper two at once", "C4 E4 G4", []int{1000, 1120, 1120}, true},
		{"fingers that are not quite together", "C4 E4 G4", []int{1000, 1010, 1020}, false},
		{"not quite together, four of them", "C4 E4 G4 C5", []int{1000, 1020, 1040, 1070}, false},
		{"four in time", "C4 E4 G4 C5", []int{1000, 1030, 1060, 1090}, true},
		{"two notes", "C4 E4", []int{1000, 1080}, true},
		{"two notes together", "C4 E4", []int{1000, 1030}, false},
		{"one", "C4", []int{1000}, false},
	} {
		assert.Equal(t, c.want, rolled(at(t, c.keys, c.on...)), c.name)
	}
}
