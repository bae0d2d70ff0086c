package coach_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"undersong/internal/judge/engine"
	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
	"undersong/internal/test/golden"
	"undersong/internal/test/sounding"
)

const (
	left  = pattern.Left
	right = pattern.Right
	ms    = time.Millisecond
	beat  = 500 * ms // at 120
)

// heard is what is told of a performance, in the order of telling.
func heard(s *score.Score, evs []event.Event, o engine.Options) ([]finding.Finding, finding.Summary) {
	e := engine.New(s, o)
	var all []finding.Finding
	var last time.Duration
	for _, ev := range evs {
		all = append(all, e.Feed(ev)...)
		last = ev.At
	}
	return append(all, e.Finish(last)...), e.Summary()
}

// names are notes as in "C3 E4".
func names(s *score.Score, keys *finding.Keys) string {
	var all []string
	for i := range keys.Len() {
		k := keys.At(i)
		all = append(all, k.Spell(s.Key.Spell(k.Class())).String())
	}
	return strings.Join(all, " ")
}

// line is a finding as notes and numbers: "3.1 left wrong-bass C3 > G2", what
// happened on the left of >, what should have on the right.
func line(s *score.Score, f *finding.Finding) string {
	text := fmt.Sprintf("%d.%.4g %s %s", s.Bars[f.Bar].Number, f.Beat, f.Part, f.Kind)
	if f.Pass > 0 {
		text += fmt.Sprintf(" pass %d", f.Pass)
	}
	if f.Heard.Len() > 0 {
		text += " " + names(s, &f.Heard)
	}
	if f.Goal.Len() > 0 {
		text += " > " + names(s, &f.Goal)
	}
	if f.Offset != 0 {
		text += fmt.Sprintf(" by %v", f.Offset)
	}
	if f.Share != 0 {
		text += fmt.Sprintf(" %.2f", f.Share)
	}
	switch {
	case f.Accent:
		text += " accent"
	case f.Sung:
		text += " tune"
	}
	return text + fmt.Sprintf(" at %v", f.At)
}

// part is a bend of one hand's stroke: other keys, later by some time.
type part struct {
	hand  pattern.Hand
	bar   int
	beat  float64
	keys  string // "" as written, "-" none
	late  time.Duration
	apart time.Duration // its notes one after another
	held  time.Duration // 0 as written
	loud  uint8         // 0 as written
}

// bent is a performance of a score with some strokes bent.
func bent(t *testing.T, s *score.Score, parts ...part) *sounding.Take {
	p := sounding.Exact(s)
	for _, b := range parts {
		switch b.keys {
		case "":
		case "-":
			p.Keys(b.hand, b.bar, b.beat)
		default:
			p.Keys(b.hand, b.bar, b.beat, sounding.Keys(t, b.keys)...)
		}
		p.OneByOne(b.hand, b.bar, b.beat, b.apart)
		p.Each(b.hand, b.bar, b.beat, func(n *sounding.Note) {
			n.At = max(0, n.At+b.late)
			if b.held > 0 {
				n.Till = n.At + b.held
			}
			if b.loud > 0 && n.Velocity > 0 {
				n.Velocity = b.loud
			}
		})
	}
	return p
}

const (
	four  = "| C | F | G7 | C |"
	eight = "| C | F | G7 | C | Am | F | G7 | C |"
	sung  = "| C | F |\nm: | E2 G2 c2 E2 | A2 F2 D2 F2 |"
	tune  = "name: own\nmeter: 4/4\ngrid: quarters\nright: tu tu tu tu\nleft: 1 - - -\n"
	under = "name: own\nmeter: 4/4\ngrid: quarters\nright: tu+ch tu tu tu\nleft: 1 - - -\n"
)

