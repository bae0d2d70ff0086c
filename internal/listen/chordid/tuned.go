package chordid

import "undersong/internal/music/chord"

// What makes a name far-fetched. Each value was set so that the case named beside
// it comes out as musicians name it (common practice, no source); moving it past
// its neighbours breaks that case in the tests. make sensitivity says what each is
// worth.
const (
	missingFifth Cost = 15 // points: C-E-Bb is still C7; E-G alone is Em before C without root
	triadOver    Cost = 10 // points: F/A: a triad or seventh on its third or fifth is common
	sixthOver    Cost = 25 // points: A-C-E-G is Am7, not C6/A
	colourOver   Cost = 15 // points: a suspension or a ninth in the bass: C-D-G is Csus2, not Gsus4/C; D below C-E-G is Cadd9/D before D9sus4 without fifth
	foreignBass  Cost = 50 // points: F# below C-E-G is C/F#, where no chord of all four is known
	foreignTone  Cost = 60 // points: a tone outside the chord: an added or a passing note
	symmetric    Cost = 12 // points: dim7 and aug are named from their bass
	tooFar       Cost = 95 // points: beyond this nothing is named
)

// typeCost: points of how plain the types are: what a listener assumes first costs
// least.
var typeCost = [...]Cost{
	chord.Major: 0, chord.Minor: 0, chord.Power: 10, chord.Diminished: 10, chord.Augmented: 20,
	chord.Dominant: 10, chord.MinorSeventh: 15, chord.MajorSeventh: 15,
	chord.Sus4: 15, chord.Sus2: 20, chord.Sixth: 22, chord.MinorSixth: 22,
	chord.DiminishedSeventh: 15, chord.HalfDiminished: 20, chord.MinorMajor: 30,
	chord.AugmentedSeventh: 28, chord.AugmentedMajorSeventh: 35, chord.DominantFlatFive: 30,
	chord.DominantSus4: 25, chord.Add9: 25, chord.MinorAdd9: 28, chord.Add4: 32,
	chord.SixNine: 35, chord.MinorSixNine: 37,
	chord.Ninth: 25, chord.MajorNinth: 25, chord.MinorNinth: 25, chord.NinthSus4: 30,
	chord.DominantFlatNine: 30, chord.DominantSharpNine: 32, chord.DominantSharpEleven: 38,
	chord.MajorSharpEleven: 38, chord.DominantFlatThirteen: 40,
	chord.Eleventh: 42, chord.MajorEleventh: 44, chord.MinorEleventh: 42,
	chord.Thirteenth: 45, chord.MajorThirteenth: 46, chord.MinorThirteenth: 46,
}

// What context is worth, with the case beside each that would come out otherwise.
const (
	outsideKey    Cost = 4                                // points: C-E-G-A in A minor's own notes either way, but Gb-Bb-Db in C is not F#-A#-C#
	byFunction    Cost = -14                              // points: B-D-F-Ab over D in C minor is Bdim7/D, not Ddim7; G-B-D# over B in C is Gaug, not Baug
	wantedExactly Cost = -30                              // points: C-E-G-A over A where the chart has C6
	wantedRoot    Cost = -8                               // points: C7 where the chart has C; C-E-G-A after C6 is C6 still, and after Am7 Am7
	wantedChord   Cost = (wantedExactly + wantedRoot) / 2 // points: the chart's chord over another bass, between the two
	subset        Cost = missingFifth / 2                 // points: all that is missing where the chord goes on: C and G after C-E-G, the third is still heard
	remembered    Cost = -16                              // points: C-E-G just after a low A is Am7, E-G-Bb-D just after a C is C9
)
