package engrave_test

import (
	"encoding/xml"
	"fmt"
	"maps"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/playback"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/engrave"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// file is a MusicXML file as a reader of its own sees it.
type file struct {
	Parts []struct {
		ID       string `xml:"id,attr"`
		Measures []struct {
			Items []item `xml:",any"`
		} `xml:"measure"`
	} `xml:"part"`
}

type item struct {
	XMLName  xml.Name
	Duration int       `xml:"duration"`
	Chord    *struct{} `xml:"chord"`
	Grace    *struct{} `xml:"grace"`
	Rest     *struct{} `xml:"rest"`
	Pitch    *struct {
		Step   string `xml:"step"`
		Alter  int    `xml:"alter"`
		Octave int    `xml:"octave"`
	} `xml:"pitch"`
	Ties []struct {
		Type string `xml:"type,attr"`
	} `xml:"tie"`
	Staff int `xml:"staff"`
}

func (i *item) tied(kind string) bool {
	return slices.ContainsFunc(i.Ties, func(t struct {
		Type string `xml:"type,attr"`
	}) bool {
		return t.Type == kind
	})
}

// note is a note as it is read: where it begins, how long it lasts, and on which
// staff of all it stands, from 1.
type note struct {
	at, dur meter.Ticks
	key     pitch.Num
	staff   int
}

// read reads the notes of a file, tied ones joined, grace notes at the notes that
// they lead to, and the number of staves.
func read(t *testing.T, src []byte) (notes []note, staves int) {
	t.Helper()
	var f file
	require.NoError(t, xml.Unmarshal(src, &f))
	first := 0
	for _, p := range f.Parts {
		var begins meter.Ticks
		most := 1
		for _, m := range p.Measures {
			at, ends, onset := begins, begins, begins
			for _, i := range m.Items {
				switch i.XMLName.Local {
				case "backup":
					at -= meter.Ticks(i.Duration)
					require.Equal(t, begins, at, "each staff begins with its bar")
				case "note":
					if i.Chord == nil {
						onset = at
						at += meter.Ticks(i.Duration)
					}
					ends = max(ends, at)
					most = max(most, i.Staff)
					if i.Pitch != nil {
						notes = join(t, notes, note{onset, meter.Ticks(i.Duration), keyOf(t, &i), first + max(1, i.Staff)}, i.tied("stop"))
					}
				}
			}
			require.Equal(t, ends, at, "all staves fill their bar")
			begins = ends
		}
		first += most
	}
	return notes, first
}

func keyOf(t *testing.T, i *item) pitch.Num {
	n, err := pitch.ParseNote(i.Pitch.Step)
	require.NoError(t, err)
	n.Alter = i.Pitch.Alter
	return pitch.Pitch{Note: n, Octave: i.Pitch.Octave}.Num()
}

// join adds a note, or to the one that it is tied to.
func join(t *testing.T, all []note, n note, tied bool) []note {
	if !tied {
		return append(all, n)
	}
	for i := len(all) - 1; i >= 0; i-- {
		if o := &all[i]; o.key == n.key && o.staff == n.staff && o.at+o.dur == n.at {
			o.dur += n.dur
			return all
		}
	}
	t.Fatalf("%v is tied to nothing", n)
	return nil
}

// shown writes a note without its length.
func (n note) shown() string { return fmt.Sprintf("%6d %3d staff %d", n.at, n.key, n.staff) }

// played are the notes that a demonstration plays: of each part on its staff, where
// they sound, a rolled chord's at its beginning.
func played(s *score.Score, parts []playback.Part) []string {
	var all []string
	for i, track := range playback.Tracks(s, playback.Options{Parts: parts}) {
		for _, e := range track.Events {
			if e.IsNoteOn() {
				all = append(all, note{nearby(s, e), 0, pitch.Num(e.Data1), i + 1}.shown())
			}
		}
	}
	return all
}

// nearby is the place of the score at which a note is struck: that of a stroke or
// of a note of the tune, where one is as near as a roll is long.
func nearby(s *score.Score, e event.Event) meter.Ticks {
	best, off := meter.Ticks(-1), 150*time.Millisecond
	try := func(at meter.Ticks, has bool) {
		if d := (s.Time(at) - e.At).Abs(); has && d < off {
			best, off = at, d
		}
	}
	for i := range s.Wants {
		w := &s.Wants[i]
		try(w.At, slices.Contains(w.Keys(), pitch.Num(e.Data1)) && (w.Roll || (s.Time(w.At)-e.At).Abs() < time.Millisecond))
	}
	for _, n := range s.Melody {
		at := s.Swung(n.At)
		try(at, n.Key().Class() == pitch.Num(e.Data1).Class() && (s.Time(at)-e.At).Abs() < time.Millisecond)
	}
	if best < 0 {
		return meter.Ticks(math.Round(s.At(e.At)))
	}
	return best
}

// withParts asks for all that a chart names itself.
func withParts(t *testing.T, c string) (*score.Score, string) {
	t.Helper()
	ch := material.DemoChart(t, c)
	o := score.Options{}
	name := ch.Pattern
	for _, a := range []struct {
		name string
		to   func(string)
	}{
		{ch.Intro.Name, func(n string) { o.Parts.Intro = material.Shipped(t, n) }},
		{ch.Turnaround.Name, func(n string) { o.Parts.Turnaround = material.Shipped(t, n) }},
		{ch.Ending.Name, func(n string) { o.Parts.Ending = material.Shipped(t, n) }},
	} {
		if a.name != "" {
			a.to(a.name)
		}
	}
	for _, f := range ch.Fills {
		o.Parts.Fills = append(o.Parts.Fills, material.Shipped(t, f.Name))
	}
	for _, sec := range ch.Sections {
		if sec.Pattern.Name == "" {
			o.Parts.Sections = append(o.Parts.Sections, nil)
		} else {
			o.Parts.Sections = append(o.Parts.Sections, material.Shipped(t, sec.Pattern.Name))
		}
	}
	s, err := score.Build(ch, material.Shipped(t, name), o)
	require.NoError(t, err)
	return s, name
}

// same holds the notes of the page against those that are played.
func same(t *testing.T, s *score.Score, what string) {
	t.Helper()
	notes, staves := read(t, engrave.MusicXML(s, engrave.Options{}))
	parts := playback.Hands(s)
	hands := 0
	for _, p := range playback.Tracks(s, playback.Options{}) {
		if p.Name != "" {
			hands++
		}
	}
	tune := staves > hands
	if tune {
		parts = append(parts, playback.Tune)
	}
	lift := pitch.Num(0)
	if tune && (s.Pattern.Rows[1] != nil || s.Only != score.BothHands) {
		lift = pitch.Num(12 * playback.NewPlayer(s, playback.Options{Parts: parts}).Lift())
	}
	var got []string
	for _, n := range notes {
		if tune && n.staff == 1 {
			n.key += lift // the page has a singer's tune as the chart has it
		}
		n.at = s.Swung(n.at)
		got = append(got, n.shown())
	}
	want := played(s, parts)
	slices.Sort(got)
	slices.Sort(want)
	assert.Equal(t, want, slices.Compact(got), what)
}

// fitting are up to so many demo charts over which a pattern can be played.
func fitting(charts map[string]*chart.Chart, p *pattern.Pattern, most int) []string {
	var all []string
	for _, name := range slices.Sorted(maps.Keys(charts)) {
		if c := charts[name]; len(all) < most && p.Fits(c.Meter) && (!p.PlaysTune() || c.HasMelody()) {
			all = append(all, name)
		}
	}
	return all
}

// Every shipped pattern, over a chart that it fits, in the chart's key and a far one;
// in short every fifth.
func TestThePageIsWhatIsPlayed(t *testing.T) {
	charts := maps.Collect(material.DemoCharts(t))
	for i, p := range material.Catalogue(t).Of(pattern.Accompaniment) {
		if testing.Short() && i%5 > 0 {
			continue
		}
		for n, name := range fitting(charts, p, 2) {
			c, o := charts[name], score.Options{}
			if n == 1 {
				far := pitch.Key{Tonic: pitch.NoteAtFifths(7)}
				if c.Key.Minor {
					far = pitch.Key{Tonic: pitch.NoteAtFifths(8), Minor: true}
				}
				o.Key = &far
			}
			s, err := score.Build(c, p, o)
			require.NoError(t, err)
			same(t, s, p.Name+" over "+name)
		}
	}
}

func TestChartsWithAllTheirParts(t *testing.T) {
	for name := range material.DemoCharts(t) {
		if c := material.DemoChart(t, name); c.Pattern == "" {
			continue
		}
		s, p := withParts(t, name)
		same(t, s, name+" with "+p)
	}
}
