package chordid

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
)

// situation is what a test says of the context, in words of music.
type situation struct{ key, chart, before, lately string }

func (s situation) context(t *testing.T) (Context, pitch.Key) {
	t.Helper()
	var x Context
	k := pitch.Key{}
	if s.key != "" {
		var err error
		k, err = pitch.ParseKey(s.key)
		require.NoError(t, err)
		x.Key = &k
	}
	parse := func(text string) chord.Chord {
		c, err := chord.Parse(text)
		require.NoError(t, err)
		return c
	}
	if s.chart != "" {
		x.Wanted = parse(s.chart)
	}
	if s.before != "" {
		c := parse(s.before)
		x.Before = Candidate{Root: c.Root.Class(), Type: c.Type, Bass: c.Bass.Class()}
	}
	if s.lately != "" {
		n, err := pitch.ParseNote(s.lately)
		require.NoError(t, err)
		x.Lately = x.Lately.With(n.Class())
	}
	return x, k
}

// Common practice, no source, but where a handbook is named.
func TestContextDecides(t *testing.T) {
	r := New()
	for _, c := range []struct {
		name string
		s    situation
		keys []pitch.Num
		want string
	}{
		{"C6 and Am7 by the bass", situation{key: "C"}, []pitch.Num{48, 52, 55, 57}, "C6"},
		{"C6 and Am7 by the bass", situation{key: "C"}, []pitch.Num{45, 52, 55, 60}, "Am7"},
		{"over A it is Am7, whatever the chart has", situation{key: "C", chart: "C6"}, []pitch.Num{57, 60, 64, 67}, "Am7"},
		{"Am7 over C where the chart has it", situation{key: "C", chart: "Am7/C"}, []pitch.Num{48, 52, 55, 57}, "Am7/C"},
		{"C6 goes on in inversion", situation{key: "C", before: "C6"}, []pitch.Num{52, 55, 57, 60}, "Am7/E"},
		{"sus2 and sus4 by the bass", situation{key: "C"}, []pitch.Num{60, 62, 67}, "Csus2"},
		{"sus2 and sus4 by the bass", situation{key: "C"}, []pitch.Num{55, 60, 62}, "Gsus4"},
		{"sus2 and sus4 by the chart", situation{key: "C", chart: "Gsus4"}, []pitch.Num{60, 62, 67}, "Gsus4/C"},
		{"a diminished seventh from the leading note", situation{key: "Cm"}, []pitch.Num{50, 53, 56, 59}, "Bdim7/D"},
		{"a diminished seventh from the leading note", situation{key: "Am"}, []pitch.Num{50, 53, 56, 59}, "G#dim7/D"},
		{"a diminished seventh without a key", situation{}, []pitch.Num{50, 53, 56, 59}, "Ddim7"},
		{"a diminished seventh as the chart has it", situation{key: "Cm", chart: "Ddim7"}, []pitch.Num{50, 53, 56, 59}, "Ddim7"},
		{"an augmented triad on the dominant", situation{key: "C"}, []pitch.Num{47, 51, 55}, "Gaug/B"},
		{"an augmented triad on the tonic", situation{key: "F"}, []pitch.Num{53, 57, 61}, "Faug"},
		{"an open fifth", situation{key: "C"}, []pitch.Num{48, 55}, "C5"},
		{"an open fifth after its triad", situation{key: "C", before: "C"}, []pitch.Num{48, 55}, "C"},
		{"an open fifth after a minor triad", situation{key: "C", before: "Am"}, []pitch.Num{45, 52}, "Am"},
		{"root and third of a seventh chord go on", situation{key: "C", before: "G7"}, []pitch.Num{43, 53}, "G7"},
		{"rootless after its bass", situation{key: "F", lately: "C"}, []pitch.Num{52, 55, 58, 62}, "C9"},
		{"a bass and then the rest of its seventh chord", situation{key: "C", lately: "A"}, []pitch.Num{60, 64, 67}, "Am7"},
		{"a bass and then its triad", situation{key: "C", lately: "C"}, []pitch.Num{60, 64, 67}, "C"},
		{"rootless as the chart has it", situation{key: "F", chart: "C9"}, []pitch.Num{52, 55, 58, 62}, "C9/E"},
		{"rootless without a hint is another chord", situation{key: "F"}, []pitch.Num{52, 55, 58, 62}, "Em7b5"},
		{"fifthless", situation{key: "C"}, []pitch.Num{43, 53, 59}, "G7"},
		{"a ninth in the bass", situation{key: "C"}, []pitch.Num{43, 57, 60, 65}, "Fadd9/G"},
		{"a bass foreign to every chord (Music Theory for the 21st-Century Classroom 6.3)", situation{key: "C"}, []pitch.Num{54, 60, 64, 67}, "C/F#"},
		{"a slash chord as the chart has it", situation{key: "C", chart: "C/D"}, []pitch.Num{50, 60, 64, 67}, "C/D"},
		{"an added ninth", situation{key: "C"}, []pitch.Num{48, 52, 55, 62}, "Cadd9"},
		{"a borrowed subdominant", situation{key: "C"}, []pitch.Num{53, 56, 60}, "Fm"},
		{"a secondary dominant", situation{key: "C"}, []pitch.Num{52, 56, 59, 62}, "E7"},
		{"the leading-note chord of the dominant (Open Music Theory v1, Applied chords)", situation{key: "C"}, []pitch.Num{54, 57, 60}, "F#dim"},
		{"the cadential six-four (Open Music Theory v1, Classical cadence types)", situation{key: "C"}, []pitch.Num{43, 55, 60, 64}, "C/G"},
	} {
		x, k := c.s.context(t)
		got := r.InContext(setWith(c.keys), c.keys[0].Class(), &x)
		assert.Equal(t, c.want, got.Chord(k).String(), "%s: %v", c.name, c.keys)
	}
}

