package transcribe

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Blocks struck anew on another bass are positions of their own; what lies
// between notes of the bass is not (common practice, no source).
func TestPositionsOfBlocks(t *testing.T) {
	for _, c := range []struct{ name, notes, want string }{
		{"a bass under whole-bar blocks", `
			0 4 C3 E4 G4 C5
			4 4 E3 E4 G4 C5
			8 4 G3 E4 G4 C5
			12 4 C3 E4 G4 C5
			16 4 F3 F4 A4 C5
			20 4 A3 F4 A4 C5
			24 4 G3 D4 G4 B4
			28 4 C3 E4 G4 C5`,
			"0:C 4:C/E 8:C/G 12:C 16:F 20:F/A 24:G 28:C"},
		{"a bass under half-bar blocks", `
			0 2 C3 E4 G4 C5
			2 2 E3 E4 G4 C5
			4 2 G3 E4 G4 C5
			6 2 C3 E4 G4 C5
			8 2 F3 F4 A4 C5
			10 2 A3 F4 A4 C5
			12 2 G3 D4 G4 B4
			14 2 C3 E4 G4 C5`,
			"0:C 2:C/E 4:C/G 6:C 8:F 10:F/A 12:G 14:C"},
		{"the right hand alone", `
			0 4 C4 E4 G4
			4 4 E4 G4 C5
			8 4 G4 C5 E5
			12 4 C4 E4 G4
			16 4 F4 A4 C5
			20 4 C4 F4 A4
			24 4 B3 D4 G4
			28 4 C4 E4 G4`,
			"0:C 4:C/E 8:C/G 12:C 16:F 20:F/C 24:G/B 28:C"},
		{"the right hand alone, two beats each", `
			0 2 C4 E4 G4
			2 2 E4 G4 C5
			4 2 G4 C5 E5
			6 2 C4 E4 G4
			8 2 F4 A4 C5
			10 2 C4 F4 A4
			12 2 B3 D4 G4
			14 2 C4 E4 G4`,
			"0:C 2:C/E 4:C/G 6:C 8:F 10:F/C 12:G/B 14:C"},
		{"the bass not struck again", `
			0 1.9 C3 E4 G4 C5
			2 1.9 E4 G4 C5
			4 1.9 A2 F4 A4 C5
			6 1.9 F4 A4 C5
			8 1.9 G2 F4 G4 B4
			10 1.9 F4 G4 B4
			12 4 C3 E4 G4 C5`,
			"0:C 4:F/A 8:G7 12:C"},
		{"bass, chord, chord", `
			0 0.9 C3
			1 0.9 E4 G4 C5
			2 0.9 E4 G4 C5
			3 0.9 F3
			4 0.9 F4 A4 C5
			5 0.9 F4 A4 C5
			6 0.9 G3
			7 0.9 D4 G4 B4
			8 0.9 D4 G4 B4
			9 2.9 C3 E4 G4 C5`,
			"0:C 3:F 6:G 9:C"},
		{"bass and chord in turn", `
			0 0.9 C3
			1 0.9 E4 G4 C5
			2 0.9 G2
			3 0.9 E4 G4 C5
			4 0.9 F2
			5 0.9 F4 A4 C5
			6 0.9 C3
			7 0.9 F4 A4 C5
			8 4 C3 E4 G4 C5`,
			"0:C 4:F 8:C"},
		{"an Alberti bass", `
			0 0.5 C4
			0.5 0.5 G4
			1 0.5 E4
			1.5 0.5 G4
			2 0.5 C4
			2.5 0.5 G4
			3 0.5 E4
			3.5 0.5 G4
			4 0.5 B3
			4.5 0.5 G4
			5 0.5 D4
			5.5 0.5 G4
			6 0.5 B3
			6.5 0.5 G4
			7 0.5 D4
			7.5 0.5 G4
			8 4 C4 E4 G4`,
			"0:C 4:G/B 8:C"},
	} {
		p := score(t, c.notes)
		if c.name == "bass, chord, chord" {
			p.Beats = beatsAt(beat, 0, len(p.Beats), 3)
		}
		segments, _ := Chords(p, Options{})
		assert.Equal(t, c.want, labels(segments), c.name)
	}
}

func TestANinthInPassingIsNoColour(t *testing.T) {
	for name, notes := range map[string]string{
		"in a broken figure": "0 0.5 C3\n0.5 0.5 G3\n1 0.5 C4\n1.5 0.5 E4\n2 0.5 D4\n2.5 0.5 E4\n3 0.5 C4\n3.5 0.5 G3",
		"in a tune":          "0 4 C3 E4 G4\n0 1 C5\n1 0.5 D5\n1.5 0.5 E5\n2 2 G5",
		"in one beat":        "0 1 C3 E4 G4 C5\n1 1 C3 E4 G4 D5\n2 2 C3 E4 G4 C5",
	} {
		segments, _ := Chords(score(t, notes+"\n4 4 G2 D4 G4 B4\n8 4 C3 E4 G4 C5"), Options{})
		assert.Equal(t, "0:C 4:G 8:C", labels(segments), name)
	}
}

// Colours struck with a block and held as long are part of its name (common
// practice, no source).
func TestColoursOfBlocks(t *testing.T) {
	for _, c := range []struct{ name, notes, want string }{
		{"a flat ninth", "A2 G3 Bb3 C#4 E4", "A7b9"},
		{"an added ninth", "C3 E4 G4 D5", "Cadd9"},
		{"an added ninth, close", "G2 B3 D4 G4 A4", "Gadd9"},
		{"a ninth", "G2 F3 A3 B3 D4", "G9"},
		{"a sixth", "C3 E4 G4 A4", "C6"},
		{"a sixth with a ninth", "C3 E4 G4 A4 D5", "C6/9"},
		{"a thirteenth without its fifth", "G2 F3 B3 E4", "G13"},
		{"a flat ninth without a fifth", "G2 F3 Ab3 B3", "G7b9"},
		{"a minor seventh stays one", "A2 E4 G4 C5", "Am7"},
		{"a triad over a step below stays one", "Bb2 C4 E4 G4", "C/Bb"},
	} {
		for _, length := range []string{"4", "3", "2"} {
			if length == "2" && strings.Contains(c.want, "add9") {
				continue
			}
			notes := "0 4 C3 E4 G4 C5\n4 " + length + " " + c.notes + "\n8 4 C3 E4 G4 C5"
			segments, _ := Chords(score(t, notes), Options{})
			assert.Equal(t, "0:C 4:"+c.want+" 8:C", labels(segments), c.name)
		}
	}
}
