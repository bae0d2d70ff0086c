package finding

import (
	"time"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/text/wording"
)

// Finding is one thing that a judge noticed. It is a plain value: two are the same
// where == says so, and what encoding/json writes it reads back the same. A judge
// fills in what its kind has; the rest stays zero, but for Want and Second.
type Finding struct {
	Kind Kind          `json:"kind"`
	Part Part          `json:"hand"`
	Bar  int           `json:"bar"`           // index into the score's bars
	Pass int           `json:"pass"`          // through the score, from 0; under a tune: how often the player went back before
	Beat float64       `json:"beat,omitzero"` // in the bar, from 1
	At   time.Duration `json:"at"`            // when it was known; in JSON, nanoseconds

	Want   int  `json:"want"`   // index into the score's wants; -1 where none is concerned
	Second int  `json:"second"` // BothHands: the right hand's want, Want being the left's; else -1
	Heard  Keys `json:"heard"`  // what was played, low to high
	Goal   Keys `json:"goal"`   // where the hand should be instead; empty for Right

	Offset time.Duration `json:"offset,omitzero"` // Right, Early and Late: from the beat, early negative; Spread: from the first note to the last; Stopped and WentBack: of silence
	Share  float64       `json:"share,omitzero"`  // Short: the part of its length that sounded
	Accent bool          `json:"accent,omitzero"` // Balance: an accent was too soft, rather than the chords too loud
	Sung   bool          `json:"sung,omitzero"`   // Balance: the tune was too soft for what lies under it

	Bass BassDetail `json:"bass,omitzero"`
	Tune TuneDetail `json:"tune,omitzero"`
	Flow FlowDetail `json:"flow,omitzero"`

	Up int `json:"up,omitzero"` // semitones: how much higher than written the score was taken, where all is played in another key

	Again  int  `json:"again,omitzero"`  // how often the same came in this bar before, since it was last right
	Mended bool `json:"mended,omitzero"` // Right: something was wrong here before
}

// FlowDetail is what LostBeat, WentBack and Stopped have besides.
type FlowDetail struct {
	To    int `json:"to"`             // index into the score's bars: where playing went on
	Beats int `json:"beats,omitzero"` // LostBeat: too many, or too few where negative
}

// BassDetail is what a finding about a bass under a tune has besides.
type BassDetail struct {
	Chord   int  `json:"chord"`          // the primary chord whose root was struck, or that a fifth or third belongs to; -1 for none
	Speaks  Few  `json:"speaks"`         // notes of the tune that speak for the bass or against it
	Choices Few  `json:"choices"`        // of the primary chords: what fits there, the best first
	Later   bool `json:"later,omitzero"` // Misfit: it fitted before
}

// TuneDetail is what a finding about a tune that is looked for by ear has besides.
type TuneDetail struct {
	Phrase int           `json:"phrase"`         // from 0
	Note   int           `json:"note"`           // in its phrase, from 0: the wanted one, for Direction, OtherOctave, OnceMore and NextNote
	Ended  time.Duration `json:"ended,omitzero"` // when the phrase's last note was struck, for PhraseRight and PhraseFound
	Row    int           `json:"row,omitzero"`   // PhraseRight: how many times in a row, from 1
	Way    Way           `json:"way,omitzero"`   // Direction
	Gap    bool          `json:"gap,omitzero"`   // OnceMore: a note was left out
	Shift  int           `json:"shift,omitzero"` // keys above the written ones, where the tune lies; NextNote and the phrases
	Known  bool          `json:"known,omitzero"` // NextNote: where the tune lies is known
	Asks   Verdicts      `json:"asks,omitzero"`  // of a phrase during a task
	From   First         `json:"from,omitzero"`  // TaskBegins, StartNote, NextNote, and phrases during a task: the first note asked for
}

// First is the first note that is asked for.
type First struct {
	Asked bool       `json:"asked"` // else any note will do
	Note  pitch.Note `json:"note"`
}

// Part is who a finding is for.
type Part uint8

// The parts of a player.
const (
	LeftHand Part = iota
	RightHand
	BothHands
	Foot // the pedal
	partCount
)

var partNames = [partCount]string{"left", "right", "both", "pedal"}

func (p Part) String() string { return partNames[p] }

// MarshalText is the part's name.
func (p Part) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads a name.
func (p *Part) UnmarshalText(text []byte) error { return wording.Named(p, partNames[:], text, "hand") }

// PartOf is a hand as a part.
func PartOf(h pattern.Hand) Part {
	if h == pattern.Left {
		return LeftHand
	}
	return RightHand
}
