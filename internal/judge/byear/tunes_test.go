package byear

import (
	"testing"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// tuneOf is a tune as sounding.Phrases reads it.
func tuneOf(t testing.TB, text string) *Tune {
	t.Helper()
	return New(sounding.Phrases(t, text), pitch.Key{})
}

// Traditional tunes, by phrase.
const (
	frereJacques = `C4 D4 E4 C4 / C4 D4 E4 C4 / E4 F4 G4 / E4 F4 G4 /
		G4 A4 G4 F4 E4 C4 / G4 A4 G4 F4 E4 C4 / C4 G3 C4 / C4 G3 C4`
	saints = `C4 E4 F4 G4 / C4 E4 F4 G4 / C4 E4 F4 G4 E4 C4 E4 D4 /
		E4 E4 D4 C4 C4 E4 G4 G4 G4 F4 / E4 F4 G4 E4 C4 D4 C4`
	clementine = `C4 C4 C4 G3 E4 E4 E4 C4 / C4 E4 G4 G4 F4 E4 D4 /
		D4 E4 F4 F4 E4 D4 E4 C4 / C4 E4 D4 G3 B3 D4 C4`
	auldLangSyne = `C4 F4 F4 F4 A4 G4 F4 G4 / A4 F4 F4 A4 C5 D5 /
		D5 C5 A4 A4 F4 G4 F4 G4 / A4 F4 D4 D4 C4 F4`
)

// tunes are those above and the demo charts'.
func tunes(t testing.TB) map[string]*Tune {
	t.Helper()
	all := map[string]*Tune{
		"Frère Jacques": tuneOf(t, frereJacques), "When the Saints": tuneOf(t, saints),
		"Clementine": tuneOf(t, clementine), "Auld Lang Syne": tuneOf(t, auldLangSyne),
	}
	for name, c := range material.DemoCharts(t) {
		if s, err := score.Tune(c, score.Options{}); err == nil {
			all[name] = New(s.Melody, s.Key)
		}
	}
	return all
}
