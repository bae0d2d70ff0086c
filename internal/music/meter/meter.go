// Package meter counts musical time: ticks, bars and beats.
package meter

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Ticks is musical time. Quarter of them make a quarter note, so that eighths,
// triplets, sixteenths, sextuplets and quintuplets are all whole numbers.
type Ticks int

// Note values in ticks.
const (
	Quarter   Ticks = 960
	Half            = 2 * Quarter
	Whole           = 4 * Quarter
	Eighth          = Quarter / 2
	Triplet         = Quarter / 3 // one of three in a quarter
	Sixteenth       = Quarter / 4
)

// Meter is a time signature. Its zero value is not a meter; see Parse.
type Meter struct {
	Num int // beats or eighths a bar
	Den int // 2, 4 or 8: the note value counted
}

// Known lists the meters that charts may use.
func Known() []Meter {
	return []Meter{{2, 4}, {3, 4}, {4, 4}, {6, 8}, {12, 8}, {5, 4}, {9, 8}, {2, 2}}
}

// Parse reads "3/4" and the like. "C" and "common" are 4/4.
func Parse(s string) (Meter, error) {
	num, den, ok := strings.Cut(strings.TrimSpace(s), "/")
	n, err1 := strconv.Atoi(strings.TrimSpace(num))
	d, err2 := strconv.Atoi(strings.TrimSpace(den))
	if ok && err1 == nil && err2 == nil {
		for _, m := range Known() {
			if m == (Meter{n, d}) {
				return m, nil
			}
		}
	}
	return Meter{}, fmt.Errorf("meter %q is not one of %s", s, names())
}

func names() string {
	var all []string
	for _, m := range Known() {
		all = append(all, m.String())
	}
	return strings.Join(all, ", ")
}

func (m Meter) String() string { return fmt.Sprintf("%d/%d", m.Num, m.Den) }

// Compound reports a meter whose beats are dotted quarters: 6/8, 9/8, 12/8.
func (m Meter) Compound() bool { return m.Den == 8 && m.Num%3 == 0 }

// Bar is the length of one bar.
func (m Meter) Bar() Ticks { return Ticks(m.Num) * Whole / Ticks(m.Den) }

// Beat is the length of one felt beat: a dotted quarter in compound meters.
func (m Meter) Beat() Ticks {
	if m.Compound() {
		return 3 * Whole / Ticks(m.Den)
	}
	return Whole / Ticks(m.Den)
}

// Beats is the number of felt beats a bar: 4 in 12/8, 2 in 6/8.
func (m Meter) Beats() int { return int(m.Bar() / m.Beat()) }

// BeatAt is the musician's beat number of a place in the bar: 1 at its start,
// 2.5 halfway between the second and third beat.
func (m Meter) BeatAt(inBar Ticks) float64 {
	return 1 + float64(inBar)/float64(m.Beat())
}

// Tempo is felt beats a minute: dotted quarters in compound meters.
type Tempo float64

// Slowest and fastest tempo that the program takes.
const (
	SlowestTempo Tempo = 20
	FastestTempo Tempo = 320
)

// ParseTempo reads a number of beats a minute from 20 to 320.
func ParseTempo(s string) (Tempo, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil || !(Tempo(v) >= SlowestTempo && Tempo(v) <= FastestTempo) {
		return 0, fmt.Errorf("tempo %q is not a number of beats a minute from %g to %g", s, float64(SlowestTempo), float64(FastestTempo))
	}
	return Tempo(v), nil
}

// Duration is how long t lasts in meter m at tempo b.
func (b Tempo) Duration(t Ticks, m Meter) time.Duration {
	perBeat := 60 * float64(time.Second) / float64(b)
	return time.Duration(float64(t)*perBeat/float64(m.Beat()) + 0.5)
}

// Ticks is how far music in meter m at tempo b gets in d.
func (b Tempo) Ticks(d time.Duration, m Meter) float64 {
	return float64(d) * float64(b) * float64(m.Beat()) / (60 * float64(time.Second))
}
