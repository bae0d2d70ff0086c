package cli

import (
	"bytes"
	"fmt"
	"strings"

	"undersong/internal/midi/smf"
	"undersong/internal/music/meter"
	"undersong/internal/play/playback"
	"undersong/internal/sheet/score"
	"undersong/internal/ui/words"
)

// writeParts writes a MIDI file of format 1, a track for each voice.
func (a *App) writeParts(o *playOptions, s *score.Score, perform playback.Options) error {
	var tracks []smf.Track
	var names []string
	for _, p := range playback.Tracks(s, perform) {
		tracks = append(tracks, smf.Track{Name: p.Name, Events: p.Events})
		names = append(names, p.Name)
	}
	var file bytes.Buffer
	if err := smf.Write(&file, o.layout(s), tracks...); err != nil {
		return err
	}
	if err := save("the MIDI file", o.out, file.String(), o.force); err != nil {
		return err
	}
	text := fmt.Sprintf("written: %s, with %s", o.out, strings.Join(names, ", "))
	return a.writeLine(text + words.LiftText(playback.NewPlayer(s, perform).Lift()))
}

// layout is the tempo map, meter and key of the file.
func (o *playOptions) layout(s *score.Score) smf.WriteOptions {
	return smf.WriteOptions{
		Tempos: o.tempos(s),
		Meters: o.meters(s),
		Keys:   []smf.KeyChange{{Sharps: s.Key.Fifths(), Minor: s.Key.Minor}},
	}
}

// meters are the bars of the file: an upbeat is a short one, so that barlines fall
// where they do in the chart.
func (o *playOptions) meters(s *score.Score) []smf.MeterChange {
	whole := smf.MeterChange{Num: s.Meter.Num, Den: s.Meter.Den}
	all := []smf.MeterChange{whole}
	upbeat := s.Bars[0].Len
	if upbeat == s.Meter.Bar() || s.Bars[0].Number != 0 {
		return all
	}
	den := s.Meter.Den
	for den < 16 && upbeat%(meter.Whole/meter.Ticks(den)) != 0 {
		den *= 2
	}
	short := smf.MeterChange{Num: int(upbeat * meter.Ticks(den) / meter.Whole), Den: den}
	at := func(c smf.MeterChange, t meter.Ticks) smf.MeterChange {
		c.Tick = int64(t * smf.DefaultTicks / meter.Quarter)
		return c
	}
	for n := range meter.Ticks(o.times) {
		start := meter.Ticks(o.countIn)*s.Meter.Bar() + n*s.Length
		if start == 0 {
			all = nil
		}
		all = append(all, at(short, start), at(whole, start+upbeat))
	}
	return all
}

// tempos is the tempo map of the file: its beats lie on those of the music, a
// ritardando included.
func (o *playOptions) tempos(s *score.Score) []smf.TempoChange {
	const step = meter.Sixteenth
	perQuarter := int(s.Tempo.Duration(meter.Quarter, s.Meter).Microseconds())
	all := []smf.TempoChange{{MicrosPerQuarter: perQuarter}}
	if !s.Slows() {
		return all
	}
	set := func(at meter.Ticks, micros int) {
		if at > 0 && all[len(all)-1].MicrosPerQuarter != micros {
			all = append(all, smf.TempoChange{Tick: int64(at * smf.DefaultTicks / meter.Quarter), MicrosPerQuarter: micros})
		}
	}
	for n := range meter.Ticks(o.times) {
		start := meter.Ticks(o.countIn)*s.Meter.Bar() + n*s.Length
		for at := meter.Ticks(0); at < s.Length; at += step {
			set(start+at, int(float64(perQuarter)*s.Stretch(at, at+step)+0.5))
		}
	}
	return all
}
