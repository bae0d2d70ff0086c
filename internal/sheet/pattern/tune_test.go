package pattern

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCellsOfTheTune(t *testing.T) {
	for text, want := range map[string]Cell{
		"tu":       {Kind: Tune},
		">tu":      {Kind: Tune, Accent: true},
		"tu'":      {Kind: Tune, Octave: 1},
		"tu,<":     {Kind: Tune, Octave: -1, Early: true},
		"tub":      {Kind: Tune, Blue: true},
		"~tub<+ch": {Kind: Tune, Roll: true, Blue: true, Early: true, Under: UnderChord},
		"tu+*":     {Kind: Tune, Under: UnderTone},
		"tu+3":     {Kind: Tune, Under: Thirds},
		"tu+6":     {Kind: Tune, Under: Sixths},
		"tu'+8":    {Kind: Tune, Octave: 1, Under: Octaves},
	} {
		got, err := parseCell(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
		assert.Equal(t, text, got.String())
	}
	for text, offset := range map[string]int{"tux": 2, "tu<b": 2, "tu+5": 2, "tub'x": 4, "tu+": 2, "tu<<": 2, "tu,,,,": 2} {
		_, err := parseCell(text)
		var ce *cellError
		require.ErrorAs(t, err, &ce, text)
		assert.Equal(t, offset, ce.offset, text)
	}
}

func TestWhereTheTuneCannotStand(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"left hand":      {file("left: 1 . tu ."), "x.pattern:4:11: the left hand cannot play the tune"},
		"a quarter soon": {file("right: tu . tu< ."), "x.pattern:4:13: on a grid of quarters the tune would come too early"},
		"a fifth under":  {file("right: tu . tu+5 ."), `x.pattern:4:15: "5" cannot lie under the tune`},
		"in front":       {file("right: <tu . tu ."), `x.pattern:4:8: "<tu" is not a cell`},
		"an intro":       {"part: intro\n" + file("right: tu . . ."), "the tune has not begun in an intro"},
	} {
		_, err := Parse([]byte(c.text), "x.pattern")
		assert.ErrorContains(t, err, c.want, name)
	}
	_, err := Parse([]byte(file("right: tu+5 . . .")), "x.pattern")
	assert.ErrorContains(t, err, "the tune is tu, tub", "the forms of its kind")
}

func TestTexturesOfShippedPatterns(t *testing.T) {
	for texture, names := range map[Texture][]string{
		Blocks:       {"block-whole", "driving-eighths", "ballad-syncopated", "thumb-pulse", "rootless-charleston", "spread-whole", "inversions-climb", "rolled-whole"},
		BassAndChord: {"two-beat", "waltz", "waltz-one-hand", "stride", "ragtime-octaves", "country-two-beat", "afterbeats", "bass-then-middle"},
		Broken:       {"broken-up", "low-high-middle-high", "broken-middle", "broken-octaves", "broken-fifths", "fifth-and-octave", "twelve-eight-broken"},
		Arpeggio:     {"arpeggio-wave", "arpeggio-open-tenth", "arpeggio-two-octaves", "nocturne", "harp-wave", "five-wave"},
		BassLine:     {"walking-quarters", "walking-scale", "boogie-climb", "boogie-rocking", "shuffle", "tresillo", "habanera"},
		Drone:        {"bagpipe-drone", "pedal-tonic", "pedal-dominant"},
		Singing:      {"tune-full", "tune-syncopated", "tune-blues", "tune-waltz"},
	} {
		for _, name := range names {
			p, err := shipped(t).Find(name)
			require.NoError(t, err)
			assert.Equal(t, texture, p.Texture(), name)
		}
	}
	for i, word := range Textures() {
		assert.Equal(t, word, Texture(i).String())
	}
}

// What a list of patterns must offer.
func TestShippedPatternsUseTheWholeLanguage(t *testing.T) {
	used := map[string]bool{}
	for _, p := range shipped(t).All() {
		for h := range p.Rows {
			for _, c := range p.Rows[h] {
				used["roll"] = used["roll"] || c.Roll
				used["accent"] = used["accent"] || c.Accent
				if c.Kind == Whole {
					used[Cell{Kind: Whole, Inversion: c.Inversion, Shape: c.Shape}.String()] = true
				}
				if c.Kind == Tune {
					used["tune"+c.Under.String()] = true
					used["early"] = used["early"] || c.Early
					used["blue"] = used["blue"] || c.Blue
				}
			}
		}
	}
	for _, want := range []string{"roll", "accent", "ch", "ch0", "ch1", "ch2", "chn", "cho", "chd", "chs", "tune", "tune+ch", "tune+*", "tune+3", "tune+6", "tune+8", "early", "blue"} {
		assert.True(t, used[want], want)
	}
}
