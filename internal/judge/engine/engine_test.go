package engine

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/material"
	"undersong/internal/test/sounding"
)

// The tunes are in C, 4/4 or 3/4, at 120 beats a minute: a beat is 500 ms.
const beat = 500 * time.Millisecond

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
func wrongs(s *score.Score, p *sounding.Take) []string {
	found, e := run(s, p.Events(), rules.Steady)
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
	s := sounding.ScoreOf(t, "4/4", "| C | G7 |", "two-beat")
	e := New(s, Options{Level: rules.Steady})
	var kinds []string
	for _, ev := range sounding.Exact(s).Events() {
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
		bend                       func(p *sounding.Take)
		want                       []string
	}{
		{"wrong bass", "4/4", chordsInC, "two-beat", func(p *sounding.Take) { p.Keys(left, 3, 1, 48) },
			[]string{"left wrong-bass: bar 3, beat 1: bass C, this is G7 - go down to G"}},
		{"wrong chord in the right hand", "4/4", chordsInC, "two-beat", func(p *sounding.Take) { p.Keys(right, 2, 2, 59, 62, 67) },
			[]string{"right wrong-chord: bar 2, beat 2: G/B, wanted F - play A C F"}},
		{"wrong chord in both hands", "4/4", chordsInC, "block-whole", func(p *sounding.Take) { p.Keys(left, 2, 1, 43).Keys(right, 2, 1, 59, 62, 67) },
			[]string{"both wrong-chord: bar 2, beat 1: G, wanted F - play F A C F"}},
		{"one wrong note", "4/4", chordsInC, "block-whole", func(p *sounding.Take) { p.Keys(right, 1, 1, 60, 63, 67) },
			[]string{"right wrong-note: bar 1, beat 1: Cm, wanted C - keep C G, Eb up to E"}},
		{"root position where the first inversion is asked", "4/4", "| C |", "name: x\nmeter: any\ngrid: bars\nright: ch1\n", func(p *sounding.Take) { p.Keys(right, 1, 1, 60, 64, 67) },
			[]string{"right wrong-inversion: bar 1, beat 1: C, wanted C/E - play E G C, E lowest"}},
		{"a jump where the nearest inversion is asked", "4/4", "| C | F |", "block-near", func(p *sounding.Take) { p.Keys(right, 2, 1, 65, 69, 72) },
			[]string{"right wrong-inversion: bar 2, beat 1: F, wanted the nearest F - play C F A, C lowest"}},
		{"a missing stroke", "3/4", "| C | F |", "waltz", func(p *sounding.Take) { p.Keys(right, 1, 3) },
			[]string{"right missing: bar 1, beat 3: no chord - strike C"}},
		{"a missing bass", "3/4", "| C | F |", "waltz", func(p *sounding.Take) { p.Keys(left, 2, 1) },
			[]string{"left missing: bar 2, beat 1: no bass - strike F"}},
		{"a missing note", "3/4", "| C | F |", "waltz", func(p *sounding.Take) { p.Keys(right, 1, 3, 60, 64) },
			[]string{"right missing: bar 1, beat 3: C without its fifth - add G"}},
		{"an extra stroke", "3/4", "| C | F |", "waltz", func(p *sounding.Take) { p.Add(48, 2*beat+beat/2, 3*beat) },
			[]string{"left extra: bar 1, beat 3 and: C does not belong here - leave out C"}},
		{"an extra note", "3/4", "| C | F |", "waltz", func(p *sounding.Take) { p.Add(62, beat, 2*beat) },
			[]string{"right extra: bar 1, beat 2: D does not belong here - leave out D"}},
		{"late", "3/4", "| C | F |", "waltz", func(p *sounding.Take) { p.Each(right, 1, 2, func(n *sounding.Note) { n.At += ms(130) }) },
			[]string{"right late: bar 1, beat 2: C 130 ms late - sooner, on beat 2"}},
		{"early", "3/4", "| C | F |", "waltz", func(p *sounding.Take) { p.Each(left, 2, 1, func(n *sounding.Note) { n.At -= ms(110) }) },
			[]string{"left early: bar 2, beat 1: F 110 ms early - wait for beat 1"}},
		{"short", "4/4", chordsInC, "block-whole", func(p *sounding.Take) { p.Each(right, 2, 1, func(n *sounding.Note) { n.Till = n.At + ms(400) }) },
			[]string{"right short: bar 2, beat 1: let go at 20% of its length - hold C F A longer"}},
		{"a wrong note in a figure", "4/4", "| C |", "low-high-middle-high", func(p *sounding.Take) { p.Keys(left, 1, 2, 53) },
			[]string{"left wrong-note: bar 1, beat 2: F, wanted E - go down to E"}},
		{"a figure's note an octave off", "4/4", "| C |", "low-high-middle-high", func(p *sounding.Take) { p.Keys(left, 1, 2, 64) },
			[]string{"left wrong-note: bar 1, beat 2: E, an octave too high - go down an octave"}},
		{"a bass an octave and more too high", "4/4", chordsInC, "two-beat", func(p *sounding.Take) { p.Keys(left, 2, 1, 59) },
			[]string{"left wrong-bass: bar 2, beat 1: bass B, this is F - play F"}},
		{"a bass two octaves too high", "4/4", chordsInC, "two-beat", func(p *sounding.Take) { p.Keys(left, 2, 1, 65) },
			[]string{"left wrong-bass: bar 2, beat 1: bass F, two octaves too high - go down two octaves"}},
		{"a bass three octaves too high", "3/4", chordsInC, "waltz", func(p *sounding.Take) { p.Keys(left, 2, 1, 77) },
			[]string{"left wrong-bass: bar 2, beat 1: bass F, 3 octaves too high - go down 3 octaves"}},
		{"a bass that the chord has, too", "4/4", chordsInC, "block-half", func(p *sounding.Take) { p.Keys(left, 2, 1, 45) },
			[]string{"left wrong-bass: bar 2, beat 1: bass A, the root is wanted here - go down to F"}},
		{"a bass that the chord has, under a named inversion", "4/4", chordsInC, "block-root", func(p *sounding.Take) { p.Keys(left, 2, 1, 48) },
			[]string{"left wrong-bass: bar 2, beat 1: bass C, the root is wanted here - go up to F"}},
		{"a bass far off, and the next in its place", "4/4", chordsInC, "two-beat", func(p *sounding.Take) { p.Keys(left, 2, 1, 62).Keys(left, 3, 1, 60) },
			[]string{"left wrong-bass: bar 2, beat 1: bass D, this is F - play F", "left wrong-bass: bar 3, beat 1: bass C, this is G7 - play G"}},
		{"a chord broken slowly", "4/4", chordsInC, "block-whole", func(p *sounding.Take) { p.OneByOne(right, 2, 1, 250*time.Millisecond) },
			[]string{"right spread: bar 2, beat 1: C F A one after another - strike the notes together"}},
		{"a chord rolled slowly", "3/4", "| C | F |", "waltz", func(p *sounding.Take) { p.OneByOne(right, 2, 2, 110*time.Millisecond) },
			[]string{"right spread: bar 2, beat 2: C F A one after another - strike the notes together"}},
		{"both hands broken slowly, one after the other", "4/4", chordsInC, "block-whole", func(p *sounding.Take) {
			p.OneByOne(right, 2, 1, 200*time.Millisecond).Each(right, 2, 1, func(n *sounding.Note) { n.At += 200 * time.Millisecond })
		}, []string{"right spread: bar 2, beat 1: C F A one after another - strike the notes together"}},
		{"a chord on three beats", "4/4", chordsInC, "block-whole", func(p *sounding.Take) { p.OneByOne(right, 2, 1, beat) },
			[]string{"right spread: bar 2, beat 1: C F A one after another - strike the notes together"}},
		{"a chord broken, and never complete", "4/4", chordsInC, "block-whole", func(p *sounding.Take) { p.OneByOne(right, 2, 1, 250*time.Millisecond).Keys(right, 2, 1, 60, 65) },
			[]string{"right missing: bar 2, beat 1: F without its third - add A"}},
		{"a walking bass that does not lead", "4/4", "| C | F |", "walking-quarters", func(p *sounding.Take) { p.Keys(left, 1, 4, 45) },
			[]string{"left wrong-bass: bar 1, beat 4: bass A, this is C - go down to E"}},
		{"accents the wrong way round", "4/4", "| C |", "backbeat", func(p *sounding.Take) {
			for i := range p.Notes {
				p.Notes[i].Velocity = 155 - p.Notes[i].Velocity
			}
		}, []string{"right balance: bar 1, beat 2: accent too soft - lean on beat 2"}},
		{"chords over the bass", "3/4", "| C |", "waltz", func(p *sounding.Take) { p.Each(left, 1, 1, func(n *sounding.Note) { n.Velocity = 40 }) },
			[]string{"right balance: bar 1, beat 1: chords too loud - lighter chords, firmer bass"}},
	} {
		s := sounding.ScoreOf(t, c.meter, c.bars, c.pattern)
		p := sounding.Exact(s)
		c.bend(p)
		assert.Equal(t, c.want, wrongs(s, p), c.name)
	}
}

