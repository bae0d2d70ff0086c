package lyric

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
)

func TestALetterAroundASong(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "Hi all,", "", "here is the one for Friday. Let me know if the key is right.", "",
		"On Tue, 4 May, Marta wrote:", "> Can you send it?", "", "OH! SUSANNA", "", "G    D", "I come from Alabama", "",
		"Cheers", "Bob", "", "-- ", "Bob Tanner, Treasurer")
	assert.Equal(t, "OH! SUSANNA", s.Title)
	require.Len(t, s.Words, 1)
	for _, end := range []string{"Best regards", "Thanks, Bob", "Viele Grüße", "--"} {
		s = sheetOf(t, song.Wish{}, "[Verse]", "G    D", "I come from Alabama", "", end, "", "G    D", "I come from Alabama")
		assert.Len(t, s.Words[len(s.Words)-1].Chords, 2, "%s before chords ends nothing", end)
	}
}

func TestFieldsAreNoWordsThoughChordsStandInThem(t *testing.T) {
	for _, line := range []string{"Author: pete [a] 1,204", "Structure: A B A B", "Form: [A] [B] [A]", "Tono: Do (C)", "Key: [G]"} {
		s := sheetOf(t, song.Wish{}, "River", line, "", "[Verse]", "G    D", "Down in the valley", "", line)
		assert.Len(t, s.Words, 1, line)
		assert.Len(t, s.Order, 2, line)
	}
}

func TestButtonsOfAPage(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "River", "", "G   D7", "Show chord diagrams | Autoscroll | A- A+", "Capo on 3rd fret", "", "[Verse]",
		"G    D7", "Down in the valley", "", "X", "Embed Share Print", "", "Comments (2)", "", "jo wrote: great song, thanks for this")
	require.Len(t, s.Words, 1)
	assert.Equal(t, "Down in the valley", s.Words[0].Text)
	s = sheetOf(t, song.Wish{}, "[Verse]", "G    D7", "Print and share my love", "", "Share it, print it")
	assert.Len(t, s.Words, 2, "words of a song are no buttons")
}

func TestAKeyBehindTheTitle(t *testing.T) {
	for _, title := range []string{"Clementine   (F)", "Clementine [F]", "Clementine(F)"} {
		s := sheetOf(t, song.Wish{}, title, "trad.", "", "G    D7", "Down in the valley")
		assert.Equal(t, "Clementine, F", s.Title+", "+s.Key.String(), title)
		assert.Len(t, s.Words, 1, title)
	}
	s := sheetOf(t, song.Wish{}, "Down in the valley [G]", "Valley so [D7]low")
	assert.Len(t, s.Words, 2, "with chords in its words the first line is one of them")
}

func TestChordsOfASectionNamedAsSuch(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "River", "Chords: G C D", "", "Verse 1", "Chords: G / D7 /", "Down in the valley", "", "Verse 2", "Chords: D7 / G", "Hear the wind blow")
	assert.Equal(t, "| G D7@2 | D7 | G", grid(s))
}

func TestFingeringsAreNeitherChordsNorRepeats(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "[Verse]", "G    D7", "Down in the valley", "", "[repeat verse]", "",
		"G: 320003", "G = 320003", "A7 [x02020]", "A7 (x02020)", "Am x02210", "D=[xx0232]")
	assert.Equal(t, "| G | D7 | G | D7", grid(s))
	_, n := cutTimes("A7 x02020")
	assert.Equal(t, 1, n, "not two thousand times")
}

func TestFieldsInColumns(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "Title   : Aura Lee", "Key     : D major", "Signature : 3/4", "Tempo   : ca. 76", "", "G    D7", "la   la")
	assert.Equal(t, "Aura Lee, by , D, 3/4, 76", fmt.Sprintf("%s, by %s, %s, %s, %g", s.Title, s.By, s.Key, s.Meter, float64(s.Tempo)))
}

func TestFieldsWithDashes(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "Title - Clementine", "Author - Percy", "Tempo - Moderate 100", "Time sig - 3/4", "Key Sig - F Major", "", "1", "G    D7", "la   la", "2", "G   C", "la la", "CHO.", "C   G", "la  la")
	assert.Equal(t, "Clementine, by Percy, F, 3/4, 100", fmt.Sprintf("%s, by %s, %s, %s, %g", s.Title, s.By, s.Key, s.Meter, float64(s.Tempo)))
	assert.Equal(t, "Verse 1; Verse 2; CHO", sectionNames(s))
}

func TestTheTitleOfAPage(t *testing.T) {
	for _, top := range [][]string{
		{"Skye Boat Song (6/8)"}, {"Skye Boat Song 6/8"}, {"Songs > Traditional > S", "SKYE BOAT SONG CHORDS by Traditional", "6/8"},
		{"Skye Boat Song", "Meter = 6/8", "* = barre"}, {"Skye Boat Song", "written out by Hilde", "Time: 6/8"},
	} {
		s := sheetOf(t, song.Wish{}, append(top, "", "G    D7", "la   la")...)
		assert.Equal(t, "skye boat song 6/8", strings.ToLower(s.Title)+" "+s.Meter.String(), top[0])
		assert.NotContains(t, s.By, "Hilde")
	}
}

