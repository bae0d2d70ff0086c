package song

import (
	"encoding/json"
	"math"

	"undersong/internal/music/meter"
)

// Dump is a song as a program reads it. Lengths and onsets are in quarter notes;
// onsets count from the first note, rest or chord as played, repeats unfolded.
type Dump struct {
	Title    string        `json:"title"`
	By       string        `json:"by,omitempty"`
	Key      string        `json:"key"`
	Meter    string        `json:"meter"`
	Tempo    float64       `json:"tempo,omitempty"`
	Upbeat   float64       `json:"upbeat_beats"` // felt beats: dotted quarters in 6/8
	Sections []DumpSection `json:"sections"`
	Melody   []DumpNote    `json:"melody"`
	Chords   []DumpChord   `json:"chords"`
	Words    []DumpWords   `json:"words"`
	Notices  []string      `json:"notices"`
}

// DumpSection is a section as written, repeats not unfolded.
type DumpSection struct {
	Name string    `json:"name"`
	Bars []DumpBar `json:"bars"`
}

// DumpBar is a bar as written.
type DumpBar struct {
	Beats  float64     `json:"beats"`
	Chords []DumpPlace `json:"chords"`
	Lyric  string      `json:"lyric"`            // of the first verse
	Verses []string    `json:"verses,omitempty"` // of all, where there are several
}

// DumpPlace is a chord in its bar.
type DumpPlace struct {
	Beat   float64 `json:"beat"` // felt beats from 1
	Symbol string  `json:"symbol"`
}

// DumpNote is a note of the tune as it sounds, tied notes joined.
type DumpNote struct {
	Onset    float64 `json:"onset"`
	Midi     int     `json:"midi"`
	Duration float64 `json:"duration"`
}

// DumpChord is a chord as played.
type DumpChord struct {
	Onset  float64 `json:"onset"`
	Symbol string  `json:"symbol"`
}

// DumpWords is a line of words of a lyric sheet.
type DumpWords struct {
	Line   int        `json:"line"`
	Text   string     `json:"text"`
	Chords []DumpOver `json:"chords"`
}

// DumpOver is a chord name over words.
type DumpOver struct {
	Symbol string `json:"symbol"`
	Column int    `json:"column"` // characters of Text from 0
}

// Dump is the song's values.
func (s *Song) Dump() Dump {
	d := Dump{Title: s.Title, By: s.By, Key: s.Key.String(), Meter: s.Meter.String(), Tempo: float64(s.Tempo),
		Upbeat: beats(s.Upbeat, s.Meter), Sections: []DumpSection{}, Melody: []DumpNote{}, Chords: []DumpChord{}, Words: []DumpWords{}, Notices: []string{}}
	m := s.Meter
	for _, sec := range s.Sections {
		ds := DumpSection{Name: sec.Name, Bars: []DumpBar{}}
		for i := range sec.Bars {
			if b := &sec.Bars[i]; b.Meter.Num > 0 {
				m = b.Meter
			}
			ds.Bars = append(ds.Bars, sec.Bars[i].dump(m))
		}
		d.Sections = append(d.Sections, ds)
	}
	d.unfold(s)
	for _, w := range s.Words {
		dw := DumpWords{w.Line, w.Text, []DumpOver{}}
		for _, c := range w.Chords {
			dw.Chords = append(dw.Chords, DumpOver(c))
		}
		d.Words = append(d.Words, dw)
	}
	for _, n := range s.Notices {
		d.Notices = append(d.Notices, n.String())
	}
	return d
}

func (b *Bar) dump(m meter.Meter) DumpBar {
	d := DumpBar{Beats: beats(b.Len, m), Chords: []DumpPlace{}}
	for _, c := range b.Chords {
		d.Chords = append(d.Chords, DumpPlace{1 + beats(c.At, m), c.Text})
	}
	if len(b.Lyrics) > 0 {
		d.Lyric = b.Lyrics[0]
	}
	if len(b.Lyrics) > 1 {
		d.Verses = b.Lyrics
	}
	return d
}

// unfold fills in what is played.
func (d *Dump) unfold(s *Song) {
	bars := s.Bars()
	var at meter.Ticks
	var tied meter.Ticks // where the last note ends, if it is tied on; else -1
	tied = -1
	for _, i := range s.Order {
		b := bars[i]
		for _, c := range b.Chords {
			d.Chords = append(d.Chords, DumpChord{quarters(at + c.At), c.Text})
		}
		for _, n := range b.Notes {
			last := len(d.Melody) - 1
			if last >= 0 && tied == at+n.At && d.Melody[last].Midi == int(n.Pitch.Num()) {
				d.Melody[last].Duration = rounded(d.Melody[last].Duration + quarters(n.Dur))
			} else {
				d.Melody = append(d.Melody, DumpNote{quarters(at + n.At), int(n.Pitch.Num()), quarters(n.Dur)})
			}
			tied = -1
			if n.Tied {
				tied = at + n.At + n.Dur
			}
		}
		at += b.Len
	}
}

// JSON is the dump as one object, indented.
func (d Dump) JSON() ([]byte, error) {
	out, err := json.MarshalIndent(d, "", "  ")
	return append(out, '\n'), err
}

func quarters(t meter.Ticks) float64 { return rounded(float64(t) / float64(meter.Quarter)) }

func beats(t meter.Ticks, m meter.Meter) float64 { return rounded(float64(t) / float64(m.Beat())) }

// rounded keeps four decimals: a tick is a little more than a thousandth.
func rounded(v float64) float64 { return math.Round(v*1e4) / 1e4 }