func TestFreedomsAreGranted(t *testing.T) {
	for _, c := range []struct {
		name, meter, bars, pattern string
		bend                       func(p *sounding.Take)
	}{
		{"another inversion", "4/4", "| C |", "block-whole", func(p *sounding.Take) { p.Keys(right, 1, 1, 64, 67, 72) }},
		{"another octave", "4/4", "| C |", "block-whole", func(p *sounding.Take) { p.Keys(left, 1, 1, 36).Keys(right, 1, 1, 72, 76, 79) }},
		{"a doubled root", "4/4", "| C |", "block-whole", func(p *sounding.Take) { p.Add(72, 0, 3*beat) }},
		{"a bass in octaves", "4/4", "| C |", "block-whole", func(p *sounding.Take) { p.Add(36, 0, 3*beat) }},
		{"the fifth above or below", "4/4", "| C |", "two-beat", func(p *sounding.Take) { p.Keys(left, 1, 3, 55) }},
		{"a figure an octave lower", "4/4", "| C | F |", "low-high-middle-high", func(p *sounding.Take) {
			for i := range p.Notes {
				p.Notes[i].Key -= 12
			}
		}},
		{"a walking bass of one's own", "4/4", "| C | F |", "walking-quarters", func(p *sounding.Take) { p.Keys(left, 1, 2, 43).Keys(left, 1, 3, 40).Keys(left, 1, 4, 42) }},
		{"a tune over a left hand's figure", "4/4", "| C |", "broken-up", func(p *sounding.Take) {
			p.Add(76, 0, beat).Add(74, beat, 2*beat).Add(72, 2*beat, 4*beat)
		}},
		{"a seventh chord without its fifth", "4/4", "| G7 |", "block-whole", func(p *sounding.Take) { p.Keys(right, 1, 1, 65, 67, 71) }},
		{"fingers that do not land together", "4/4", "| C | F |", "block-whole", func(p *sounding.Take) {
			for i := range p.Notes {
				p.Notes[i].At += time.Duration(i%4) * 13 * time.Millisecond
			}
		}},
		{"legato pedal", "4/4", "| C | F |", "block-whole", func(p *sounding.Take) {
			p.Pedals = []event.Event{event.Pedal(beat, 127), event.Pedal(4*beat+120*time.Millisecond, 0), event.Pedal(4*beat+300*time.Millisecond, 127)}
		}},
		{"a long note held by the pedal alone", "4/4", "| C |", "block-whole", func(p *sounding.Take) {
			p.Pedals = []event.Event{event.Pedal(beat/2, 127), event.Pedal(4*beat, 0)}
			for i := range p.Notes {
				p.Notes[i].Till = beat
			}
		}},
	} {
		s := sounding.ScoreOf(t, c.meter, c.bars, c.pattern)
		p := sounding.Exact(s)
		c.bend(p)
		assert.Empty(t, wrongs(s, p), c.name)
	}
}