func TestLettersNameSectionsAgain(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "A:", "D    E7", "la   la", "", "B:", "G    A7", "la   la", "", "A:", "B:", "", "Coda:", "G  D")
	assert.Equal(t, "A; B; A; B; Coda", sectionNames(s))
	assert.Equal(t, "| D | E7 | G | A7 | D | E7 | G | A7 | G | D", grid(s))
	s = sheetOf(t, song.Wish{}, "A1", "D    E7", "la   la", "", "A2", "D    E7", "la   la", "", "B", "G    A7", "la   la", "", "A'", "D    E7", "la   la")
	assert.Equal(t, "A1; A2; B; A'", sectionNames(s))
}

func TestASheetQuotedInAnAnswer(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "pete67 wrote:", "> VERSE", "> D    A    D", "> Home, home on", ">", "> CHORUS", "> A      D", "> Where the deer",
		"", "nice one! :-)", "sent from my telephone")
	assert.Equal(t, "[D]Home,[A] home[D] on\n[A]Where t[D]he deer\n", bracketed(s))
}

func TestTimesOfARecording(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "0:00 Intro  G  C", "0:12 Verse", "     G    D7", "0:13 Down in the", "[Chorus]", "G    D7", "Down in the", "1:02 Outro", "C G")
	assert.Equal(t, "Intro; Verse; Chorus; Outro", sectionNames(s))
	assert.Equal(t, "     [G]Down [D7]in the\n[G]Down [D7]in the\n", bracketed(s))
	s = sheetOf(t, song.Wish{}, "[00:12.00][G]Down in [D7]the", "[00:14.50]valley [G]so low")
	assert.Equal(t, "[G]Down in [D7]the\nvalley [G]so low\n", bracketed(s))
	s = sheetOf(t, song.Wish{}, "[Verse]", "G     D7", "12:30 train")
	assert.Equal(t, "[G]12:30 [D7]train\n", bracketed(s), "one alone is sung")
}

func TestAColonNamesASection(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "Rfr.:", "G    D7", "Down in the", "", "Men:", "C    G", "valley so low", "", "I say:", "valley so low")
	assert.Equal(t, "Rfr; Men; Verse 1", sectionNames(s))
	s = sheetOf(t, song.Wish{}, "Verse:", "G    D7", "Then she said:", "C    G", "valley so low")
	assert.Len(t, s.Words, 2, "under chords it is sung")
}

func TestTheKeyBesideTheTitle(t *testing.T) {
	for _, line := range []string{"Aura Lee - in Em", "Aura Lee / in E minor", "Aura Lee (in the key of Em)", "Aura Lee, in Em", "Aura Lee in e-Moll", "Aura Lee in E minor", "Aura Lee in Em"} {
		s := sheetOf(t, song.Wish{}, line, "", "G    D7", "la   la")
		assert.Equal(t, "Aura Lee, Em, ", s.Title+", "+s.Key.String()+", "+s.By, line)
	}
}

func TestChordsBesideASectionThatHasItsOwn(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "Verse 1 (G - D7 - G):", "G  D7  G", "Down in the", "", "Bridge (C - G):", "", "Outro (D7 - G)")
	assert.Equal(t, "| G D7@2 | G | C | G | D7 | G", grid(s))
}

func TestDotsBehindTheLastChord(t *testing.T) {
	for chords, want := range map[string]string{
		"Em  Am  Em  Am ...": "| Em | Am | Em | Am", "Em  Am  Em  Am …": "| Em | Am | Em | Am",
		"Em . . . Am . . .": "| Em | Am", "Em  Am...": "| Em | Am",
	} {
		assert.Equal(t, want, grid(sheetOf(t, song.Wish{}, "[Outro]", chords)), chords)
	}
}

func TestSlashChordsWithSpaces(t *testing.T) {
	for chords, want := range map[string]string{
		"D      G / B   D":    "| D | G/B | D",
		"D      G/ B    D":    "| D | G/B | D",
		"D      G /B    D":    "| D | G/B | D",
		"(D / F#)   Em7":      "| D/F# | Em7",
		"G / C":               "| G | C",
		"G / C / D  / G":      "| G | C | D | G",
		"Am   E7 / D7":        "| Am | E7 | D7",
		"| G / B / | D / / /": "| G B@2 | D",
	} {
		s := sheetOf(t, song.Wish{}, "[Intro]", chords)
		assert.Equal(t, want, grid(s), chords)
	}
}

func TestABassAloneStandsUnderTheChordBefore(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "[Verse]", "C    /B   /A     Am7/G    /F#", "Where the deer and the antelope play")
	assert.Equal(t, "[C]Where[C/B] the [C/A]deer an[Am7/G]d the ant[Am7/F#]elope play\n", bracketed(s))
	s = sheetOf(t, song.Wish{}, "[Intro]", "C / / /  G / / /")
	assert.Equal(t, "| C | G", grid(s), "slashes alone are beats")
}

