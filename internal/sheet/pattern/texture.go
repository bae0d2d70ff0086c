package pattern

// Texture is how a pattern is woven, told from its own cells.
type Texture uint8

// The textures, by the words that Textures lists.
const (
	Blocks       Texture = iota // chords struck together with their bass, or alone
	BassAndChord                // bass and chord in turn
	Broken                      // the chord note by note, within an octave
	Arpeggio                    // the chord note by note, over more than an octave or both hands
	BassLine                    // a bass that walks or sings under chords, or alone
	Drone                       // the key's own notes lie under the chords
	Singing                     // the right hand plays the tune
)

// Textures lists the words for the textures.
func Textures() []string {
	return []string{"block", "bass-and-chord", "broken", "arpeggio", "bass-line", "drone", "tune"}
}

func (t Texture) String() string { return Textures()[t] }

// Texture tells how the pattern is woven. Where more than one word would do, the
// rarer one is told.
func (p *Pattern) Texture() Texture {
	switch {
	case p.PlaysTune():
		return Singing
	case p.leftHas(func(c Cell) bool { return c.Pedal() }):
		return Drone
	case p.rocks():
		return Broken
	case p.bassSings():
		return BassLine
	}
	if t, ok := p.brokenChord(); ok {
		return t
	}
	if p.inTurn() {
		return BassAndChord
	}
	return Blocks
}

func (p *Pattern) leftHas(is func(Cell) bool) bool {
	for _, c := range p.Rows[Left] {
		if is(c) {
			return true
		}
	}
	return false
}

// lone is the tone of a cell that strikes one note.
func lone(c Cell) (Tone, bool) {
	if c.Kind != Tones || len(c.Tones) != 1 {
		return Tone{}, false
	}
	return c.Tones[0], true
}

// singles lists the degrees that a row strikes one by one, and reports whether
// that is all it does.
func (p *Pattern) singles(h Hand) (degrees map[int]bool, all bool) {
	degrees, all = map[int]bool{}, p.Rows[h] != nil
	for _, c := range p.Rows[h] {
		if t, ok := lone(c); ok {
			degrees[t.Degree] = true
		} else if c.Strikes() {
			all = false
		}
	}
	return degrees, all
}

// rocks reports a left hand that goes to and fro without rest between notes of
// the chord within an octave.
func (p *Pattern) rocks() bool {
	degrees, all := p.singles(Left)
	busy := !p.leftHas(func(c Cell) bool { return !c.Strikes() })
	return all && busy && len(degrees) > 1 && !p.leftHas(leavesTheChord) && !p.climbs(degrees) && !p.answered()
}

// fewestOfALine is how many different degrees make a line of the bass.
const fewestOfALine = 3

// bassSings reports a left hand that walks into the next chord, leaves the
// chord's own tones, or has a line of its own against the chords or without a
// third.
func (p *Pattern) bassSings() bool {
	degrees, all := p.singles(Left)
	switch {
	case p.leftHas(leavesTheChord):
		return true
	case !all || len(degrees) < fewestOfALine:
		return false
	}
	third := degrees[3] || degrees[10]
	return !third && !p.climbs(degrees) || p.answered()
}

// leavesTheChord reports an approach note, a free tone or one that is not the
// triad's.
func leavesTheChord(c Cell) bool {
	if c.Kind == Approach {
		return true
	}
	for _, t := range c.Tones {
		if c.Kind == Tones && (t.Degree == 0 || t.Written) {
			return true
		}
	}
	return false
}

// climbs reports degrees that go on above the octave.
func (p *Pattern) climbs(degrees map[int]bool) bool {
	for d := range degrees {
		if d > 8 {
			return true
		}
	}
	return false
}

// answered reports chords of the right hand where the left one is silent.
func (p *Pattern) answered() bool {
	for i, c := range p.Rows[Right] {
		if c.Kind == Whole && i < len(p.Rows[Left]) && !p.Rows[Left][i].Strikes() {
			return true
		}
	}
	return false
}

// brokenChord tells a chord that either hand takes apart.
func (p *Pattern) brokenChord() (Texture, bool) {
	hands := 0
	wide := false
	for h := range p.Rows {
		degrees, _ := p.singles(Hand(h))
		if len(degrees) >= fewestOfALine {
			hands++
			wide = wide || p.climbs(degrees)
		}
	}
	if hands == 0 {
		return Blocks, false
	}
	if wide || hands == 2 {
		return Arpeggio, true
	}
	return Broken, true
}

// inTurn reports chords struck where no bass is, after a bass of one note or an
// octave.
func (p *Pattern) inTurn() bool {
	bass := p.leftHas(func(c Cell) bool { return c.Kind == Tones })
	leaps := bass && p.leftHas(func(c Cell) bool { return c.Kind == Whole })
	return leaps || bass && p.answered() && !p.together()
}

// together reports a chord of the right hand on the first bass of the row.
func (p *Pattern) together() bool {
	return len(p.Rows[Right]) > 0 && len(p.Rows[Left]) > 0 && p.Rows[Right][0].Kind == Whole && p.Rows[Left][0].Strikes()
}
