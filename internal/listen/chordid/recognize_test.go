package chordid

import (
	"math/bits"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

func setOf(keys ...pitch.Num) (chord.Set, pitch.Class) {
	var s chord.Set
	for _, k := range keys {
		s = s.With(k.Class())
	}
	return s, keys[0].Class()
}

func name(t *testing.T, r *Recognizer, key string, keys ...pitch.Num) string {
	t.Helper()
	k, err := pitch.ParseKey(key)
	require.NoError(t, err)
	return r.Best(setOf(keys...)).Chord(k).String()
}

// The names of Open Music Theory v1 and v2, and of Music Theory for the
// 21st-Century Classroom 6.3; octaves chosen here.
func TestNamesOfTheHandbooks(t *testing.T) {
	r := New()
	for _, c := range []struct {
		key  string
		keys []pitch.Num
		want string
	}{
		{"C", []pitch.Num{48, 52, 55}, "C"},
		{"C", []pitch.Num{48, 52, 56}, "Caug"},
		{"Cm", []pitch.Num{51, 55, 60}, "Cm/Eb"},
		{"Cm", []pitch.Num{54, 60, 63}, "Cdim/Gb"},
		{"E", []pitch.Num{54, 57, 63}, "D#dim/F#"},
		{"F", []pitch.Num{57, 60, 65}, "F/A"},
		{"F", []pitch.Num{57, 62, 65}, "Dm/A"},
		{"Ab", []pitch.Num{49, 55, 58}, "Gdim/Db"},
		{"C", []pitch.Num{54, 60, 64, 67}, "C/F#"},
		{"A", []pitch.Num{57, 61, 64}, "A"},
		{"A", []pitch.Num{49, 52, 57}, "A/C#"},
		{"A", []pitch.Num{52, 57, 61}, "A/E"},
		{"C", []pitch.Num{57, 60, 64, 67}, "Am7"},
		{"G", []pitch.Num{55, 59, 62, 66}, "Gmaj7"},
		{"Em", []pitch.Num{47, 51, 54, 57}, "B7"},
		{"A", []pitch.Num{54, 57, 61, 64}, "F#m7"},
		{"Cm", []pitch.Num{50, 53, 56, 60}, "Dm7b5"},
		{"C", []pitch.Num{53, 55, 59, 62}, "G7/F"},
		{"Am", []pitch.Num{52, 56, 59, 62}, "E7"},
		{"Db", []pitch.Num{56, 60, 63, 66}, "Ab7"},
		{"Cm", []pitch.Num{59, 62, 65, 68}, "Bdim7"},
		{"Am", []pitch.Num{56, 59, 62, 65}, "G#dim7"},
		{"C", []pitch.Num{60, 65, 67}, "Csus4"},
		{"C", []pitch.Num{60, 62, 67}, "Csus2"},
		{"C", []pitch.Num{48, 55, 64}, "C"},
		{"C", []pitch.Num{53, 56, 60}, "Fm"},
		{"C", []pitch.Num{54, 57, 60}, "F#dim"},
		{"Eb", []pitch.Num{53, 57, 60, 63}, "F7"},
		{"C", []pitch.Num{48, 52, 55, 58}, "C7"},
		{"Cm", []pitch.Num{53, 56, 61}, "Db/F"},
		{"C", []pitch.Num{49, 53, 56, 59}, "Db7"},
		{"C", []pitch.Num{55, 60, 62}, "Gsus4"},
		// Left hand of the Mazurka op. 6 no. 2 and the Maple Leaf Rag (music21 corpus).
		{"C#m", []pitch.Num{48, 56, 63, 66}, "G#7/B#"},
		{"Ab", []pitch.Num{46, 58, 51, 55, 61}, "Eb7/Bb"},
	} {
		assert.Equal(t, c.want, name(t, r, c.key, c.keys...), "%v in %s", c.keys, c.key)
	}
}

// Common practice, no source.
func TestFewNotes(t *testing.T) {
	r := New()
	assert.Equal(t, "C5", name(t, r, "C", 48, 55))
	assert.Equal(t, "C5/G", name(t, r, "C", 43, 48))
	assert.Equal(t, "C", name(t, r, "C", 48, 52), "a third implies its triad")
	assert.Equal(t, "C/E", name(t, r, "C", 52, 60))
	assert.Equal(t, "C7", name(t, r, "F", 48, 52, 58), "the fifth may be left out")
	assert.False(t, r.Best(setOf(60)).Named(), "one note is a note")
	assert.False(t, r.Best(setOf(60, 62)).Named(), "a second is no chord")
	assert.False(t, r.Best(setOf(60, 61, 62, 63)).Named(), "a cluster is no chord")
	assert.False(t, r.Best(0, 0).Named())
	assert.Equal(t, pitch.Class(4), r.Best(setOf(64)).Bass)
}

// What the bass is of a chord on C: the root costs nothing, third, fifth and seventh
// little, what lies above them more, what is foreign most.
func TestBassesOfAChord(t *testing.T) {
	for _, c := range []struct {
		typ  chord.Type
		bass string
		want Cost
	}{
		{chord.Major, "C", 0}, {chord.Major, "E", triadOver}, {chord.Major, "G", triadOver}, {chord.Major, "F#", foreignBass},
		{chord.Dominant, "Bb", triadOver}, {chord.MajorSeventh, "B", triadOver},
		{chord.Ninth, "D", colourOver}, {chord.Ninth, "E", triadOver}, {chord.Ninth, "Bb", triadOver}, {chord.Thirteenth, "A", colourOver},
		{chord.Sus4, "F", colourOver}, {chord.Power, "G", colourOver},
		{chord.Sixth, "A", sixthOver}, {chord.Augmented, "E", symmetric}, {chord.DiminishedSeventh, "Eb", symmetric},
	} {
		bass, err := pitch.ParseNote(c.bass)
		require.NoError(t, err)
		assert.Equal(t, c.want, overCost(c.typ, int(bass.Class())), "%s over %s", c.typ.Name(), c.bass)
	}
}

func TestAddedTonesAreTold(t *testing.T) {
	got := New().Best(setOf(48, 52, 55, 61))
	assert.Equal(t, chord.Major, got.Type)
	assert.Equal(t, chord.Set(1<<1), got.Added)
}

type tonalRow struct {
	root, typ string
	inversion int
	keys      []pitch.Num
	names     []string
}

func tonalRows(t testing.TB) []tonalRow {
	t.Helper()
	raw, err := os.ReadFile("testdata/tonal-detect.tsv")
	require.NoError(t, err)
	var rows []tonalRow
	for _, line := range strings.Split(strings.TrimSpace(string(raw)), "\n") {
		if line[0] == '#' {
			continue
		}
		f := strings.Split(line, "\t")
		inv, err := strconv.Atoi(f[2])
		require.NoError(t, err)
		row := tonalRow{root: f[0], typ: f[1], inversion: inv, names: strings.Split(f[4], ", ")}
		for _, k := range strings.Fields(f[3]) {
			n, err := strconv.Atoi(k)
			require.NoError(t, err)
			row.keys = append(row.keys, pitch.Num(n))
		}
		rows = append(rows, row)
	}
	return rows
}

// tonalType maps that library's words for types to ours.
var tonalType = map[string]chord.Type{
	"maj": chord.Major, "min": chord.Minor, "dim": chord.Diminished, "aug": chord.Augmented,
	"7": chord.Dominant, "maj7": chord.MajorSeventh, "m7": chord.MinorSeventh, "dim7": chord.DiminishedSeventh,
	"m7b5": chord.HalfDiminished, "mMaj7": chord.MinorMajor, "6": chord.Sixth, "m6": chord.MinorSixth,
	"sus2": chord.Sus2, "sus4": chord.Sus4, "7sus4": chord.DominantSus4, "add9": chord.Add9,
	"9": chord.Ninth, "m9": chord.MinorNinth, "maj9": chord.MajorNinth,
}

// Types that sound like another type on another root, and why the name that was
// meant is then not always ours. The library itself gives several names for each
// such chord; ours must be one of them.
var soundsLikeAnother = map[string]string{
	"6":    "C6 over A is Am7",
	"m7":   "Am7 over C is C6",
	"m6":   "Cm6 over A is Am7b5",
	"m7b5": "Am7b5 over C is Cm6",
	"sus2": "Csus2 over G is Gsus4",
	"sus4": "Gsus4 over C is Csus2",
	"aug":  "an augmented triad is named from its bass",
	"dim7": "a diminished seventh is named from its bass",
}

// All 876 chords of the general-purpose library tonal 6.4.2 (npm, MIT),
// Chord.detect: 12 roots x 19 types x every inversion. With -v it lists how many
// of each type get the name that was meant, and why the others do not.
func TestAgreesWithTonal(t *testing.T) {
	r := New()
	rows := tonalRows(t)
	require.Len(t, rows, 876)
	type count struct{ same, all int }
	counts := map[string]*count{}
	var types []string
	for _, row := range rows {
		want, known := tonalType[row.typ]
		require.True(t, known, row.typ)
		got := r.Best(setOf(row.keys...))
		root, err := pitch.ParseNote(row.root)
		require.NoError(t, err)
		label := row.root + row.typ + " inversion " + strconv.Itoa(row.inversion)
		assert.Equal(t, row.keys[0].Class(), got.Bass, label)
		if counts[row.typ] == nil {
			counts[row.typ] = &count{}
			types = append(types, row.typ)
		}
		counts[row.typ].all++
		if got.Root == root.Class() && got.Type == want {
			counts[row.typ].same++
			continue
		}
		assert.Contains(t, soundsLikeAnother, row.typ, label)
		assert.True(t, acceptedByTonal(t, row.names, got), "%s: heard root %d as %q, accepted %v", label, got.Root, got.Type.Suffix(), row.names)
	}
	for _, typ := range types {
		why := soundsLikeAnother[typ]
		if counts[typ].same == counts[typ].all {
			why = ""
		}
		t.Logf("%-6s %3d of %3d as meant  %s", typ, counts[typ].same, counts[typ].all, why)
	}
}

func acceptedByTonal(t *testing.T, names []string, got Candidate) bool {
	t.Helper()
	for _, n := range names {
		n, _, _ = strings.Cut(n, "/")
		root, suffix, err := pitch.CutNote(n)
		require.NoError(t, err)
		c, err := chord.Parse("C" + suffix)
		if err == nil && root.Class() == got.Root && c.Type == got.Type {
			return true
		}
	}
	return false
}

// A plain reference: it spells out what read does with bits, tone by tone.
type slowType struct {
	typ           chord.Type
	set, optional chord.Set
}

func slowTypes() []slowType {
	var all []slowType
	for _, t := range chord.Types() {
		all = append(all, slowType{t, t.Set(), t.Optional()})
	}
	return all
}

func slowBest(types []slowType, sounding chord.Set, bass pitch.Class) (best Cost, found bool) {
	best = tooFar
	for root := pitch.Class(0); root < 12; root++ {
		for _, typ := range types {
			if cost, ok := typ.cost(root, sounding, bass); ok && cost < best {
				best, found = cost, true
			}
		}
	}
	return best, found
}

func (s slowType) cost(root pitch.Class, sounding chord.Set, bass pitch.Class) (Cost, bool) {
	if !sounding.Has(root) || bits.OnesCount16(uint16(sounding)) < 2 {
		return 0, false
	}
	cost := Cost(0)
	counted := false
	for c := pitch.Class(0); c < 12; c++ {
		above := pitch.Class(c.Above(root))
		in, sounds := s.set.Has(above), sounding.Has(c)
		if in && sounds && !counted {
			cost += typeCost[s.typ] + overCost(s.typ, bass.Above(root))
			counted = true
		}
		switch {
		case in && !sounds && !s.optional.Has(above):
			return 0, false
		case in && !sounds:
			cost += missingFifth
		case !in && sounds && c != bass:
			cost += foreignTone
		}
	}
	return cost, true
}

func TestFastAgreesWithSlow(t *testing.T) {
	r := New()
	types := slowTypes()
	for set := chord.Set(1); set < 4096; set++ {
		for bass := pitch.Class(0); bass < 12; bass++ {
			if !set.Has(bass) {
				continue
			}
			got := r.Best(set, bass)
			cost, found := slowBest(types, set, bass)
			require.Equal(t, found, got.Named(), "%012b over %d", set, bass)
			require.Equal(t, cost, got.Cost, "%012b over %d", set, bass)
			all := r.All(set, bass)
			require.Equal(t, found, len(all) > 0)
			if found {
				require.Equal(t, cost, all[0].Cost)
			}
		}
	}
}

func TestEveryTypeIsHeardFromItsRoot(t *testing.T) {
	r := New()
	for _, typ := range chord.Types() {
		for root := pitch.Class(0); root < 12; root++ {
			got := r.Best(typ.Set().Up(int(root)), root)
			assert.Equal(t, typ, got.Type, typ.Name())
			assert.Equal(t, root, got.Root, typ.Name())
		}
	}
}

func TestRepeatedNamingAllocatesNothing(t *testing.T) {
	r := New()
	set, bass := setOf(48, 52, 55, 58, 62)
	r.Best(set, bass)
	assert.Zero(t, testing.AllocsPerRun(100, func() { r.Best(set, bass) }))
}

func BenchmarkBestOfTenNotes(b *testing.B) {
	r := New()
	set, bass := setOf(36, 43, 48, 52, 55, 58, 62, 64, 67, 70)
	b.ReportAllocs()
	for b.Loop() {
		r.Best(set, bass)
	}
}

func BenchmarkBestMetForTheFirstTime(b *testing.B) {
	r := New()
	set, bass := setOf(36, 43, 48, 52, 55, 58, 62, 64, 67, 70)
	b.ReportAllocs()
	for b.Loop() {
		r.work(set, bass)
	}
}
