package keyboard

import (
	"time"
)

// Together is how long after its first note the notes of one onset may come, or the
// last finger leave: fingers never land or leave at once;
// chords rolled by up to 50 ms were made to test whether listeners hear them as
// one event (Hove, Keller and Krumhansl 2007), and the onsets of players in
// ensemble differ by 30 to 50 ms unheard (Rasch 1979, quoted second-hand).
const Together = 50 * time.Millisecond