func TestBlurredPedalIsToldOnce(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F | C |", "block-whole")
	p := sounding.Exact(s)
	p.Pedals = []event.Event{event.Pedal(beat, 127), event.Pedal(7*beat, 0)}
	assert.Equal(t, []string{"pedal blurred: bar 2, beat 1: E G still in the pedal - new pedal with F"}, wrongs(s, p))
}

// The pedal ends every note that it alone held, from the lowest key of MIDI up.
func TestThePedalLetsGoOfEveryKey(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C |", "block-whole")
	p := sounding.Exact(s).Add(0, 0, beat/2)
	for i := range p.Notes {
		p.Notes[i].Till = beat / 2
	}
	p.Pedals = []event.Event{event.Pedal(beat/4, 127), event.Pedal(beat, 0)}
	p.Add(60, 4*beat, 5*beat) // after the end; until then it is seen whether they are struck again
	assert.Equal(t, []string{
		"left short: bar 1, beat 1: let go at 25% of its length - hold C C longer",
		"right short: bar 1, beat 1: let go at 25% of its length - hold C E G longer",
	}, wrongs(s, p))
}

func TestExtraChordNotesStruckTogether(t *testing.T) {
	s := sounding.ScoreOf(t, "3/4", "| C | F |", "waltz")
	p := sounding.Exact(s)
	p.Add(60, beat+beat/2, 2*beat).Add(64, beat+beat/2, 2*beat)
	assert.Equal(t, []string{"right extra: bar 1, beat 2 and: C E do not belong here - leave out C E"}, wrongs(s, p))
}

func TestEveryPatternPlayedAsShownIsRight(t *testing.T) {
	cat := material.Catalogue(t)
	for _, p := range cat.Of(pattern.Accompaniment) {
		for _, m := range meter.Known() {
			if !p.Fits(m) {
				continue
			}
			s := sounding.ScoreOf(t, m.String(), "| C | Am | F/A | G7 | Bdim | Csus4 | Dm7 | C9 |", p.Name)
			for _, l := range []rules.Level{rules.Gentle, rules.Steady, rules.Strict} {
				found, e := run(s, sounding.Exact(s).Events(), l)
				for i := range found {
					require.Equal(t, finding.Right, found[i].Kind, "%s in %s: %s", p.Name, m, voiceOf(e).Line(&found[i]))
				}
				require.Len(t, found, len(s.Wants), p.Name)
			}
		}
	}
}
