package keyboard

import "undersong/internal/music/pitch"

// Voice is the part that a note plays in the texture.
type Voice uint8

// The voices.
const (
	BassVoice Voice = iota
	ChordVoice
	MelodyVoice
)

func (v Voice) String() string {
	return [...]string{"bass", "chord", "melody"}[v]
}

// Texture tells bass, chord and melody apart as they are played, from register
// and from where each voice was last. It needs no score and no fixed split; a
// split may be forced. The zero value has heard nothing.
type Texture struct {
	// Split, where not 0, is the lowest key of the right hand: what is under it is
	// never melody, what is on or over it never bass.
	Split pitch.Num

	bass, chord, melody pitch.Num // where each voice was last; 0 before its first note
	voices              [16]Voice
}

// Where the voices are looked for before they were heard: the bass around G2,
// chords around middle C, the tune around C5 (common practice, no source).
const (
	homeBass   pitch.Num = 43
	homeChord  pitch.Num = 60
	homeMelody pitch.Num = 72
)

// What makes a way of hearing a group unlikely, in sixths of the cost of a
// fourth's leap in the bass. The case beside each comes out otherwise without it.
const (
	noBass      = 24 // C2 with E4-G4-C5 is not three voices of one chord
	highOctave  = 10 // C3-C4 under E4-G4: the upper C is the chord's
	highBass    = 2  // each semitone over middle C: E4 alone is no bass
	loneChord   = 14 // C3 with E5 is bass and tune, not a chord of two
	wideChord   = 4  // each semitone beyond an octave: C4-E4-G4 with E5 is chord and tune
	blockTop    = 6  // the top of C4-E4-G4 is no tune unless the tune was there
	underChord  = 20 // a tune lies over what is held
	besideChord = 8  // a tune within a second of the chord's top
	perStep     = 1  // each semitone of a voice's leap
)

// Group takes the keys struck together, low to high (at most 16; more are heard
// as chord), and what is held already, and says which voice each belongs to. The
// slice is good until the next call.
func (t *Texture) Group(struck []pitch.Num, held Set) []Voice {
	n := min(len(struck), len(t.voices))
	best, bestBass, bestTop := int(^uint(0)>>1), 0, 0
	for nb := 0; nb <= min(2, n); nb++ {
		for nm := 0; nm <= min(2, n-nb); nm++ {
			if cost, ok := t.cost(struck[:n], nb, nm, held); ok && cost < best {
				best, bestBass, bestTop = cost, nb, nm
			}
		}
	}
	for i := range t.voices[:n] {
		switch {
		case i < bestBass:
			t.voices[i] = BassVoice
		case i >= n-bestTop:
			t.voices[i] = MelodyVoice
		default:
			t.voices[i] = ChordVoice
		}
	}
	t.remember(struck[:n], bestBass, bestTop)
	return t.voices[:n]
}

// cost is how unlikely it is that the lowest nb of the keys are bass and the
// highest nm tune. Two notes make one voice only in octaves.
func (t *Texture) cost(keys []pitch.Num, nb, nm int, held Set) (int, bool) {
	n := len(keys)
	if nb == 2 && keys[1]-keys[0] != 12 || nm == 2 && keys[n-1]-keys[n-2] != 12 {
		return 0, false
	}
	if t.Split > 0 && (nb > 0 && keys[nb-1] >= t.Split || nm > 0 && keys[n-nm] < t.Split) {
		return 0, false
	}
	chord := keys[nb : n-nm]
	cost := t.bassCost(keys, nb) + t.chordCost(chord)
	if nm > 0 {
		cost += t.melodyCost(keys, n-nm, chord, held)
	}
	return cost, true
}

func (t *Texture) bassCost(keys []pitch.Num, nb int) int {
	if nb == 0 {
		if len(keys) > 0 && keys[0] < 48 {
			return noBass
		}
		return 0
	}
	leap := perStep * gap(keys[0], or(t.bass, homeBass))
	if nb < len(keys) && keys[nb]-keys[nb-1] < 5 {
		leap += besideChord // a bass stands apart from the chord
	}
	if nb == 2 && keys[1] > 55 {
		leap += highOctave
	}
	return leap + highBass*max(0, int(keys[nb-1]-pitch.MiddleC))
}

func (t *Texture) chordCost(chord []pitch.Num) int {
	if len(chord) == 0 {
		return 0
	}
	lo, hi := chord[0], chord[len(chord)-1]
	cost := perStep*gap((lo+hi)/2, or(t.chord, homeChord)) + wideChord*max(0, int(hi-lo)-12)
	if len(chord) == 1 {
		cost += loneChord
	}
	return cost
}

func (t *Texture) melodyCost(keys []pitch.Num, from int, chord []pitch.Num, held Set) int {
	cost := perStep * gap(keys[from], or(t.melody, homeMelody))
	if t.melody == 0 && len(chord) >= 2 {
		cost += blockTop
	}
	if len(chord) > 0 && keys[from]-chord[len(chord)-1] < 3 {
		cost += besideChord
	}
	if held.Next(keys[from]) >= 0 {
		cost += underChord
	}
	return cost
}

func (t *Texture) remember(keys []pitch.Num, nb, nm int) {
	n := len(keys)
	if nb > 0 {
		t.bass = keys[0]
	}
	if nm > 0 {
		t.melody = keys[n-nm]
	}
	if chord := keys[nb : n-nm]; len(chord) > 0 {
		t.chord = (chord[0] + chord[len(chord)-1]) / 2
	}
}

func or(n, home pitch.Num) pitch.Num {
	if n == 0 {
		return home
	}
	return n
}

func gap(a, b pitch.Num) int {
	if a > b {
		return int(a - b)
	}
	return int(b - a)
}
