package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"undersong/internal/listen/chordid"
	"undersong/internal/music/chord"
	"undersong/internal/music/harmony"
	"undersong/internal/music/pitch"
	"undersong/internal/ui/words"
)

// hearForm is how chords are written.
type hearForm struct{ json, roman, why bool }

// heardChord is a stretch of one chord, live or in a file.
type heardChord struct {
	start, end time.Duration
	chord      chord.Chord
	key        *pitch.Key  // nil while none is known
	keys       []pitch.Num // low to high
	readings   []chordid.Weighed
}

// noChord is the label of what is no chord (Harte et al. 2005), for programs.
const noChord = "N"

// mostReadings is how many readings are listed: what fits under a chord at a
// glance.
const mostReadings = 5

func (h *heardChord) label() string {
	if h.chord.IsNone() {
		return noChord
	}
	return h.chord.String()
}

// roman is "" where there is no chord or the key is not known.
func (h *heardChord) roman() string {
	if h.chord.IsNone() || h.key == nil {
		return ""
	}
	return harmony.Roman(h.chord, *h.key)
}

// chordLine is a heardChord in JSON.
type chordLine struct {
	StartS float64       `json:"start_s"`
	EndS   float64       `json:"end_s"`
	Label  string        `json:"label"`
	Notes  []pitch.Num   `json:"notes"` // MIDI keys, low to high
	Key    string        `json:"key,omitempty"`
	Roman  string        `json:"roman,omitempty"`
	Why    []readingLine `json:"why,omitempty"`
}

type readingLine struct {
	Label   string       `json:"label"`
	Cost    int          `json:"cost"`
	Reasons []reasonLine `json:"reasons"`
}

type reasonLine struct {
	Reason string `json:"reason"`
	Cost   int    `json:"cost"`
}

func (a *App) writeHeard(how hearForm, h heardChord) error {
	if how.json {
		return a.writeJSONLine(how.line(&h))
	}
	text := how.fileLine(&h)
	if how.why {
		text += "\n" + h.whyTable()
	}
	return a.writeText(text)
}

func (a *App) writeJSONLine(v any) error {
	line, err := json.Marshal(v)
	if err != nil {
		return err
	}
	_, err = a.Out.Write(append(line, '\n'))
	return err
}

func (how hearForm) line(h *heardChord) chordLine {
	l := chordLine{StartS: seconds(h.start), EndS: seconds(h.end), Label: h.label(), Notes: h.keys}
	if l.Notes == nil {
		l.Notes = []pitch.Num{}
	}
	if how.roman && h.key != nil {
		l.Key, l.Roman = h.key.String(), h.roman()
	}
	if how.why {
		l.Why = h.why()
	}
	return l
}

// fileLine is a chord, or that there is none, and when it begins.
func (how hearForm) fileLine(h *heardChord) string {
	name := h.label()
	switch {
	case len(h.keys) == 0:
		name = "silence"
	case h.chord.IsNone():
		name = "no chord"
	}
	return strings.TrimRight(fmt.Sprintf("%8.2f s  %s", h.start.Seconds(), how.named(name, h)), " ")
}

// nowLine is a chord, or notes, and what they are called.
func (how hearForm) nowLine(name string, h heardChord) string {
	words := "notes"
	switch {
	case !h.chord.IsNone():
		words = h.chord.Words()
	case len(h.keys) == 1:
		words = "note"
	}
	return how.named(name, &h) + " " + words
}

// named is a name and, where it is asked for, the numeral in its key, in columns.
func (how hearForm) named(name string, h *heardChord) string {
	if !how.roman {
		return fmt.Sprintf("%-10s", name)
	}
	numeral := h.roman()
	if numeral != "" {
		numeral += " in " + h.key.String()
	}
	return fmt.Sprintf("%-10s %-16s", name, numeral)
}

// why lists the likeliest readings with what speaks for and against each.
func (h *heardChord) why() []readingLine {
	key := pitch.Key{}
	if h.key != nil {
		key = *h.key
	}
	var all []readingLine
	for _, r := range h.readings[:min(mostReadings, len(h.readings))] {
		l := readingLine{Label: r.Chord(key).String(), Cost: int(r.Cost), Reasons: []reasonLine{}}
		for reason, cost := range r.Parts {
			if cost != 0 {
				l.Reasons = append(l.Reasons, reasonLine{words.Reason(chordid.Reason(reason)), int(cost)})
			}
		}
		all = append(all, l)
	}
	return all
}

// whyTable is why in columns, set in under the chord's line.
func (h *heardChord) whyTable() string {
	lines := h.why()
	if len(lines) == 0 {
		return ""
	}
	const margin = "    "
	rows := [][]string{{margin, "may be", "cost", "why"}}
	for _, l := range lines {
		var parts []string
		for _, r := range l.Reasons {
			parts = append(parts, fmt.Sprintf("%s %+d", r.Reason, r.Cost))
		}
		rows = append(rows, []string{margin, l.Label, strconv.Itoa(l.Cost), strings.Join(parts, ", ")})
	}
	var b strings.Builder
	_ = writeTable(&b, rows) // a Builder takes all
	return b.String()
}

// seconds are kept to the millisecond.
func seconds(d time.Duration) float64 { return math.Round(d.Seconds()*1000) / 1000 }
