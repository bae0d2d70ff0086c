package words

import (
	"slices"
	"strings"

	"undersong/internal/listen/chordid"
	"undersong/internal/listen/live"
	"undersong/internal/music/pitch"
)

// SoundName is what sounds: a chord's symbol or, where there is none, the notes.
func SoundName(s *live.Sound) string {
	if !s.Chord.IsNone() {
		return s.Chord.String()
	}
	return NoteNames(s.Keys, s.Spelling())
}

// NoteNames spells keys in the order given, each name once.
func NoteNames(keys []pitch.Num, in pitch.Key) string {
	var names []string
	for _, k := range keys {
		if n := in.Spell(k.Class()).String(); !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	return strings.Join(names, " ")
}

// reasons are what speaks for or against a chord's name.
var reasons = map[chordid.Reason]string{
	chordid.ByType: "type", chordid.ByBass: "bass", chordid.ByMissing: "left out", chordid.ByAdded: "foreign", chordid.ByKey: "key",
	chordid.ByFunction: "leading note", chordid.ByWanted: "chart", chordid.ByBefore: "goes on", chordid.ByRootless: "root not sounding",
}

// Reason names what speaks for or against a chord's name.
func Reason(r chordid.Reason) string { return reasons[r] }
