package capture

import (
	"os"
	"strings"
	"testing"

	"undersong/internal/meter"
)

func TestDebug(t *testing.T) {
	want := os.Getenv("P")
	if want == "" {
		t.Skip("P names patterns")
	}
	chords := os.Getenv("C")
	if chords == "" {
		chords = "C"
	}
	for _, p := range shipped(t) {
		if !strings.Contains(" "+want+" ", " "+p.Name+" ") {
			continue
		}
		shown := false
		for times := 1; times <= 4; times++ {
			for i, key := range []string{"C", "D", "F", "G"} {
				tempo := []meter.Tempo{72, 88, 100, 120}[(i+times)%4]
				level := []string{"steady", "beginner", "fluent"}[(i+times)%3]
				pl := playing(t, p, chords, times, key, tempo, level, uint64(10*times+i))
				o := pl.o
				if os.Getenv("W") != "nothing" {
					o.Meter = meterOf(p)
				}
				if os.Getenv("W") == "" {
					o.Tempo = tempo
				}
				c, err := Capture(pl.events, o)
				if err != nil {
					t.Log(p.Name, times, key, tempo, level, err)
					continue
				}
				if d := differs(t, c.Pattern, p); d != "" {
					t.Log(p.Name, times, key, float64(tempo), level, "found tempo", float64(c.Tempo), d)
					if !shown || os.Getenv("ALL") != "" {
						t.Log("\n" + c.Pattern.Text())
						shown = true
					}
				}
			}
		}
	}
}
