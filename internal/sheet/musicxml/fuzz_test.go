package musicxml

import (
	"strings"
	"testing"

	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/song"
	"undersong/internal/test/material"
)

// FuzzRead tries scores: what is read has bars that are played, dumps, and makes a
// chart or a reason why not.
func FuzzRead(f *testing.F) {
	for _, text := range []string{
		score(four + n("C4:4~") + backup(2) + n("D4:2v2 E4:2+")),
		score(four+named("C", "<offset>1</offset>")+sing("C4:4", "1:begin:ca 2:single:la"), sing("C4:4", "1:end:vern")),
		score(four + harmonyOf("dominant", "add 9 -1") + n("C4:4")),
		flowing("segno |: / 1[ ] :| / 2[ ]open / to / ds / coda"),
		parts("Voice,Piano", []string{time("6", "8") + n("C4:3")}, []string{attributes("<key><fifths>-3</fifths><mode>minor</mode></key><transpose><chromatic>-2</chromatic></transpose>") + n("r:3")}),
		packed(f, container, points("a.xml"), "a.xml", score(four+n("C4:4"))),
		`<?xml version="1.0" encoding="ISO-8859-1"?><score-timewise><measure><part id="A"/></measure></score-timewise>`,
	} {
		f.Add([]byte(text))
	}
	f.Add(Write(material.Chart(f, "key: F\nupbeat: 1\n\n(C7) |: F | % |1. C :|2. F |]\nm: C2 | F3 F (3F2G2A2 | F8 | F8 | F8 |\nw: Oh | give me | a home | where | roam |\n")))
	f.Fuzz(func(t *testing.T, src []byte) {
		s, err := Read(src, "a.xml", song.Wish{})
		if err != nil {
			return
		}
		if len(s.Sections) == 0 || len(s.Bars()) == 0 || len(s.Order) == 0 || len(s.Order) > song.MostBars {
			t.Fatalf("%d sections, %d bars, %d played", len(s.Sections), len(s.Bars()), len(s.Order))
		}
		for _, b := range s.Bars() {
			checkBar(t, b)
		}
		if _, err := s.Dump().JSON(); err != nil {
			t.Fatal(err)
		}
		if c, _, err := s.ToChart("a.xml"); err == nil {
			Write(c)
		}
	})
}

// checkBar looks for what a bar of a song may not be.
func checkBar(t *testing.T, b *song.Bar) {
	t.Helper()
	end := b.Len * 0
	for _, n := range b.Notes {
		if n.At < end || n.Dur <= 0 || n.At+n.Dur > b.Len || !n.Pitch.Num().Valid() {
			t.Fatalf("note %+v behind %d in a bar of %d", n, end, b.Len)
		}
		end = n.At + n.Dur
	}
	for i, c := range b.Chords {
		if c.Text == "" || c.At < 0 || c.At >= b.Len || i > 0 && c.At <= b.Chords[i-1].At {
			t.Fatalf("chord %+v in a bar of %d", c, b.Len)
		}
	}
}

// FuzzWrite tries charts: they come back the same, as often as they are written.
func FuzzWrite(f *testing.F) {
	for _, c := range material.DemoCharts(f) {
		f.Add(c.Text())
	}
	f.Add("title: <a> & \"b\"\nkey: C#\nmeter: 12/8\nupbeat: 1 sixteenth\nunit: 1/16\nintro: x\nfills: y at 1, 2; z at 3\n\n(N.C.) | C# . . . . . G#7 . . . . . | % | N.C. |\nm: ^b16 | Z | c3 d3 (3efg z9 | !breath!__b48 |\nw: a- | b-c -- | | d- |\n\n[B <2>]\npattern: q\n|: C :| x9\n")
	f.Fuzz(func(t *testing.T, text string) {
		c, err := chart.Parse([]byte(text), "a.chart")
		if err != nil || strings.ContainsAny(text, "\uFFFE\uFFFF\uFFFD") { // XML has no sign for the former
			return
		}
		plain := songs(t, c)
		if got := again(t, plain).Text(); got != plain.Text() {
			t.Fatalf("written\n%s\nread\n%s", plain.Text(), got)
		}
	})
}

// songs is a chart as a song makes it, which leaves out what no song has: empty
// verses, and brackets in a title.
func songs(t *testing.T, c *chart.Chart) *chart.Chart {
	s := song.FromChart(c)
	s.Chart = nil
	plain, _, err := s.ToChart("a.chart")
	if err != nil {
		t.Skip(err)
	}
	return plain
}
