package cli

import (
	"strconv"
	"strings"

	"undersong/internal/judge/firstbass"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/words"
)

// stretchLine is a firstbass.Stretch in JSON; ui/manual/json.md tells what it holds.
type stretchLine struct {
	Type string     `json:"type"`
	Bar  int        `json:"bar"`
	Beat float64    `json:"beat"`
	Tune []string   `json:"tune"`
	Fits []fitsLine `json:"fits"`
}

type fitsLine struct {
	Bass  string `json:"bass"`
	Why   string `json:"why"`
	Shown bool   `json:"shown,omitempty"`
}

// showBasses tells which basses fit where, and why.
func (a *App) showBasses(h sitting.Heading, tune *score.Score, f format) error {
	speaker := words.NewSpeaker(sitting.NewPiece(h, tune, nil))
	v := speaker.Basses()
	var lines []stretchLine
	for _, s := range v.Theory.Stretches() {
		lines = append(lines, stretchOf(v, &s))
	}
	if f == jsonLines {
		for _, l := range lines {
			if err := a.writeJSONLine(l); err != nil {
				return err
			}
		}
		return nil
	}
	if err := a.writeText(speaker.Headline()); err != nil {
		return err
	}
	return writeTable(a.Out, bassesTable(lines))
}

func stretchOf(v *words.BassWording, s *firstbass.Stretch) stretchLine {
	l := stretchLine{
		Type: "stretch", Bar: v.Score.Bars[s.Bar].Number, Beat: v.Theory.Beat(s),
		Tune: append([]string{}, v.Theory.Notes(s)...), Fits: []fitsLine{},
	}
	for _, i := range s.Fits {
		l.Fits = append(l.Fits, fitsLine{v.Theory.Primary()[i].Root.String(), v.WhyFits(i, s), i == s.Shown})
	}
	return l
}

// bassesTable has a row for each stretch, or part of a bar.
func bassesTable(lines []stretchLine) [][]string {
	rows := [][]string{{"bar", "tune", "fits", "why"}}
	for _, l := range lines {
		place := strconv.Itoa(l.Bar)
		switch {
		case l.Bar == 0:
			place = "upbeat"
		case l.Beat != 1:
			place += ", beat " + strconv.FormatFloat(l.Beat, 'g', 3, 64)
		}
		var fits, why []string
		for _, b := range l.Fits {
			mark := ""
			if b.Shown {
				mark = "*"
			}
			fits = append(fits, b.Bass+mark)
			why = append(why, b.Bass+": "+b.Why)
		}
		if len(fits) == 0 {
			fits, why = []string{"any"}, []string{"none of these fits well"}
		}
		rows = append(rows, []string{place, strings.Join(l.Tune, " "), strings.Join(fits, " "), strings.Join(why, "; ")})
	}
	return rows
}
