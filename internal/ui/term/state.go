// Package term draws the view that a pianist reads from the stool, two
// metres from the computer: the chart with the current bar, the chord that is
// heard, the chord that is wanted, and one correction.
//
// Render is pure: a State, a size and a Style give a picture. Program shows
// such pictures on a live terminal.
package term

import "undersong/internal/music/meter"

// Phase says what is going on.
type Phase uint8

// The phases of a session.
const (
	Waiting  Phase = iota // no keyboard yet, or it was unplugged
	CountIn               // beats before the first bar
	Playing               // also free playing, without a chart
	Lost                  // playing, but the place in the chart is not known
	Finished              // the summary is shown
)

// State is all that the view shows. Programs that share a State with Show must
// not change its slices afterwards. Texts may hold anything: control
// characters are dropped.
type State struct {
	Title, Key, Pattern string
	Meter               meter.Meter // zero: not shown
	Tempo               meter.Tempo // felt beats a minute; 0: not shown
	Level               string

	Phase   Phase
	CountIn int // beats still to come before the first bar

	Bars    []Bar   // every printed bar; none in free playing
	Current int     // index into Bars; outside them no bar is marked
	Beat    float64 // place in the bar from 1, 2.5 after half of the second beat; below 1: none
	Beats   int     // felt beats a bar; 0: no beat row

	NextChord   string // the chord after the wanted one
	BeatsToNext int    // beats until then; 0 or less: not shown

	Showing      bool   // a demonstration: Heard is what is played, and nothing is wanted
	Heard        string // the chord that sounds, such as "F/A"
	HeardWords   string // "F major, first inversion"
	Wanted       string // "G7"
	WantedDetail string // "bass G"

	Down       Keys // keys held
	WantedKeys Keys // keys to go to
	WrongKeys  Keys // keys held that do not belong

	// LowKey and HighKey are the outermost keys that the tune needs, so that
	// the drawn keyboard stays where it is. Both 0: C2 to C6.
	LowKey, HighKey uint8

	Correction    string // what to change, one thing at a time
	CorrectionBar int    // number of the bar meant, marked in the chart; 0: none
	Praise        string // short, such as "that's it"; shown while there is no correction

	Right, Wrong int    // strokes so far
	Pass         int    // which time through the chart, from 1; 0: not shown
	Notice       string // such as "keyboard unplugged: waiting for Digital Piano"

	Tune *Tune // looked for by ear; nil elsewhere

	Summary []string // shown when finished, one paragraph each
}

// Bar is a printed bar of the chart.
type Bar struct {
	Number  int // as printed, -1 and down in an intro; 0 for an upbeat, which shows no number
	Chords  []ChordAt
	Lyric   string
	Section string // such as "Chorus", where one begins with this bar; starts a new line
	NewLine bool   // the chart has a new line here
}

// ChordAt is a chord symbol and the beat it comes on, from 1.
type ChordAt struct {
	Name string
	Beat float64
}

// Keys is a set of MIDI keys, 0 to 127. The zero value is empty.
type Keys [2]uint64

// Add puts a key in the set. Keys above 127 are left out.
func (k *Keys) Add(key uint8) {
	if key < 128 {
		k[key/64] |= 1 << (key % 64)
	}
}

// Has reports whether key is in the set.
func (k Keys) Has(key uint8) bool {
	return key < 128 && k[key/64]>>(key%64)&1 == 1
}
