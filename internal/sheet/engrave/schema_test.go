package engrave_test

import (
	"maps"
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/engrave"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/outside"
)

// Every shipped pattern over one chart that it fits, and every chart with all its
// parts, by the schema 3.0.
func TestTheSchemaTakesAll(t *testing.T) {
	outside.NeedsSchemas(t)
	files := map[string][]byte{}
	charts := maps.Collect(material.DemoCharts(t))
	for _, p := range material.Catalogue(t).Of(pattern.Accompaniment) {
		for _, name := range fitting(charts, p, 1) {
			s, err := score.Build(charts[name], p, score.Options{})
			require.NoError(t, err)
			files[p.Name+"-"+name] = engrave.MusicXML(s, engrave.Options{})
		}
	}
	for name, c := range material.DemoCharts(t) {
		if c.Pattern != "" {
			s, _ := withParts(t, name)
			files[name] = engrave.MusicXML(s, engrave.Options{})
		}
	}
	c := material.Chart(t, "title: Ties & <signs>\nby: \"nobody\"\nkey: C#m\nmeter: 3/4\n| N.C. | C#mMaj7 . G#7b9/B# | Emaj7#5 A7sus4 F#m6/9 |\nm: | (3Ggg G4- | G6 | z6 |\n")
	key := pitch.Key{Tonic: pitch.NoteAtFifths(3), Minor: true}
	s, err := score.Build(c, material.Shipped(t, "waltz"), score.Options{Key: &key, Only: score.LeftAlone})
	require.NoError(t, err)
	files["odd"] = engrave.MusicXML(s, engrave.Options{})
	outside.ValidMusicXML(t, files)
}