// performances are what is played, and how it is listened to.
var performances = []struct {
	name, meter, bars, pattern string
	options                    engine.Options
	parts                      []part
	change                     func(s *score.Score, p *sounding.Take)
}{
	{"nothing is wrong", "4/4", "| C |", "two-beat", engine.Options{}, nil, nil},
	{"another inversion, doubled, the bass an octave down", "4/4", "| C |", "block-whole", engine.Options{}, []part{{left, 1, 1, "C2", 0, 0, 0, 0}, {right, 1, 1, "E4 G4 C5", 0, 0, 0, 0}},
		func(_ *score.Score, p *sounding.Take) { p.Add(76, 0, beat) }},
	{"a wrong bass", "4/4", four, "two-beat", engine.Options{}, []part{{left, 3, 1, "C3", 0, 0, 0, 0}}, nil},
	{"a bass two octaves too high", "4/4", four, "two-beat", engine.Options{}, []part{{left, 2, 1, "F4", 0, 0, 0, 0}}, nil},
	{"a bass far off, then one that is right", "4/4", four, "two-beat", engine.Options{}, []part{{left, 2, 1, "B3", 0, 0, 0, 0}}, nil},
	{"a bass of the chord", "4/4", four, "block-half", engine.Options{}, []part{{left, 2, 1, "A2", 0, 0, 0, 0}}, nil},
	{"a wrong chord", "4/4", four, "two-beat", engine.Options{}, []part{{right, 2, 2, "B3 D4 G4", 0, 0, 0, 0}}, nil},
	{"a wrong chord of both hands", "4/4", four, "block-whole", engine.Options{}, []part{{left, 2, 1, "G2", 0, 0, 0, 0}, {right, 2, 1, "B3 D4 G4", 0, 0, 0, 0}}, nil},
	{"a wrong bass under a wrong note, which make a chord", "4/4", four, "block-whole", engine.Options{}, []part{{left, 1, 1, "A2", 0, 0, 0, 0}, {right, 1, 1, "C4 E4 A4", 0, 0, 0, 0}}, nil},
	{"a wrong bass under a wrong note, which make none", "4/4", four, "block-whole", engine.Options{}, []part{{left, 1, 1, "D3", 0, 0, 0, 0}, {right, 1, 1, "C4 F#4 G4", 0, 0, 0, 0}}, nil},
	{"one wrong note", "4/4", four, "block-whole", engine.Options{}, []part{{right, 1, 1, "C4 Eb4 G4", 0, 0, 0, 0}}, nil},
	{"a wrong inversion", "4/4", "| C |", "block-first", engine.Options{}, []part{{right, 1, 1, "C4 E4 G4", 0, 0, 0, 0}}, nil},
	{"a jump where the nearest is asked, and back", "4/4", "| C | F | C |", "block-near", engine.Options{}, []part{{right, 2, 1, "F4 A4 C5", 0, 0, 0, 0}}, nil},
	{"a jump, and on from there", "4/4", "| C | F | C |", "block-near", engine.Options{}, []part{{right, 2, 1, "F4 A4 C5", 0, 0, 0, 0}, {right, 3, 1, "E4 G4 C5", 0, 0, 0, 0}}, nil},
	{"after a wrong chord any inversion will do", "4/4", "| C | F | C |", "block-near", engine.Options{}, []part{{right, 2, 1, "B3 D4 F4", 0, 0, 0, 0}, {right, 3, 1, "G3 C4 E4", 0, 0, 0, 0}}, nil},
	{"a missing stroke", "3/4", four, "waltz", engine.Options{}, []part{{right, 1, 3, "-", 0, 0, 0, 0}}, nil},
	{"a missing bass", "3/4", four, "waltz", engine.Options{}, []part{{left, 2, 1, "-", 0, 0, 0, 0}}, nil},
	{"a missing note", "3/4", four, "waltz", engine.Options{}, []part{{right, 1, 3, "C4 E4", 0, 0, 0, 0}}, nil},
	{"an extra stroke", "3/4", four, "waltz", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) { p.Add(48, 2*beat+beat/2, 3*beat) }},
	{"an extra stroke of both hands", "3/4", four, "waltz", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) {
		p.Add(36, 2*beat+beat/2, 3*beat).Add(64, 2*beat+beat/2, 3*beat).Add(67, 2*beat+beat/2, 3*beat)
	}},
	{"an extra note", "3/4", four, "waltz", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) { p.Add(62, beat, 2*beat) }},
	{"an extra note after the chord was told", "3/4", four, "waltz", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) { p.Add(62, beat+40*ms, 2*beat) }},
	{"late", "3/4", four, "waltz", engine.Options{}, []part{{right, 1, 2, "", 86 * ms, 0, 0, 0}}, nil},
	{"hardly late", "3/4", four, "waltz", engine.Options{}, []part{{right, 1, 2, "", 85 * ms, 0, 0, 0}}, nil},
	{"early", "3/4", four, "waltz", engine.Options{}, []part{{left, 2, 1, "", -86 * ms, 0, 0, 0}}, nil},
	{"hardly early", "3/4", four, "waltz", engine.Options{}, []part{{left, 2, 1, "", -85 * ms, 0, 0, 0}}, nil},
	{"long before its time, and nothing nearer", "4/4", four, "block-whole", engine.Options{}, []part{{right, 2, 1, "", -300 * ms, 0, 0, 0}}, nil},
	{"long before its time, and again in time", "4/4", four, "block-whole", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) {
		p.Add(60, 4*beat-300*ms, 4*beat-50*ms).Add(65, 4*beat-300*ms, 4*beat-50*ms).Add(69, 4*beat-300*ms, 4*beat-50*ms)
	}},
	{"one note after another", "4/4", four, "block-whole", engine.Options{}, []part{{right, 2, 1, "", 0, 250 * ms, 0, 0}}, nil},
	{"one note after another, and one too few", "4/4", four, "block-whole", engine.Options{}, []part{{right, 2, 1, "C4 F4", 0, 250 * ms, 0, 0}}, nil},
	{"one note after another, and one wrong", "4/4", four, "block-whole", engine.Options{}, []part{{right, 2, 1, "C4 F#4 A4", 0, 250 * ms, 0, 0}}, nil},
	{"a roll that is asked for", "4/4", four, "rolled-whole", engine.Options{}, []part{{right, 2, 1, "", 0, 60 * ms, 0, 0}}, nil},
	{"a slow roll", "4/4", four, "rolled-whole", engine.Options{}, []part{{right, 2, 1, "", 0, 200 * ms, 0, 0}}, nil},
	{"short", "4/4", four, "block-whole", engine.Options{}, []part{{right, 2, 1, "", 0, 0, 400 * ms, 0}}, nil},
	{"late, and let go in time", "4/4", four, "block-whole", engine.Options{}, []part{{right, 2, 1, "", 80 * ms, 0, 920 * ms, 0}}, nil},
	{"short, but struck again at once", "4/4", four, "block-whole", engine.Options{}, []part{{right, 2, 1, "", 0, 0, 400 * ms, 0}}, func(_ *score.Score, p *sounding.Take) { p.Add(60, 4*beat+430*ms, 7*beat) }},
	{"blurred", "4/4", "| C | F | C |", "block-whole", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) {
		p.Pedals = []event.Event{event.Pedal(beat, 127), event.Pedal(7*beat, 0)}
	}},
	{"a pedal changed with the chord", "4/4", "| C | F | C |", "block-whole", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) {
		p.Pedals = []event.Event{event.Pedal(beat, 127), event.Pedal(4*beat+240*ms, 0), event.Pedal(5*beat, 127), event.Pedal(7*beat, 0)}
	}},
	{"accents the wrong way round", "4/4", "| C | C |", "backbeat", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) {
		for i := range p.Notes {
			p.Notes[i].Velocity = 155 - p.Notes[i].Velocity
		}
	}},
	{"chords over the bass", "3/4", "| C | C |", "waltz", engine.Options{}, []part{{left, 2, 1, "", 0, 0, 0, 40}}, nil},
	{"chords a little over the bass, of a player whose touch is even", "3/4", "| C |" + strings.Repeat(" C |", 9), "waltz", engine.Options{}, []part{{left, 10, 1, "", 0, 0, 0, 57}}, nil},
	{"a tune under its chord", "4/4", sung, under, engine.Options{}, []part{{right, 1, 2, "", 0, 0, 0, 60}, {right, 1, 3, "", 0, 0, 0, 60}, {right, 1, 4, "", 0, 0, 0, 60}}, func(_ *score.Score, p *sounding.Take) {
		p.Each(right, 1, 1, func(n *sounding.Note) {
			n.Velocity = 90
			if n.Key == 64 {
				n.Velocity = 60
			}
		})
	}},
	{"a wrong note of a figure", "4/4", "| C |", "low-high-middle-high", engine.Options{}, []part{{left, 1, 2, "F3", 0, 0, 0, 0}}, nil},
	{"two wrong notes in a figure that is right but for them", "4/4", "| C |", "low-high-middle-high", engine.Options{}, []part{{left, 1, 3.5, "A3", 0, 0, 0, 0}, {left, 1, 4.5, "A3", 0, 0, 0, 0}}, nil},
	{"another chord in a figure", "4/4", "| C |", "low-high-middle-high", engine.Options{}, []part{{left, 1, 1.5, "A3", 0, 0, 0, 0}, {left, 1, 2, "F3", 0, 0, 0, 0}, {left, 1, 2.5, "A3", 0, 0, 0, 0}}, nil},
	{"a figure's note an octave off", "4/4", "| C |", "low-high-middle-high", engine.Options{}, []part{{left, 1, 2, "E4", 0, 0, 0, 0}}, nil},
	{"a tune's note left out", "4/4", sung, tune, engine.Options{}, []part{{right, 1, 3, "-", 0, 0, 0, 0}}, nil},
	{"a tune's wrong note", "4/4", sung, tune, engine.Options{}, []part{{right, 2, 2, "E4", 0, 0, 0, 0}}, nil},
	{"a tune's note an octave up", "4/4", sung, tune, engine.Options{}, []part{{right, 1, 3, "C6", 0, 0, 0, 0}}, nil},
	{"a tune's first note an octave down", "4/4", sung, tune, engine.Options{}, []part{{right, 1, 1, "E3", 0, 0, 0, 0}}, nil},
	{"another note over the tune", "4/4", sung, under, engine.Options{}, []part{{right, 1, 1, "C4 E4 G4", 0, 0, 0, 0}}, nil},
	{"a player who stops", "4/4", eight, "block-whole", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) { p.Notes = p.Notes[:8] }},
	{"a player who misses the end", "4/4", four, "block-whole", engine.Options{}, []part{{right, 4, 1, "-", 0, 0, 0, 0}, {left, 4, 1, "-", 0, 0, 0, 0}}, nil},
	{"warming up, and on after the end", "4/4", "| C | F |", "block-whole", engine.Options{Start: 4 * time.Second}, nil, func(_ *score.Score, p *sounding.Take) {
		for i := range p.Notes {
			p.Notes[i].At += 4 * time.Second
			p.Notes[i].Till += 4 * time.Second
		}
		p.Add(50, time.Second, time.Second+beat).Add(71, 8*time.Second+800*ms, 9*time.Second)
	}},
	{"the second pass", "4/4", "| C | F |", "two-beat", engine.Options{Loop: true}, nil, func(_ *score.Score, p *sounding.Take) {
		for _, n := range p.Notes {
			n.At, n.Till = n.At+4*time.Second, n.Till+4*time.Second
			if n.Bar == 2 && n.Beat == 1 {
				n.Key = 43
			}
			if n.Bar == 1 && n.Hand == left {
				n.Velocity = 40
			}
			p.Notes = append(p.Notes, n)
		}
	}},
	{"gentle hears late otherwise", "3/4", four, "waltz", engine.Options{Level: rules.Gentle}, []part{{right, 1, 2, "", 110 * ms, 0, 0, 0}}, nil},
	{"strict, too", "3/4", four, "waltz", engine.Options{Level: rules.Strict}, []part{{right, 1, 2, "", 41 * ms, 0, 0, 0}}, nil},

	{"the left hand alone is judged", "4/4", "| C | F |", "two-beat", engine.Options{}, []part{{right, 1, 2, "C#4 F4", 0, 0, 0, 0}, {left, 2, 1, "G2", 0, 0, 0, 0}},
		func(s *score.Score, _ *sounding.Take) { s.Only = score.LeftAlone }},
	{"the right hand alone, and an extra stroke of both", "4/4", "| C | F |", "two-beat", engine.Options{}, nil, func(s *score.Score, p *sounding.Take) {
		s.Only = score.RightAlone
		p.Add(36, beat/2, beat).Add(64, beat/2, beat).Add(67, beat/2, beat)
	}},
	{"a forearm", "4/4", "| C | F |", "two-beat", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) {
		for key := pitch.Num(60); key < 80; key++ {
			p.Add(key, 4*beat+beat/2, 5*beat)
		}
	}},
	{"nothing at all", "4/4", "| C | F |", "two-beat", engine.Options{}, nil, func(_ *score.Score, p *sounding.Take) { p.Notes = nil }},

	{"led: nothing at all", "4/4", "| C | F |", "two-beat", engine.Options{Led: true}, nil, func(_ *score.Score, p *sounding.Take) { p.Notes = nil }},
	{"led: the right hand alone, with the left's part", "4/4", eight, "two-beat", engine.Options{Led: true}, []part{{left, 3, 1, "C3", 0, 0, 0, 0}, {right, 4, 2, "B3 D4 G4", 0, 0, 0, 0}, {right, 6, 4, "-", 0, 0, 0, 0}},
		func(s *score.Score, _ *sounding.Take) { s.Only = score.RightAlone }},
	{"led: the left hand alone, with a tune", "4/4", eight, "broken-up", engine.Options{Led: true}, []part{{left, 4, 2, "F3", 0, 0, 0, 0}}, func(s *score.Score, p *sounding.Take) {
		s.Only = score.LeftAlone
		for i := range 16 {
			p.Add(76+pitch.Num(i%5), time.Duration(2*i)*beat, time.Duration(2*i+1)*beat)
		}
	}},
	{"led: other music to the end", "4/4", eight, "two-beat", engine.Options{Led: true}, nil, func(_ *score.Score, p *sounding.Take) {
		for i := range p.Notes {
			if n := &p.Notes[i]; n.Bar > 2 {
				n.Key = 49 + pitch.Num(i*i*7%31)
				n.At += time.Duration(i*i*37%311) * ms
			}
		}
	}},
	{"led: a chord left out at the very end", "4/4", eight, "two-beat", engine.Options{Led: true}, []part{{left, 8, 3, "-", 0, 0, 0, 0}}, nil},
	{"led: the bass of the last beat left out", "4/4", eight, "block-half", engine.Options{Led: true}, []part{{left, 8, 3, "-", 0, 0, 0, 0}}, nil},
	{"led: nothing is wrong", "4/4", "| C | F |", "two-beat", engine.Options{Led: true}, nil, nil},
	{"led: as slowly as one likes", "4/4", "| C | F |", "two-beat", engine.Options{Led: true}, nil, func(_ *score.Score, p *sounding.Take) {
		for i := range p.Notes {
			x := p.Notes[i].At.Seconds()
			p.Notes[i].At = time.Duration((2 + 1.3*x + 0.02*x*x) * float64(time.Second))
			p.Notes[i].Till = p.Notes[i].At + beat
		}
	}},
	{"led: a wrong bass and a missing chord", "4/4", eight, "two-beat", engine.Options{Led: true}, []part{{left, 3, 1, "C3", 0, 0, 0, 0}, {right, 4, 4, "-", 0, 0, 0, 0}}, nil},
	{"led: a wrong chord", "4/4", eight, "two-beat", engine.Options{Led: true}, []part{{right, 4, 2, "B3 D4 G4", 0, 0, 0, 0}}, nil},
	{"led: another bar's chord", "4/4", eight, "two-beat", engine.Options{Led: true}, []part{{left, 4, 1, "F2", 0, 0, 0, 0}, {right, 4, 2, "C4 F4 A4", 0, 0, 0, 0}}, nil},
	{"led: a stroke out of time", "4/4", eight, "two-beat", engine.Options{Led: true}, []part{{left, 3, 3, "", -180 * ms, 0, 0, 0}}, nil},
	{"led: an extra stroke", "4/4", eight, "two-beat", engine.Options{Led: true}, nil, func(_ *score.Score, p *sounding.Take) { p.Add(50, 9*beat+beat/2, 10*beat) }},
	{"led: let go too early", "4/4", eight, "block-whole", engine.Options{Led: true}, []part{{right, 3, 1, "", 0, 0, 400 * ms, 0}}, nil},
	{"led: blurred", "4/4", "| C | F | C |", "block-whole", engine.Options{Led: true}, nil, func(_ *score.Score, p *sounding.Take) {
		p.Pedals = []event.Event{event.Pedal(beat, 127), event.Pedal(7*beat, 0)}
	}},
	{"led: chords over the bass", "3/4", "| C | C | C |", "waltz", engine.Options{Led: true}, []part{{left, 2, 1, "", 0, 0, 0, 40}}, nil},
	{"led: from the second bar on", "4/4", eight, "two-beat", engine.Options{Led: true}, nil, func(_ *score.Score, p *sounding.Take) { p.Notes = p.Notes[8:] }},
	{"led: a bar left out", "4/4", eight, "two-beat", engine.Options{Led: true}, nil, func(_ *score.Score, p *sounding.Take) { moveFrom(p, 5, 6, -4*beat) }},
	{"led: three bars left out", "4/4", eight, "low-high-middle-high", engine.Options{Led: true}, nil, func(_ *score.Score, p *sounding.Take) { moveFrom(p, 3, 6, -12*beat) }},
	{"led: back to the beginning", "4/4", eight, "low-high-middle-high", engine.Options{Led: true}, nil, func(_ *score.Score, p *sounding.Take) {
		all := p.Notes
		p.Notes = nil
		for _, n := range all {
			if n.Bar <= 3 {
				p.Notes = append(p.Notes, n)
			}
		}
		for _, n := range all {
			n.At, n.Till = n.At+14*beat, n.Till+14*beat
			p.Notes = append(p.Notes, n)
		}
	}},
	{"led: other music", "4/4", eight, "two-beat", engine.Options{Led: true}, nil, func(_ *score.Score, p *sounding.Take) {
		for i := range p.Notes {
			if n := &p.Notes[i]; n.Bar > 2 && n.Bar < 7 {
				n.Key = 49 + pitch.Num(i*i*7%31)
				n.At += time.Duration(i*i*37%311) * ms
			}
		}
	}},
	{"led: round and round", "4/4", "| C | F |", "two-beat", engine.Options{Led: true, Loop: true}, nil, func(_ *score.Score, p *sounding.Take) {
		for _, n := range p.Notes {
			n.At, n.Till = n.At+8*beat, n.Till+8*beat
			p.Notes = append(p.Notes, n)
		}
	}},
	{"led: a tune's wrong note", "4/4", sung, tune, engine.Options{Led: true}, []part{{right, 2, 2, "E4", 0, 0, 0, 0}}, nil},
}

// moveFrom leaves out the bars from one to before another, and moves what comes then.
func moveFrom(p *sounding.Take, from, to int, by time.Duration) {
	kept := p.Notes[:0]
	for _, n := range p.Notes {
		if n.Bar >= to {
			n.At, n.Till = n.At+by, n.Till+by
		}
		if n.Bar < from || n.Bar >= to {
			kept = append(kept, n)
		}
	}
	p.Notes = kept
}

// What is told of each, in order, what is right only in count.
func TestWhatIsTold(t *testing.T) {
	var text strings.Builder
	for _, c := range performances {
		s := sounding.ScoreOf(t, c.meter, c.bars, c.pattern)
		if c.options.Level.Name == "" {
			c.options.Level = rules.Steady
		}
		p := bent(t, s, c.parts...)
		if c.change != nil {
			c.change(s, p)
		}
		found, sum := heard(s, p.Events(), c.options)
		fmt.Fprintf(&text, "%s: %d right\n", c.name, sum.Count(finding.Right))
		for i := range found {
			if found[i].Kind != finding.Right {
				fmt.Fprintf(&text, "    %s\n", line(s, &found[i]))
			}
		}
	}
	golden.Equal(t, "told.txt", text.String())
}
