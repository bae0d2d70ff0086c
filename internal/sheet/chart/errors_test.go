package chart

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/text/source"
)

// failure parses a wrong chart and gives its errors.
func failure(t *testing.T, src string) []*source.Error {
	t.Helper()
	c, err := Parse([]byte(src), "")
	require.Error(t, err, src)
	require.Nil(t, c)
	var one *source.Error
	require.ErrorAs(t, err, &one)
	var all source.Errors
	if errors.As(err, &all) {
		return all
	}
	return []*source.Error{one}
}

func TestErrorsSayWhereAndWhat(t *testing.T) {
	const key = "key: C\n"
	for _, c := range []struct{ src, want string }{
		// nothing to read
		{"", "1:1: the chart is empty"},
		{"\uFEFF \n\t\n", "1:1: the chart is empty"},
		{"# only a remark\n", "1:1: the chart has no bars"},
		{key, "1:1: the chart has no bars"},
		{key + "[Verse]\n", "2:1: the section Verse has no bars"},
		{key + "[A]\n[B]\n| C |", "2:1: the section A has no bars"},
		{"Dear diary,\ntoday I played\nthe piano.\n", "1:1: a chart begins with headings and bars, not with plain text; write title: Dear diary, here"},
		{key + "title: x\nwhat is this\n| C |", "3:1: this is neither a heading, nor a section, nor bars"},
		{"| C | G | C |", "1:1: the chart names no key; write it at the top, as in key: C"},
		{"| C | Dm | Am N.C. |", "1:1: the chart names no key; write it at the top, as in key: Am"},
		{"| C | G# |", "1:1: the chart names no key; write it at the top, as in key: Ab"},
		{"\n# me\n\nDear diary\n", "4:1: a chart begins with headings and bars"},
		// headings
		{"temppo: 90\n" + key + "| C |", `1:1: unknown heading "temppo"; did you mean tempo:?`},
		{" time: 3/4\n" + key + "| C |", `1:2: unknown heading "time"; did you mean meter:?`},
		{"weather: fine\n" + key + "| C |", `1:1: unknown heading "weather"; the headings are title, by, key`},
		{key + "key: D\n| C |", "2:1: key is given twice, first in line 1"},
		{key + "| C |\nkey: D\n| D |", "3:1: the heading key stands below the first section or bar"},
		{"key: H\n| C |", `1:6: key "H": expected a note name`},
		{"key:\n| C |", `1:5: key "":`},
		{key + "meter:  7/8\n| C | G F E |", `2:9: meter "7/8" is not one of`},
		{key + "tempo: fast\n| C |", `2:8: tempo "fast" is not a number`},
		{"upbeat: 4\n" + key + "| C |", `1:9: upbeat "4" is not a number of beats below the 4 of a bar`},
		{"upbeat: -1\n" + key + "| C |", `1:9: upbeat "-1" is not`},
		{"upbeat: NaN\n" + key + "| C |", `1:9: upbeat "NaN" is not`},
		{"upbeat: 1 cup\n" + key + "| C |", `1:9: upbeat "1 cup" is not`},
		{"upbeat: 0.3\n" + key + "| C |", `1:9: upbeat "0.3" is no whole number of sixteenths`},
		// sections
		{key + "[]\n| C |", "2:1: this is no section name"},
		{key + "[Verse\n| C |", "2:1: this is no section name"},
		{key + "[Verse] C F\n| C |", "2:1: a section name stands alone on its line"},
		// bars
		{key + "| C | Hm |", `2:7: chord "Hm": expected a note name, A to G, not "H"; the note H is called B here: Bm`},
		{key + "| C | Fism7 |", `2:8: chord "Fism7": "ism7" is no chord type known here; after the root F write nothing (major), m, 7, maj7, m7, dim, aug, sus4, 6, 9 and the like, then /bass; write it as F#m7`},
		{key + "| C | Es |", `2:8: chord "Es": "s" is no chord type known here; after the root E write nothing (major), m, 7, maj7, m7, dim, aug, sus4, 6, 9 and the like, then /bass; write it as Eb`},
		{key + "| C | Cmj7 |", `2:8: chord "Cmj7": "mj7" is no chord type known here; after the root C write nothing (major), m, 7, maj7, m7, dim, aug, sus4, 6, 9 and the like, then /bass; write it as Cmaj7`},
		{key + "| C | am7 |", `2:7: chord "am7": expected a note name, A to G, not "a"; chords begin with a capital letter: Am7`},
		{key + "| C | F#zz |", `2:9: chord "F#zz": "zz" is no chord type`},
		{key + "| C | F♯m7/♭ |", `2:12: chord "F♯m7/♭": the bass after / must be a note`},
		{key + "| C | (G7) |", `2:7: chord "(G7)": expected a note name, A to G, not "("; only the upbeat may stand in parentheses; write G7`},
		{key + "| C... |", `2:4: chord "C...": "..." is no chord type known here`},
		{key + "| From this valley |", `2:4: chord "From": "rom" is no chord type known here`},
		{key + "| C |  | F |", "2:8: this bar is empty; write % to repeat the bar before"},
		{key + "||| C |", "2:1: too many barlines in a row"},
		{key + "|", "2:1: this line has barlines but no bars"},
		{key + "| % |", "2:3: % has no bar before it to repeat"},
		{key + "upbeat: 1\n(G) | % |", "3:7: % has no bar before it to repeat"},
		{key + "| C % |", `2:5: chord "%": expected a note name, A to G, not "%"; % stands alone in its bar`},
		{key + "| . C . . |", "2:3: there is no chord before this dot to go on"},
		{key + "C | G |", "2:1: something stands before the first barline, but the chart has no upbeat"},
		{key + "C G7 C\n", "2:1: these chords stand without barlines"},
		{key + "| C | G |\nC G7 C\n", "3:1: these chords stand without barlines"},
		// beats
		{key + "meter: 3/4\n| C | C G |", "3:7: 2 chords do not share the 3 beats of a bar of 3/4 evenly; write one chord or dot for each beat, as in C . G"},
		{key + "meter: 5/4\n| C G |", "3:3: 2 chords do not share the 5 beats of a bar of 5/4 evenly; write one chord or dot for each beat, as in C . . G ."},
		{key + "| C F G |", "2:3: 3 chords do not share the 4 beats of a bar of 4/4 evenly; write one chord or dot for each beat, as in C . F G"},
		{key + "| C . G |", "2:3: too few beats: 3 beats are written, a bar of 4/4 has 4"},
		{key + "| . |", "2:3: there is no chord"},
		{key + "| C | . |", "2:7: too few beats: 1 beat is written, a bar of 4/4 has 4; write one chord or dot for each beat"},
		{key + "| C F G C F |", "2:3: too many beats: 5 are written, a bar of 4/4 has 4"},
		{key + "| C . . . . . . . . |", "2:3: too many beats: 9 are written"},
		{key + "meter: 6/8\n| C . . |", "3:3: too many beats: 3 are written, a bar of 6/8 has 2"},
		{key + "upbeat: 2\n(C F G) | C |", "3:2: too many beats: 3 are written, the upbeat has 2"},
		{key + "upbeat: 1.5\n(C F) | C |", "3:2: too many beats: 2 are written, the upbeat has 1.5"},
		{key + "| " + strings.Repeat("C ", 99) + "|", "2:3: too many beats: 99 are written"},
		// repeats
		{key + "| C :|", "2:3: a repeat ends here that never began"},
		{key + ":| C |", "2:1: a repeat ends here before it began"},
		{key + "upbeat: 1\nC :|\nC |", "3:3: a repeat ends here before it began"},
		{key + "upbeat: 1\nC :| C |", "3:3: a repeat ends here before it began"},
		{key + "|: C | F |", "2:4: the repeat that begins in bar 1 never ends"},
		{key + "|: C |\n[B]\n| F :|", "2:4: the repeat that begins in bar 1 never ends"},
		{key + "|: C |: F :|", "2:9: a repeat begins here within the one from bar 1"},
		{key + "| C | F |:", "2:9: nothing follows this repeat sign"},
		{key + "| C |1. F :|2. G |", "2:9: ending 1 stands outside a repeat"},
		{key + "|: C |2. F :|1. G |", "2:10: ending 2 stands where ending 1 should"},
		{key + "|: C |1. F |2. G |", "2:16: ending 2 begins before ending 1 repeats; write :|2. here"},
		{key + "|: C |1. F :| G |", "2:15: ending 2 is missing: ending 1 repeats; write |2. after the :|"},
		{key + "|: C |1. F :|2. G :|", "2:17: ending 2 repeats, but no ending 3 follows"},
		{key + "|: C |1. F :| x3 |2. G |", "2:10: x3 stands in a repeat with endings"},
		{key + "|: C |1,2. F :|3. G |", "2:7: endings have one number each"},
		{key + "|: C :| x1", "2:9: a repeat is played 2 to 99 times"},
		{key + "|: C :| x1000000000000000000000", "2:9: a repeat is played 2 to 99 times"},
		// tune
		{key + "| C |\nm: CDEF", "3:4: the notes last 2 beats, a bar of 4/4 has 4 beats; lengthen a note or add the rest z4; if this is an upbeat, add the heading upbeat: 2"},
		{key + "| C |\n  m:  C8C/ |", "3:7: the notes last 4.25 beats, a bar of 4/4 has 4 beats; take 0.25 beats away, or put a | where the bar ends"},
		{key + "meter: 6/8\n| C |\nm: C3 D2", "4:4: the notes last 1.667 beats, a bar of 6/8 has 2 beats; lengthen a note or add the rest z;"},
		{key + "| C | F |\nm: C8 | D", "3:9: the notes last 0.5 beats, a bar of 4/4 has 4 beats; lengthen a note or add the rest z7"},
		{key + "upbeat: 1\n(G7) | C |\nm: CDE | C8", "4:4: the notes last 1.5 beats, the upbeat has 1 beat; take 0.5 beats away"},
		{key + "upbeat: 1\n(G7) | C |\nm: C8 |", "4:4: the tune has 1 bar, its line of bars 2; write the notes of every bar"},
		{key + "| C | F |\nm: C8 |", "3:4: the tune has 1 bar, its line of bars 2"},
		{key + "| C |\nm: C8 | C8", "3:9: the tune has 2 bars, its line of bars 1"},
		{key + "| C |\nm:", "3:3: the tune has 0 bars"},
		{key + "m: C8 | J8\n| C | C |", "2:9: 'J' is no note"},
		{key + "m: C8\n\n| C |", "2:1: this tune stands with no bars"},
		{key + "m: C8\n[A]\n| C |", "2:1: this tune stands with no bars"},
		{key + "| C |\nm: C8\nm: D8", "4:1: this tune stands with no bars"},
		{key + "m: C8\nm: D8\n| C |", "2:1: this tune stands with no bars; write it directly under its line of bars"},
		{key + "| C |\nm: C8\nla\nm: D8 | E", "5:1: this tune stands with no bars"},
		{"m: C8\n| C |", "1:1: the chart names no key"},
		{"upbeat: 9\nm: C8\n| C |", "1:9: upbeat"},
		{key + "| C |\nm: [CE]8", "3:4: a tune is one note at a time; write its highest note alone"},
		{key + "unit: 1/3\n| C |", `2:7: unit "1/3" is not the value of a note; write it as in unit: 1/8`},
		{key + "unit: 1/128\n| C |", `2:7: unit "1/128"`},
		{key + "note length: 1/8\n| C |", `2:1: unknown heading "note length"; did you mean unit:?`},
		// words
		{key + "[A]\nsing out\n| C |", "3:1: these words stand under no bars"},
		{key + "| C | | F |\nsing out\nw: more | words", "2:7: this bar is empty"},
		{key + "| C |\nF G\nsing out\n", "3:1: these chords stand without barlines"},
		{key + "| C |\n\nsing out", "4:1: these words stand under no bars"},
		{key + "w: sing", "2:1: these words stand under no bars"},
		{key + "| C | F |\nw: a | b | c", "3:1: words for 3 bars stand under 2"},
		{key + "| C |\n" + strings.Repeat("la\n", 21), "23:1: more than 20 lines of words"},
		// no text at all
		{key + "| C\x00 |", "2:4: this is not text: it holds the control character U+0000"},
		{key + "| Caf\xe9 |", "2:6: this is not UTF-8 text"},
		{key + "|: " + strings.Repeat("C | ", 200) + "C :| x99", "1:1: with its repeats the chart is longer than 10000 bars"},
		{key + strings.Repeat("| C | C |\n", MaxBars/2+1), "5002:3: the chart is longer than 10000 bars"},
	} {
		got := failure(t, c.src)
		assert.True(t, strings.HasPrefix(got[0].Error(), c.want), "%q\n want %s\n got  %s", short(c.src), c.want, got[0])
		assert.Len(t, got, 1, "%q: %v", short(c.src), got)
	}
}

