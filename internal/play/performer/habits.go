package performer

import (
	"fmt"
	"time"
)

// Habits are a player's human ways. The zero value plays like a machine:
// exactly in time, every note as loud as the next (but for the accents that the
// pattern asks for), every length in full. Chance is normal, cut off at three
// standard deviations (sd).
type Habits struct {
	Jitter    time.Duration // sd of a moment around its beat, both hands together
	HandAsync time.Duration // sd of the left hand against the right
	Spread    time.Duration // sd of the notes within a chord: fingers never land together
	Leisure   time.Duration // the same where a second or more passes until the next stroke; between, in proportion; 0 counts as Spread
	Bias      time.Duration // constant; negative plays early
	Drift     float64       // sd of the slow wander around the click, in beats; 0 to 0.1
	TempoWalk float64       // sd of the tempo's change from beat to beat, as a share of it; the tempo stays within MostDrift
	Rubato    float64       // how much the tempo swells and ebbs over each four bars, as a share; 0 to 0.3

	Velocity   int // of an ordinary note; 0 counts as 64
	VelocitySD int
	AccentGain int // added for an accent; 0 counts as 20
	BassGain   int // added for a bass note
	TuneGain   int // added for a note of the tune; 0 counts as 12

	Legato   float64 // share of the written length held; 0 counts as 1
	LegatoSD float64
	Pedal    PedalHabit

	OctaveShift [2]int        // octaves that each hand plays off the demonstration, where that is free
	Revoice     float64       // chance that a chord free to lie in any inversion takes another than demonstrated
	LeaveOut    float64       // chance that a note which may be left out is
	Double      float64       // chance that a whole chord has its lowest note doubled an octave up
	RollSpread  time.Duration // from the first to the last note of a rolled chord; of two notes half as long
	RollSome    float64       // chance that a chord of three notes or more is rolled though nothing says so
}

// MostDrift is how far a free tempo strays from the score's, as a share.
const MostDrift = 0.3

// PedalHabit is when the damper pedal is changed.
type PedalHabit uint8

// The pedal habits.
const (
	NoPedal     PedalHabit = iota
	LegatoPedal            // up just after the first stroke of a new harmony, down shortly after
	BarPedal               // the same after the first stroke of each bar
)

// within is the widest that chance gets, in standard deviations.
const within = 3

// Bound is the farthest that Habits put the first or last note of a stroke from
// its place in a steady tempo, for a beat of the given length.
func (h Habits) Bound(beat time.Duration) time.Duration {
	chance := within * (h.Jitter + h.HandAsync/2 + max(h.Spread, h.Leisure))
	return chance + h.Wander(beat) + max(h.Bias, -h.Bias) + h.RollSpread
}

// Wander is the farthest that Drift leads from the click, for a beat of the given
// length.
func (h Habits) Wander(beat time.Duration) time.Duration {
	return time.Duration(within * h.Drift * float64(beat))
}

// Expressive is the habits of concert players, who spread their chords at leisure
// and roll some that nobody marked. Measured on open aligned performances (ASAP:
// Foscarin et al. 2020, aligned by Peter et al. 2023): the left hand against the
// right has an sd of 31 ms; the notes of two hands together have a median spread of
// 14 ms where the next comes within 0.1 s, of 30 ms where it takes over 0.8 s, which
// is about the sd of two; of chords of three notes in one hand one in ten is spread
// over 56 ms (right) to 106 ms (left), of four over 95 to 156 ms; the widest
// hundredth over 0.25 to 0.5 s.
func Expressive() Habits {
	return Habits{
		Jitter: 15 * time.Millisecond, HandAsync: 31 * time.Millisecond, Spread: 12 * time.Millisecond, Leisure: 30 * time.Millisecond,
		TempoWalk: 0.03, Rubato: 0.15, Velocity: 62, VelocitySD: 8, AccentGain: 24, BassGain: 4, Legato: 0.9, LegatoSD: 0.05,
		Pedal: LegatoPedal, RollSpread: 240 * time.Millisecond, RollSome: 0.1,
	}
}

// Levels lists the names that Human takes.
func Levels() []string { return []string{"exact", "beginner", "steady", "fluent"} }

// Human is the habits of a player of a level: "exact" is the zero value.
//
// The values are working ones with these measures around them. Players of an
// ensemble are apart by an sd of 30 to 50 ms (Rasch 1979, Acustica 43), which
// the fingers of one player stay well under; a melody leads its chord by about
// 30 ms at the hammer and almost nothing at the key (Goebl 2001, JASA 110(1)),
// so the notes of an accompanying chord are spread by 8 to 12 ms here; an even
// sequence sounds uneven from 2.5 % of the interval on (Friberg and Sundberg
// 1995, JASA 98(5)): 15 ms in quarters at 100, the jitter of the steady player.
// The sds themselves: common practice, no source.
func Human(level string) (Habits, error) {
	switch level {
	case "exact":
		return Habits{}, nil
	case "beginner":
		return Habits{
			Jitter: 20 * time.Millisecond, HandAsync: 12 * time.Millisecond, Spread: 12 * time.Millisecond,
			Drift: 0.03, Velocity: 60, VelocitySD: 9, AccentGain: 20, Legato: 0.8, LegatoSD: 0.08,
			RollSpread: 120 * time.Millisecond,
		}, nil
	case "steady":
		return Habits{
			Jitter: 15 * time.Millisecond, HandAsync: 8 * time.Millisecond, Spread: 9 * time.Millisecond,
			Drift: 0.02, Velocity: 64, VelocitySD: 6, AccentGain: 22, BassGain: 2, Legato: 0.9, LegatoSD: 0.04,
			RollSpread: 90 * time.Millisecond,
		}, nil
	case "fluent":
		return Habits{
			Jitter: 12 * time.Millisecond, HandAsync: 6 * time.Millisecond, Spread: 8 * time.Millisecond,
			Drift: 0.01, Velocity: 62, VelocitySD: 4, AccentGain: 24, BassGain: 4, Legato: 0.9, LegatoSD: 0.03,
			Pedal: LegatoPedal, Revoice: 0.3, LeaveOut: 0.3, RollSpread: 80 * time.Millisecond,
		}, nil
	}
	return Habits{}, fmt.Errorf("there is no player called %q; choose exact, beginner, steady or fluent", level)
}
