package sitting

import (
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// Do is what a Command asks for.
type Do uint8

// What may be asked. A sitting that cannot do it leaves it out of its Menu.
const (
	DoNothing   Do = iota
	DoBegin        // what waits for a key
	DoPause        // the click stops, and nothing is judged or missing
	DoGoOn         // after a pause: a count-in leads to the bar where it stopped
	DoAgain        // from the beginning of the line, or of the bars that go round, with a count-in
	DoSlower       // by a step of the metronome, from the bar that is played, with a count-in
	DoFaster       // the same
	DoBars         // round and round through Command.Bars
	DoLine         // round and round through the line that is played
	DoWhole        // back to what was asked for first
	DoSuggested    // what is most worth practising: those bars, that hand, that tempo
	DoHands        // Command.Hands are judged
	DoHint
	DoEnd
)

var doNames = []string{
	"", "begin", "pause", "go-on", "again", "slower", "faster", "bars", "line", "whole", "suggested", "hands", "hint", "end",
}

func (d Do) String() string { return doNames[d] }

// MarshalText is the name of what is asked.
func (d Do) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads a name.
func (d *Do) UnmarshalText(text []byte) error { return wording.Named(d, doNames, text, "command") }

// Command is what a face asks of a sitting.
type Command struct {
	Do    Do         `json:"do"`
	Bars  score.Span `json:"bars,omitzero"`  // DoBars
	Hands score.Only `json:"hands,omitzero"` // DoHands
}

// Menu is what may be asked now.
type Menu struct {
	Choices []Choice `json:"choices,omitempty"`
	Piano   bool     `json:"piano,omitempty"` // they can be asked for at the piano too
	// AtPiano reports that the two lowest keys of the piano are held: a choice's key
	// is that choice. See package gesture.
	AtPiano bool `json:"at_piano,omitempty"`
}

// Choice is a command that can be given now.
type Choice struct {
	Command Command   `json:"command"`
	Place   int       `json:"place"`        // of its white key above the two lowest, from 1
	Key     pitch.Num `json:"key,omitzero"` // that it is, AtPiano
}

// places are the white keys of the piano, from 1: each has the same meaning
// everywhere. Pause and going on share one, as do the line and the whole.
var places = map[Do]int{
	DoPause: 1, DoGoOn: 1, DoBegin: 1, DoAgain: 2, DoSlower: 3, DoFaster: 4, DoLine: 5, DoWhole: 5, DoSuggested: 6, DoHands: 7, DoHint: 8, DoEnd: 9,
}

// MostPlaces is how many keys are commands.
const MostPlaces = 9

// Offer adds a command to the menu.
func (m *Menu) Offer(c Command) {
	m.Choices = append(m.Choices, Choice{Command: c, Place: places[c.Do]})
}

// Open says that the two lowest keys are held, and which keys are commands.
func (m *Menu) Open(keys []pitch.Num) {
	m.AtPiano = true
	for i := range m.Choices {
		if n := m.Choices[i].Place; n >= 1 && n <= len(keys) {
			m.Choices[i].Key = keys[n-1]
		}
	}
}

// At is the command at a place; DoNothing where there is none.
func (m *Menu) At(place int) Command {
	for _, c := range m.Choices {
		if c.Place == place {
			return c.Command
		}
	}
	return Command{}
}

// Has reports that a kind of command can be given.
func (m *Menu) Has(d Do) bool {
	for _, c := range m.Choices {
		if c.Command.Do == d {
			return true
		}
	}
	return false
}
