package firstbass

import (
	"testing"

	"github.com/stretchr/testify/require"

	"undersong/internal/chart"
	"undersong/internal/pitch"
	"undersong/internal/score"
)

// The tunes are traditional, and Aura Lee G. R. Poulton's (1861); from memory.
var tunes = map[string]string{
	"saints": `title: When the Saints Go Marching In
key: C
meter: 4/4
unit: 1/4
upbeat: 3
(C) | C | C | C | C | C | C | G7 | G7 |
m: CEF | G4- | GCEF | G4- | GCEF | G2E2 | C2E2 | D4- | DEED |
| C | C7 | F | F | C | G7 | C | C |]
m: C3C | E2GG | F4- | F2EF | G2E2 | C2D2 | C4- | C4 |]
`,
	"frere-jacques": `title: Frère Jacques
key: C
meter: 4/4
unit: 1/4
| C | C | C | C | C | C | C . G7 . | C . G7 . |]
m: CDEC | CDEC | EFG2 | EFG2 | G/A/G/F/EC | G/A/G/F/EC | CG,C2 | CG,C2 |]
`,
	"clementine": `title: Clementine
key: F
meter: 3/4
unit: 1/4
upbeat: 1
(F) | F | F | F | C7 | C7 | F | C7 | F |]
m: F/F/ | FCA/A/ | AFF/A/ | ccB/A/ | G2G/A/ | BBA/G/ | AFF/A/ | GCE/G/ | F2z |]
`,
	"aura-lee": `title: Aura Lee
key: F
meter: 4/4
unit: 1/4
| F | G7 | C7 | F | F | G7 | C7 | F |
m: CFEF | GDG2 | FEDE | F4 | CFEF | GDG2 | FEDE | F4 |
| F | F | F | F | F7 | G7 | C7 | F |]
m: A2A2 | A4 | AGFG | A4 | AABA | GDG2 | FEAG | F4 |]
`,
	"skip-to-my-lou": `title: Skip to My Lou
key: D
meter: 4/4
unit: 1/4
| D | D | A7 | A7 | D | D | A7 | D |]
m: FFDD | FFA2 | EECC | EEG2 | FFDD | FFA2 | EFGE | F2D2 |]
`,
	"auld-lang-syne": `title: Auld Lang Syne
key: F
meter: 4/4
unit: 1/4
upbeat: 1
(F) | F | C7 | F | Bb | F | C7 | Bb | F |
m: C | F>FFA | G>FGA | F>FAc | d3d | c>AAF | G>FGA | F>DDC | F3d |
| F | C7 | F | Bb | F | C7 | Bb C7 | F |]
m: c>AAF | G>FGd | c>AAc | d3d | c>AAF | G>FGA | F>DDC | F3z |]
`,
	"drunken-sailor": `title: Drunken Sailor
key: Dm
meter: 4/4
unit: 1/4
| Dm | Dm | C | C | Dm | Dm | C | Dm |]
m: AA/A/AA/A/ | ADFA | GG/G/GG/G/ | GCEG | AA/A/AA/A/ | A=Bcd | cAGE | D2D2 |]
`,
	"skye": `title: Skye Boat Song
key: G
meter: 6/8
unit: 1/8
| G Em | Am D7 | G C | G | G Em | Am D7 | G C | G |]
m: D2EDG2 | A2BAd2 | B2ABE2 | D6 | D2EDG2 | A2BAd2 | B2ABE2 | D6 |]
`,
	"mill-race": `title: The Mill Race
key: Am
meter: 2/4
unit: 1/8
| Am | E7 | Am | Dm | Am | E7 | E7 | Am |]
m: A2c2 | B^GEG | A2c2 | d2f2 | e2c2 | B2^G2 | E^F^GB | A4 |]
`,
}

func tuneNames() []string {
	return []string{"saints", "frere-jacques", "clementine", "aura-lee", "skip-to-my-lou", "auld-lang-syne", "drunken-sailor", "skye", "mill-race"}
}

// tuneOf is a score of a tune in a key, or in its own.
func tuneOf(t testing.TB, name, key string) *score.Score {
	t.Helper()
	c, err := chart.Parse([]byte(tunes[name]), name)
	require.NoError(t, err)
	o := score.Options{}
	if key != "" {
		k, err := pitch.ParseKey(key)
		require.NoError(t, err)
		o.Key = &k
	}
	s, err := score.Tune(c, o)
	require.NoError(t, err)
	return s
}
