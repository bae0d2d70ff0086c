package engine

import (
	"fmt"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
)

// The tunes are in C, 4/4 or 3/4, at 120 beats a minute: a beat is 500 ms.
const beat = 500 * time.Millisecond

func scoreOf(t testing.TB, m, bars, name string) *score.Score {
	t.Helper()
	c := material.Chart(t, "title: T\nkey: C\ntempo: 120\nmeter: "+m+"\n\n"+bars+"\n")
	p, err := material.Catalogue(t).Find(name)
	if err != nil {
		p, err = pattern.Parse([]byte(name), "own.pattern")
	}
	require.NoError(t, err)
	if p.PlaysTune() && !c.HasMelody() {
		material.Sing(c)
	}
	s, err := score.Build(c, p, score.Options{})
	require.NoError(t, err)
	return s
}

// note is one key in a performance under construction.
type note struct {
	key      pitch.Num
	at, till time.Duration
	velocity uint8
	hand     pattern.Hand
	bar      int
	beat     float64
}

// take is a performance to be bent before it is played.
type take struct {
	notes  []note
	pedals []event.Event
}

// exact plays every want as demonstrated.
func exact(s *score.Score) *take {
	p := &take{}
	at := func(k meter.Ticks) time.Duration { return s.Tempo.Duration(k, s.Meter) }
	for i := range s.Wants {
		w := &s.Wants[i]
		for _, k := range w.Keys() {
			v := uint8(70)
			if w.Accent || w.Role == score.Melody {
				v = 85
			}
			p.notes = append(p.notes, note{k, at(w.At), at(w.At+w.Dur) - 10*time.Millisecond, v, w.Hand, s.Bars[w.Bar].Number, w.Beat})
		}
	}
	return p
}

// each changes the notes of one stroke.
func (p *take) each(h pattern.Hand, bar int, b float64, change func(n *note)) *take {
	found := false
	for i := range p.notes {
		if n := &p.notes[i]; n.hand == h && n.bar == bar && n.beat == b {
			change(n)
			found = true
		}
	}
	if !found {
		panic("no such stroke")
	}
	return p
}

// keys gives a stroke other keys, in order; fewer keys leave notes out.
func (p *take) keys(h pattern.Hand, bar int, b float64, keys ...pitch.Num) *take {
	i := 0
	p.each(h, bar, b, func(n *note) {
		if i < len(keys) {
			n.key = keys[i]
		} else {
			n.velocity = 0
		}
		i++
	})
	return p
}

// oneByOne strikes the notes of a stroke one after another, each later by a gap.
func (p *take) oneByOne(h pattern.Hand, bar int, b float64, gap time.Duration) *take {
	var late time.Duration
	return p.each(h, bar, b, func(n *note) {
		n.at += late
		late += gap
	})
}

func (p *take) add(key pitch.Num, at, till time.Duration) *take {
	p.notes = append(p.notes, note{key: key, at: at, till: till, velocity: 70})
	return p
}

func (p *take) events() []event.Event {
	evs := append([]event.Event(nil), p.pedals...)
	for _, n := range p.notes {
		if n.velocity > 0 {
			evs = append(evs, event.On(n.at, uint8(n.key), n.velocity), event.Off(n.till, uint8(n.key)))
		}
	}
	sort.SliceStable(evs, func(i, j int) bool { return evs[i].At < evs[j].At })
	return evs
}

func run(s *score.Score, evs []event.Event, l rules.Level) ([]finding.Finding, *Engine) {
	e := New(s, Options{Level: l})
	var all []finding.Finding
	var last time.Duration
	for _, ev := range evs {
		all = append(all, e.Feed(ev)...)
		last = ev.At
	}
	return append(all, e.Finish(last)...), e
}

// wrongs are the sentences of all findings that are not Right.
func wrongs(s *score.Score, p *take) []string {
	found, e := run(s, p.events(), rules.Steady)
	out := []string{}
	for i := range found {
		if f := &found[i]; f.Kind != finding.Right {
			out = append(out, fmt.Sprintf("%s %s: %s", f.Part, f.Kind, voiceOf(e).Line(f)))
		}
	}
	return out
}

const (
	left  = pattern.Left
	right = pattern.Right
)

