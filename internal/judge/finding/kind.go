// Package finding is what a judge noticed and what it comes to, as plain values:
// notes, chords and numbers, never words.
package finding

// Kind is what a finding is about.
type Kind uint8

// The kinds, most important last but for Right. Each rule is told once, here.
const (
	// Right: every wanted note of a stroke sounded, in time. Told as soon as the
	// last of them sounds.
	Right Kind = iota
	// Balance: over a bar, what lies under the tune was louder than the tune, the
	// accented strokes were not really louder than the others, or the chords were
	// much louder than the bass. Told when the bar is over.
	Balance
	// Short: a held note of a beat or more was let go before half of its length
	// (at level steady) and no pedal held it.
	Short
	// Blurred: the pedal held notes of the last harmony, foreign to the new one,
	// for more than half a beat into it. Lifting the pedal together with the new
	// chord or just after it is right.
	Blurred
	// Early and Late: the right notes, further from the beat than the level allows.
	Early
	Late
	// Extra: a stroke or a note that nothing asked for.
	Extra
	// Missing: a stroke that never came, or a chord that lacked some of its notes.
	Missing
	// WrongNote: one note of a chord or figure replaced by another.
	WrongNote
	// WrongInversion: the right notes with another one lowest than the pattern asks,
	// or with another one on top than the tune's.
	WrongInversion
	// WrongBass: another note where the left hand's bass belongs.
	WrongBass
	// WrongChord: another chord, or most of its notes wrong.
	WrongChord
	// Lost: where the player leads, the place in the chart is not known any more.
	// Told once; nothing is judged until it is found again.
	Lost

	KindCount // how many there are
)

var kindNames = [KindCount]string{"right", "balance", "short", "blurred", "early", "late", "extra", "missing", "wrong-note", "wrong-inversion", "wrong-bass", "wrong-chord", "lost"}

func (k Kind) String() string { return kindNames[k] }

// Kinds lists every kind, the most important first and Right last.
func Kinds() []Kind {
	all := make([]Kind, 0, KindCount)
	for k := int(KindCount) - 1; k >= 0; k-- {
		all = append(all, Kind(k))
	}
	return all
}
