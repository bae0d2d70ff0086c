package words

import (
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
)

// View is a sitting.State in words: what a screen shows. Texts may hold anything from
// outside.
type View struct {
	Title, Key, Pattern string
	Meter               meter.Meter // zero: not shown
	Tempo               meter.Tempo // felt beats a minute; 0: not shown
	Level               string

	Phase   sitting.Phase
	CountIn int // beats still to come before the first bar

	Bars    []Bar   // every printed bar; none in free playing
	Current int     // index into Bars; outside them no bar is marked
	Beat    float64 // place in the bar from 1, 2.5 after half of the second beat; below 1: none
	Beats   int     // felt beats a bar; 0: no beat row

	NextChord   string // the chord after the wanted one
	BeatsToNext int    // beats until then; 0 or less: not shown

	Words        bool   // the words come first, and large: somebody sings
	Showing      bool   // a demonstration: Heard is what is played, and nothing is wanted
	Unasked      bool   // what is wanted is never shown
	Heard        string // the chord that sounds, such as "F/A"
	HeardWords   string // "F major, first inversion"
	Wanted       string // "G7"
	WantedDetail string // "bass G"

	Down       keyboard.Set // keys held
	WantedKeys keyboard.Set // keys to go to
	WrongKeys  keyboard.Set // keys held that do not belong

	// LowKey and HighKey are the outermost keys that the tune needs, so that
	// the drawn keyboard stays where it is. Both 0: C2 to C6.
	LowKey, HighKey pitch.Num

	Correction    string // what to change, one thing at a time
	CorrectionBar int    // number of the bar meant, marked in the chart; 0: none
	Praise        string // short, such as "that's it"; shown while there is no correction
	Prompt        string // what to begin with; shown while there is neither

	Right, Wrong int    // strokes so far
	Pass         int    // which time through the chart, from 1; 0: not shown
	Notice       string // such as "keyboard unplugged: waiting for Digital Piano"

	Tune *Tune // looked for by ear; nil elsewhere

	Summary []string // to be read, one paragraph each; nil while music goes on

	Menu    []Choice // what may be asked
	AtPiano bool     // by the white keys of the piano, which are commands now
	Piano   string   // how they become commands
}

// Choice is something that may be asked.
type Choice struct {
	Key   string // of the computer: "space", "a"
	Text  string // "loop this line"
	Short string // "line", where there is no room
	Piano string // the white key of the piano: "B0"; where it is not open, its number above the lowest two
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

// Tune is a tune that is looked for by ear. A View with one shows it in place of
// the chart and the chords.
type Tune struct {
	Phrases []sitting.FoundPhrase
	Current int // index into Phrases
	Found   int // notes of the current phrase that are found
	Notes   int // that it has
}