func TestRightPlayingIsConfirmedAtOnce(t *testing.T) {
	s := scoreOf(t, "4/4", "| C | G7 |", "two-beat")
	e := New(s, Options{Level: rules.Steady})
	var kinds []string
	for _, ev := range exact(s).events() {
		for _, f := range e.Feed(ev) {
			kinds = append(kinds, f.Kind.String())
			assert.Equal(t, ev.At, f.At, "told with the last note")
		}
	}
	assert.Equal(t, strings.Repeat("right ", 8), strings.Join(kinds, " ")+" ")
	assert.Empty(t, e.Finish(10*time.Second))
}

func TestMistakesAreNamed(t *testing.T) {
	const chordsInC = "| C | F | G7 | C |"
	ms := func(n int) time.Duration { return time.Duration(n) * time.Millisecond }
	for _, c := range []struct {
		name, meter, bars, pattern string
		bend                       func(p *take)
		want                       []string
	}{
		{"wrong bass", "4/4", chordsInC, "two-beat", func(p *take) { p.keys(left, 3, 1, 48) },
			[]string{"left wrong-bass: bar 3, beat 1: bass C, this is G7 - go down to G"}},
		{"wrong chord in the right hand", "4/4", chordsInC, "two-beat", func(p *take) { p.keys(right, 2, 2, 59, 62, 67) },
			[]string{"right wrong-chord: bar 2, beat 2: G/B, wanted F - play A C F"}},
		{"wrong chord in both hands", "4/4", chordsInC, "block-whole", func(p *take) { p.keys(left, 2, 1, 43).keys(right, 2, 1, 59, 62, 67) },
			[]string{"both wrong-chord: bar 2, beat 1: G, wanted F - play F A C F"}},
		{"one wrong note", "4/4", chordsInC, "block-whole", func(p *take) { p.keys(right, 1, 1, 60, 63, 67) },
			[]string{"right wrong-note: bar 1, beat 1: Cm, wanted C - keep C G, up to E"}},
		{"root position where the first inversion is asked", "4/4", "| C |", "name: x\nmeter: any\ngrid: bars\nright: ch1\n", func(p *take) { p.keys(right, 1, 1, 60, 64, 67) },
			[]string{"right wrong-inversion: bar 1, beat 1: C, wanted C/E - play E G C, E lowest"}},
		{"a jump where the nearest inversion is asked", "4/4", "| C | F |", "block-near", func(p *take) { p.keys(right, 2, 1, 65, 69, 72) },
			[]string{"right wrong-inversion: bar 2, beat 1: F, wanted the nearest F - play C F A, C lowest"}},
		{"a missing stroke", "3/4", "| C | F |", "waltz", func(p *take) { p.keys(right, 1, 3) },
			[]string{"right missing: bar 1, beat 3: no chord - strike C"}},
		{"a missing bass", "3/4", "| C | F |", "waltz", func(p *take) { p.keys(left, 2, 1) },
			[]string{"left missing: bar 2, beat 1: no bass - strike F"}},
		{"a missing note", "3/4", "| C | F |", "waltz", func(p *take) { p.keys(right, 1, 3, 60, 64) },
			[]string{"right missing: bar 1, beat 3: C without its fifth - add G"}},
		{"an extra stroke", "3/4", "| C | F |", "waltz", func(p *take) { p.add(48, 2*beat+beat/2, 3*beat) },
			[]string{"left extra: bar 1, beat 3 and: C does not belong here - leave out C"}},
		{"an extra note", "3/4", "| C | F |", "waltz", func(p *take) { p.add(62, beat, 2*beat) },
			[]string{"right extra: bar 1, beat 2: C D E G do not belong here - leave out D"}},
		{"late", "3/4", "| C | F |", "waltz", func(p *take) { p.each(right, 1, 2, func(n *note) { n.at += ms(130) }) },
			[]string{"right late: bar 1, beat 2: C 130 ms late - sooner, on beat 2"}},
		{"early", "3/4", "| C | F |", "waltz", func(p *take) { p.each(left, 2, 1, func(n *note) { n.at -= ms(110) }) },
			[]string{"left early: bar 2, beat 1: F 110 ms early - wait for beat 1"}},
		{"short", "4/4", chordsInC, "block-whole", func(p *take) { p.each(right, 2, 1, func(n *note) { n.till = n.at + ms(400) }) },
			[]string{"right short: bar 2, beat 1: let go at 20% of its length - hold C F A longer"}},
		{"a wrong note in a figure", "4/4", "| C |", "low-high-middle-high", func(p *take) { p.keys(left, 1, 2, 53) },
			[]string{"left wrong-note: bar 1, beat 2: F, wanted E - go down to E"}},
		{"a figure's note an octave off", "4/4", "| C |", "low-high-middle-high", func(p *take) { p.keys(left, 1, 2, 64) },
			[]string{"left wrong-note: bar 1, beat 2: E, an octave too high - go down an octave"}},
		{"a bass an octave and more too high", "4/4", chordsInC, "two-beat", func(p *take) { p.keys(left, 2, 1, 59) },
			[]string{"left wrong-bass: bar 2, beat 1: bass B, this is F - play F"}},
		{"a bass two octaves too high", "4/4", chordsInC, "two-beat", func(p *take) { p.keys(left, 2, 1, 65) },
			[]string{"left wrong-bass: bar 2, beat 1: bass F, two octaves too high - go down two octaves"}},
		{"a bass three octaves too high", "3/4", chordsInC, "waltz", func(p *take) { p.keys(left, 2, 1, 77) },
			[]string{"left wrong-bass: bar 2, beat 1: bass F, 3 octaves too high - go down 3 octaves"}},
		{"a bass that the chord has, too", "4/4", chordsInC, "block-half", func(p *take) { p.keys(left, 2, 1, 45) },
			[]string{"left wrong-bass: bar 2, beat 1: bass A, the root is wanted here - go down to F"}},
		{"a bass that the chord has, under a named inversion", "4/4", chordsInC, "block-root", func(p *take) { p.keys(left, 2, 1, 48) },
			[]string{"left wrong-bass: bar 2, beat 1: bass C, the root is wanted here - go up to F"}},
		{"a bass far off, and the next in its place", "4/4", chordsInC, "two-beat", func(p *take) { p.keys(left, 2, 1, 62).keys(left, 3, 1, 60) },
			[]string{"left wrong-bass: bar 2, beat 1: bass D, this is F - play F", "left wrong-bass: bar 3, beat 1: bass C, this is G7 - play G"}},
		{"a chord broken slowly", "4/4", chordsInC, "block-whole", func(p *take) { p.oneByOne(right, 2, 1, 250*time.Millisecond) },
			[]string{"right spread: bar 2, beat 1: C F A one after another - strike the notes together"}},
		{"a chord rolled slowly", "3/4", "| C | F |", "waltz", func(p *take) { p.oneByOne(right, 2, 2, 110*time.Millisecond) },
			[]string{"right spread: bar 2, beat 2: C F A one after another - strike the notes together"}},
		{"both hands broken slowly, one after the other", "4/4", chordsInC, "block-whole", func(p *take) {
			p.oneByOne(right, 2, 1, 200*time.Millisecond).each(right, 2, 1, func(n *note) { n.at += 200 * time.Millisecond })
		}, []string{"right spread: bar 2, beat 1: C F A one after another - strike the notes together"}},
		{"a chord on three beats", "4/4", chordsInC, "block-whole", func(p *take) { p.oneByOne(right, 2, 1, beat) },
			[]string{"right spread: bar 2, beat 1: C F A one after another - strike the notes together"}},
		{"a chord broken, and never complete", "4/4", chordsInC, "block-whole", func(p *take) { p.oneByOne(right, 2, 1, 250*time.Millisecond).keys(right, 2, 1, 60, 65) },
			[]string{"right missing: bar 2, beat 1: F without its third - add A"}},
		{"a walking bass that does not lead", "4/4", "| C | F |", "walking-quarters", func(p *take) { p.keys(left, 1, 4, 45) },
			[]string{"left wrong-bass: bar 1, beat 4: bass A, this is C - go down to E"}},
		{"accents the wrong way round", "4/4", "| C |", "backbeat", func(p *take) {
			for i := range p.notes {
				p.notes[i].velocity = 155 - p.notes[i].velocity
			}
		}, []string{"right balance: bar 1, beat 2: accent too soft - lean on beat 2"}},
		{"chords over the bass", "3/4", "| C |", "waltz", func(p *take) { p.each(left, 1, 1, func(n *note) { n.velocity = 40 }) },
			[]string{"right balance: bar 1, beat 1: chords too loud - lighter chords, firmer bass"}},
	} {
		s := scoreOf(t, c.meter, c.bars, c.pattern)
		p := exact(s)
		c.bend(p)
		assert.Equal(t, c.want, wrongs(s, p), c.name)
	}
}