func TestSeveralErrorsAtOnce(t *testing.T) {
	got := failure(t, "temppo: 90\n| C | Hm |\n| am |\nlate words\n\nand words\n")
	var all []string
	for _, e := range got {
		all = append(all, fmt.Sprintf("%d:%d", e.Line, e.Col))
	}
	assert.Equal(t, []string{"1:1", "1:1", "2:7", "3:3", "6:1"}, all)

	_, err := Parse([]byte("key: C\n"+strings.Repeat("| H |\n", 50)), "a.chart")
	var many source.Errors
	require.ErrorAs(t, err, &many)
	assert.Len(t, many, 10)
	assert.True(t, strings.HasPrefix(err.Error(), "a.chart:2:3: chord"), err)
	assert.Equal(t, 9, strings.Count(err.Error(), "\n"))
	assert.Equal(t, 29, strings.Count(many.Show(), "\n"))
	_, err = Parse([]byte("key: C\n"+strings.Repeat("| H ", 50)), "")
	require.ErrorAs(t, err, &many)
	assert.Len(t, many, 10)
}

func TestShowPointsAtThePlace(t *testing.T) {
	_, err := Parse([]byte("key: C\n\t| B♭ | Gx |\n"), "tune.chart")
	var e *source.Error
	require.ErrorAs(t, err, &e)
	lines := strings.Split(e.Show(), "\n")
	require.Len(t, lines, 3)
	assert.Equal(t, e.Error(), lines[0])
	assert.Equal(t, "    \t| B♭ | Gx |", lines[1])
	assert.Equal(t, "    \t        ^", lines[2])

	long := failure(t, "key: C\n"+strings.Repeat("| C ", 100)+"| H |"+strings.Repeat(" C |", 100))[0]
	lines = strings.Split(long.Show(), "\n")
	at := len([]rune(lines[2])) - 1
	assert.Equal(t, "H", string([]rune(lines[1])[at]))
	assert.LessOrEqual(t, len(lines[1]), 4+120)

	assert.NotContains(t, failure(t, "\xff\xfe")[0].Show(), "\n")
}
