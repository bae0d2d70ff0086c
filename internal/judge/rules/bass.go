package rules

import "undersong/internal/music/pitch"

// Misplaced reports a bass that is right but for its octave: another octave is the
// player's choice, two are not, since the bass then lies among the chords. home is
// where the hand lies.
func Misplaced(heard, home pitch.Num) bool {
	off := heard - home
	return max(off, -off) >= farBass
}