func TestFreedomsAreGranted(t *testing.T) {
	for _, c := range []struct {
		name, meter, bars, pattern string
		bend                       func(p *take)
	}{
		{"another inversion", "4/4", "| C |", "block-whole", func(p *take) { p.keys(right, 1, 1, 64, 67, 72) }},
		{"another octave", "4/4", "| C |", "block-whole", func(p *take) { p.keys(left, 1, 1, 36).keys(right, 1, 1, 72, 76, 79) }},
		{"a doubled root", "4/4", "| C |", "block-whole", func(p *take) { p.add(72, 0, 3*beat) }},
		{"a bass in octaves", "4/4", "| C |", "block-whole", func(p *take) { p.add(36, 0, 3*beat) }},
		{"the fifth above or below", "4/4", "| C |", "two-beat", func(p *take) { p.keys(left, 1, 3, 55) }},
		{"a figure an octave lower", "4/4", "| C | F |", "low-high-middle-high", func(p *take) {
			for i := range p.notes {
				p.notes[i].key -= 12
			}
		}},
		{"a walking bass of one's own", "4/4", "| C | F |", "walking-quarters", func(p *take) { p.keys(left, 1, 2, 43).keys(left, 1, 3, 40).keys(left, 1, 4, 42) }},
		{"a tune over a left hand's figure", "4/4", "| C |", "broken-up", func(p *take) {
			p.add(76, 0, beat).add(74, beat, 2*beat).add(72, 2*beat, 4*beat)
		}},
		{"a seventh chord without its fifth", "4/4", "| G7 |", "block-whole", func(p *take) { p.keys(right, 1, 1, 65, 67, 71) }},
		{"fingers that do not land together", "4/4", "| C | F |", "block-whole", func(p *take) {
			for i := range p.notes {
				p.notes[i].at += time.Duration(i%4) * 13 * time.Millisecond
			}
		}},
		{"legato pedal", "4/4", "| C | F |", "block-whole", func(p *take) {
			p.pedals = []event.Event{event.Pedal(beat, 127), event.Pedal(4*beat+120*time.Millisecond, 0), event.Pedal(4*beat+300*time.Millisecond, 127)}
		}},
		{"a long note held by the pedal alone", "4/4", "| C |", "block-whole", func(p *take) {
			p.pedals = []event.Event{event.Pedal(beat/2, 127), event.Pedal(4*beat, 0)}
			for i := range p.notes {
				p.notes[i].till = beat
			}
		}},
	} {
		s := scoreOf(t, c.meter, c.bars, c.pattern)
		p := exact(s)
		c.bend(p)
		assert.Empty(t, wrongs(s, p), c.name)
	}
}

