package song

import "undersong/internal/music/meter"

// Wish is what a sheet leaves open and its user may say.
type Wish struct {
	Meter        meter.Meter // of a lyric sheet; zero for 4/4
	Tempo        meter.Tempo // felt beats a minute; 0 for the sheet's
	BarsPerChord float64     // of a lyric sheet: 0.5, 1, 2 ...; 0 to find out
	Tune         string      // which tune of a file with several: its number or its title
}
