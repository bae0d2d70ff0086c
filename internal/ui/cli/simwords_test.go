package cli

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/chart"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/text/file"
)

type mistake struct {
	kind, hand string
	bar        int
	beat       float64
}

type simWords struct {
	habits     string
	seed       uint64
	tempo, mid float64
	rit, smpte bool
	meter      bool
	lead       int
	mistakes   []mistake
}

func (w *simWords) read(chartFile, patternName string, all []string) (*score.Score, error) {
	for _, word := range all {
		if err := w.word(word); err != nil {
			return nil, fmt.Errorf("%q: %w", word, err)
		}
	}
	c, err := file.Parse(chartFile, chart.MaxBytes, chart.Parse)
	if err != nil {
		return nil, err
	}
	cat, err := New().catalogue()
	if err != nil {
		return nil, err
	}
	p, err := cat.Find(patternName)
	if err != nil {
		return nil, err
	}
	return score.Build(c, p, score.Options{Tempo: meter.Tempo(w.tempo)})
}

func (w *simWords) word(word string) (err error) {
	name, value, _ := strings.Cut(word, "=")
	switch name {
	case "exact":
		w.habits = name
	case "rit":
		w.rit = true
	case "smpte":
		w.smpte = true
	case "meter":
		w.meter = true
	case "seed":
		w.seed, err = strconv.ParseUint(value, 10, 64)
	case "tempo":
		w.tempo, err = strconv.ParseFloat(value, 64)
	case "map":
		w.mid, err = strconv.ParseFloat(value, 64)
	case "lead":
		w.lead, err = strconv.Atoi(value)
	default:
		var m mistake
		word = strings.NewReplacer("@", " ", "/", " ").Replace(word)
		_, err = fmt.Sscanf(word, "%s %d %g %s", &m.kind, &m.bar, &m.beat, &m.hand)
		w.mistakes = append(w.mistakes, m)
	}
	return err
}

func wantAt(s *score.Score, m mistake) (int, error) {
	for i := range s.Wants {
		w := &s.Wants[i]
		if s.Bars[w.Bar].Number == m.bar && w.Beat == m.beat && (w.Hand == pattern.Left) == (m.hand == "left") {
			return i, nil
		}
	}
	return 0, fmt.Errorf("nothing is wanted at %+v", m)
}

// file is the performance as a MIDI file.
func (w *simWords) file(s *score.Score, events []event.Event) ([]byte, error) {
	if w.lead > 0 {
		lead := s.Tempo.Duration(meter.Ticks(w.lead)*s.Meter.Bar(), s.Meter)
		events = append(countIn(s, w.lead), shifted(events, lead)...)
	}
	switch {
	case w.rit:
		return slowing(s, events)
	case w.smpte:
		return inFrames(events)
	}
	tempo := float64(s.Tempo)
	if w.mid > 0 {
		tempo = w.mid
	}
	o := smf.WriteOptions{Tempos: []smf.TempoChange{{MicrosPerQuarter: quarter(s, tempo)}}}
	if w.meter {
		o.Meters = []smf.MeterChange{{Num: s.Meter.Num, Den: s.Meter.Den}}
	}
	return written(o, events)
}

func written(o smf.WriteOptions, events []event.Event) ([]byte, error) {
	var b bytes.Buffer
	err := smf.Write(&b, o, smf.Track{Events: events})
	return b.Bytes(), err
}

// quarter is how many microseconds a quarter lasts.
func quarter(s *score.Score, tempo float64) int {
	return int(60e6/tempo*float64(meter.Quarter)/float64(s.Meter.Beat()) + 0.5)
}

// slowing is a file whose tempo map gets slower by a twentieth each bar, and a
// player who goes with it.
func slowing(s *score.Score, events []event.Event) ([]byte, error) {
	o := smf.WriteOptions{}
	bar := s.Meter.Bar()
	perBar := int64(bar) * smf.DefaultTicks / int64(meter.Quarter)
	for i := range len(s.Bars) + 1 {
		slow := float64(s.Tempo) / (1 + float64(i)/20)
		o.Tempos = append(o.Tempos, smf.TempoChange{Tick: int64(i) * perBar, MicrosPerQuarter: quarter(s, slow)})
	}
	at := func(t time.Duration) time.Duration {
		pos := s.Tempo.Ticks(t, s.Meter)
		var sum time.Duration
		for i, tempo := range o.Tempos {
			part := max(0, pos-float64(i)*float64(bar))
			if i < len(o.Tempos)-1 {
				part = min(part, float64(bar))
			}
			sum += time.Duration(part / float64(meter.Quarter) * float64(tempo.MicrosPerQuarter) * 1000)
		}
		return sum
	}
	moved := make([]event.Event, len(events))
	for i, e := range events {
		e.At = at(e.At)
		moved[i] = e
	}
	return written(o, moved)
}

// inFrames is a file that counts film frames: 25 a second, 40 ticks each, so
// that a tick is a millisecond. It is written with quarters of 500 ticks at the
// usual tempo, where a tick is a millisecond too, and its division changed.
func inFrames(events []event.Event) ([]byte, error) {
	data, err := written(smf.WriteOptions{TicksPerQuarter: 500}, events)
	if err == nil {
		data[12], data[13] = 0xE7, 40 // -25
	}
	return data, err
}

func countIn(s *score.Score, bars int) []event.Event {
	var all []event.Event
	for at := meter.Ticks(0); at < meter.Ticks(bars)*s.Meter.Bar(); at += s.Meter.Beat() {
		on := event.On(s.Tempo.Duration(at, s.Meter), 76, 100)
		on.Status |= 9
		all = append(all, on)
	}
	return all
}

func shifted(events []event.Event, d time.Duration) []event.Event {
	out := make([]event.Event, len(events))
	for i, e := range events {
		e.At += d
		out[i] = e
	}
	return out
}