func TestBlurredPedalIsToldOnce(t *testing.T) {
	s := scoreOf(t, "4/4", "| C | F | C |", "block-whole")
	p := exact(s)
	p.pedals = []event.Event{event.Pedal(beat, 127), event.Pedal(7*beat, 0)}
	assert.Equal(t, []string{"pedal blurred: bar 2, beat 1: E G still in the pedal - new pedal with F"}, wrongs(s, p))
}

func TestExtraChordNotesStruckTogether(t *testing.T) {
	s := scoreOf(t, "3/4", "| C | F |", "waltz")
	p := exact(s)
	p.add(60, beat+beat/2, 2*beat).add(64, beat+beat/2, 2*beat)
	assert.Equal(t, []string{"right extra: bar 1, beat 2 and: C E do not belong here - leave out C E"}, wrongs(s, p))
}

func TestEveryPatternPlayedAsShownIsRight(t *testing.T) {
	cat := material.Catalogue(t)
	for _, p := range cat.Of(pattern.Accompaniment) {
		for _, m := range meter.Known() {
			if !p.Fits(m) {
				continue
			}
			s := scoreOf(t, m.String(), "| C | Am | F/A | G7 | Bdim | Csus4 | Dm7 | C9 |", p.Name)
			for _, l := range []rules.Level{rules.Gentle, rules.Steady, rules.Strict} {
				found, e := run(s, exact(s).events(), l)
				for i := range found {
					require.Equal(t, finding.Right, found[i].Kind, "%s in %s: %s", p.Name, m, voiceOf(e).Line(&found[i]))
				}
				require.Len(t, found, len(s.Wants), p.Name)
			}
		}
	}
}
