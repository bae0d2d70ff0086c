package capture

import (
	"errors"
	"fmt"

	"undersong/internal/music/chord"
)

// What can go wrong, in words for the player.
var (
	// ErrNothing means that no key was struck.
	ErrNothing  = errors.New("nothing was played: play one to four bars of the accompaniment over the chord, twice or three times if you like")
	errNoChord  = errors.New("a pattern is written down against the chord that it is played over: name it, as in C or Am7")
	errFew      = errors.New("one stroke is too little to tell the beat from: play the bar twice, or say the tempo")
	errLong     = fmt.Errorf("that is more than can be one pattern: play its one to %d bars, and again a few times", MostBars)
	errNoGrid   = errors.New("no steady beat was found in it: say the meter, and play with a click, or say the tempo, and it will be clearer")
	errNoRepeat = fmt.Errorf("more than %d bars were played, and they do not repeat: a pattern has at most %d bars; play those, and again a few times", MostBars, MostBars)
	errOnBeat   = errors.New("the first note cannot fall there: name a beat of the bar, such as 2 or 2.5")
)

// SlashError is a chord that stands on another bass.
type SlashError struct{ Chord chord.Chord }

func (e *SlashError) Error() string {
	return fmt.Sprintf("%s stands on another bass than its root, and a pattern counts from the root: play it over %s", e.Chord, chord.New(e.Chord.Root, e.Chord.Type))
}