// Where a symmetric chord is looked for: a diminished seventh on the leading note,
// else on that of the dominant; an augmented triad on the dominant, else the tonic.
func TestWhereSymmetricChordsAreAtHome(t *testing.T) {
	for _, c := range []struct {
		typ       chord.Type
		key, root string
		want      Cost
	}{
		{chord.DiminishedSeventh, "Cm", "B", byFunction}, {chord.DiminishedSeventh, "Cm", "F#", byFunction / 2},
		{chord.DiminishedSeventh, "Cm", "D", 0}, {chord.DiminishedSeventh, "Cm", "C", 0}, {chord.DiminishedSeventh, "Cm", "G", 0},
		{chord.DiminishedSeventh, "A", "G#", byFunction}, {chord.DiminishedSeventh, "A", "D#", byFunction / 2},
		{chord.Augmented, "F", "C", byFunction}, {chord.Augmented, "F", "F", byFunction / 2},
		{chord.Augmented, "F", "E", 0}, {chord.Augmented, "F", "B", 0},
		{chord.Diminished, "Cm", "B", 0}, {chord.Major, "C", "G", 0},
	} {
		x, k := situation{key: c.key}.context(t)
		root, err := pitch.ParseNote(c.root)
		require.NoError(t, err)
		assert.Equal(t, c.want, function(c.typ, root.Class(), x.Key), "%s%s in %s", c.root, c.typ.Suffix(), k)
		assert.Zero(t, function(c.typ, root.Class(), nil), "without a key")
	}
}

func setWith(keys []pitch.Num) chord.Set {
	s, _ := setOf(keys...)
	return s
}

func TestReasonsAddUp(t *testing.T) {
	r := New()
	x, _ := situation{key: "Cm", chart: "Bdim7", before: "Cm"}.context(t)
	for set := chord.Set(3); set < 4096; set += 5 {
		for bass := pitch.Class(0); bass < 12; bass++ {
			if !set.Has(bass) {
				continue
			}
			all := r.Explain(set, bass, &x)
			best := r.InContext(set, bass, &x)
			for i, w := range all {
				sum := Cost(0)
				for _, p := range w.Parts {
					sum += p
				}
				require.Equal(t, w.Cost, sum)
				if i > 0 {
					require.LessOrEqual(t, all[i-1].Cost, w.Cost)
				}
			}
			if len(all) > 0 {
				require.Equal(t, all[0].Candidate, best)
			}
		}
	}
}

// Without any context the context-aware reading is the plain one.
func TestNoContextChangesNothing(t *testing.T) {
	r := New()
	for set := chord.Set(1); set < 4096; set++ {
		for bass := pitch.Class(0); bass < 12; bass++ {
			if set.Has(bass) {
				require.Equal(t, r.Best(set, bass), r.InContext(set, bass, &Context{}), "%012b over %d", set, bass)
			}
		}
	}
}

func TestNamingInContextAllocatesNothing(t *testing.T) {
	r := New()
	x, _ := situation{key: "F", chart: "C9", before: "F"}.context(t)
	set, bass := setOf(48, 52, 55, 58, 62)
	assert.Zero(t, testing.AllocsPerRun(100, func() { r.InContext(set, bass, &x) }))
}

func BenchmarkInContext(b *testing.B) {
	r := New()
	k := pitch.Key{}
	x := Context{Key: &k, Wanted: chord.New(pitch.Note{}, chord.Ninth)}
	set, bass := setOf(36, 43, 48, 52, 55, 58, 62, 64, 67, 70)
	b.ReportAllocs()
	for b.Loop() {
		r.InContext(set, bass, &x)
	}
}

// The diatonic chords of every key, natural and harmonic minor included, are
// heard in root position as the handbooks spell them. The table is the one that
// the Roman numerals are checked against; its head names the sources. Sixth
// chords that sound like a seventh on another root are met as that seventh.
func TestDiatonicChordsAreSpelledInEveryKey(t *testing.T) {
	raw, err := os.ReadFile("../../music/harmony/testdata/diatonic.tsv")
	require.NoError(t, err)
	r := New()
	checked := 0
	for _, line := range strings.Split(strings.TrimSpace(string(raw)), "\n") {
		f := strings.Split(line, "\t")
		if line[0] == '#' || len(f) < 3 {
			continue
		}
		tonic, mode, ok := strings.Cut(f[0], " ")
		require.True(t, ok, line)
		name := tonic
		if strings.Contains(mode, "minor") {
			name += "m"
		}
		k, err := pitch.ParseKey(name)
		require.NoError(t, err, line)
		want, err := chord.Parse(f[2])
		require.NoError(t, err, line)
		x := Context{Key: &k, Before: Candidate{}, Wanted: want}
		got := r.InContext(want.Set(), want.Root.Class(), &x)
		assert.Equal(t, want.String(), got.Chord(k).String(), line)
		if want.Type != chord.Augmented && want.Type != chord.DiminishedSeventh {
			assert.Equal(t, want.String(), r.Best(want.Set(), want.Root.Class()).Chord(k).String(), line)
		}
		checked++
	}
	assert.Greater(t, checked, 400)
}