func TestRemarksBesideChords(t *testing.T) {
	for chords, want := range map[string]string{
		"C        (stay on C)": "| C", "G7    (now G7!)": "| G7", "C     (G  D)": "| C | G | D", "C  (let it ring)  G": "| C | G", "(softly, C)  G  D": "| G | D",
	} {
		assert.Equal(t, want, grid(sheetOf(t, song.Wish{}, "[Intro]", chords)), chords)
	}
}

func TestRareSpellingsAreKnown(t *testing.T) {
	for name, want := range map[string]string{"D4": "Dsus4", "D4/A": "Dsus4/A", "D∆": "Dmaj7", "F#4": "F#sus4"} {
		s := sheetOf(t, song.Wish{}, "[Intro]", "D   "+name)
		c := s.Bars()[1].Chords[0]
		assert.True(t, c.Known, name)
		assert.Equal(t, want, c.Chord.String(), name)
	}
}

func TestShortNamesOfSections(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "Vs.1", "G  D7", "la la", "", "Pre-Ch.", "C  G", "la la", "", "Ch.", "D  G", "la la", "", "M8:", "Am  G", "la la", "", "Ch. out")
	assert.Equal(t, "Vs.1; Pre-Ch; Ch; M8; Ch", sectionNames(s))
	assert.Equal(t, "| G | D7 | C | G | D | G | Am | G | D | G", grid(s))
}

func TestNamesOfSectionsWithRemarks(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "V1", "G  D7", "la la", "", "V2 (a capella)", "lo lo", "", "V3 - key change +2", "A  E", "la la", "", "Chorus 2 - D G", "", "S4:", "lo lo")
	assert.Equal(t, "V1; V2; V3; Chorus 2; S4", sectionNames(s))
	assert.Equal(t, "| G | D7 | G | D7 | A | E | D | G | G | D7", grid(s))
	s = sheetOf(t, song.Wish{}, "V.1", "G  D7", "la la", "", "V.2 - as V.1", "lo lo", "", "S", "lo lo")
	assert.Equal(t, "V.1; V.2 - as V.1", sectionNames(s), "a letter alone is sung")
}

func TestScandinavianNames(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "[Vers]", "D   Fiss   Bess  H7", "Ding ding dång, ding ding")
	assert.Equal(t, "[D]Ding[F#] ding d[Bb]ång, d[B7]ing ding\n", bracketed(s))
	s = sheetOf(t, song.Wish{}, "[Verse]", "G    D", "Down with", "G", "Bess")
	assert.Len(t, s.Words, 2, "a name is sung")
}

func TestBracketsOverTheWordsBeginWhereTheyStand(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "[Verse]", "[G] [D7]", "Hear the wind blow")
	assert.Equal(t, "[G]Hear[D7] the wind blow\n", bracketed(s))
}

func TestDashesAndDotsLeadToTheNextChord(t *testing.T) {
	for chords, want := range map[string]string{
		"G-------D7----G":  "[G]Down in [D7]the va[G]lley\n",
		"G-D7":             "[G]Do[D7]wn in the valley\n",
		"G.......D7....G.": "[G]Down in [D7]the va[G]lley\n",
		"G………D7":           "[G]Down[D7] in the valley\n",
	} {
		s := sheetOf(t, song.Wish{}, "[Verse]", chords, "Down in the valley")
		assert.Equal(t, want, bracketed(s), chords)
	}
	s := sheetOf(t, song.Wish{}, "[Verse]", "E-----0---2-", "B---1---1---", "G   D", "Down in the valley")
	assert.Equal(t, "[G]Down[D] in the valley\n", bracketed(s), "strings of a tablature are no chords")
}

func TestTheNameOfADanceSaysTheMeter(t *testing.T) {
	three, four := meter.Meter{Num: 3, Den: 4}, meter.Meter{Num: 4, Den: 4}
	for line, want := range map[string]meter.Meter{
		"Key of F, waltz": three, "slow waltz": three, "Ritmo: vals": three, "Key G    3/4": three,
		"Rhythm: swing": four, "The waltz of the river": four, "Waltz, 4/4": four,
	} {
		s := sheetOf(t, song.Wish{}, "River", line, "", "G    D", "Down in the valley")
		assert.Equal(t, want, s.Meter, line)
	}
}

func TestKeysInSyllables(t *testing.T) {
	for line, want := range map[string]string{
		"Tono: Do": "C", "Tonalidad: La menor": "Am", "Tonalité : Si bémol majeur": "Bb", "Tonalità: FA#m": "F#m", "Key: D": "D",
	} {
		s := sheetOf(t, song.Wish{}, line, "", "G    D", "Down in the valley")
		assert.Equal(t, want, s.Key.String(), line)
	}
}

func TestARemarkBehindTheNameOfASection(t *testing.T) {
	s := sheetOf(t, song.Wish{}, "Verse 1", "G    D", "Down in the valley", "", "Verse 2 (women)    <-- slower!", "G    D", "Hear the wind blow")
	assert.Equal(t, "Verse 1; Verse 2", sectionNames(s))
}
