package timing

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/rules"
	"undersong/internal/listen/follow"
	"undersong/internal/listen/handsep"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
	"undersong/internal/test/golden"
	"undersong/internal/test/sounding"
)

func leading(s *score.Score, o LeadOptions) (*Lead, *clerk) {
	c := &clerk{}
	k := NewLead(s, follow.NewFollower(s, follow.FollowOptions{Loop: o.Loop}), o, c)
	return k, c
}

// walk lets a player lead, and writes down for each onset the place that is taken for
// its own and what the judge is told. A mistake is found in every onset with a wrong
// note, so that it can be seen what becomes of it.
func walk(k *Lead, c *clerk, p *sounding.Take) string {
	text := "   "
	flush := func(what string) {
		text += " " + what
		if len(c.told) > 0 {
			text += " [" + strings.Join(c.told, ", ") + "]"
			c.told = nil
		}
		if len(text)-strings.LastIndex(text, "\n") > 90 {
			text += "\n   "
		}
	}
	o := &k.sep.Onset
	settle := func() {
		if !o.Active() {
			return
		}
		judged := k.Settle(o.Ends())
		what := "not judged"
		if judged {
			what = k.where()
			for i, h := range k.sep.Hands {
				j := o.Open[i].Stroke
				if h.Free() || j < 0 {
					continue
				}
				before := h.Stroke(j).Foreign
				k.sep.Commit(h)
				st := h.Stroke(j)
				st.Judged = st.Judged || st.Heard.Len() > 0
				if st.Foreign > before {
					f := finding.Finding{Kind: finding.WrongNote, Bar: h.Want(j).Bar, Want: h.WantIndex(j)}
					what += map[bool]string{true: ", wrong", false: ", wrong: not yet"}[k.Admit(&f)]
				}
			}
			o.End()
		}
		flush(what + ";")
	}
	for _, ev := range p.Events() {
		if !ev.IsNoteOn() {
			continue
		}
		if o.Active() && ev.At > o.Ends() {
			settle()
		}
		if key := pitch.Num(ev.Data1); k.Strike(key, ev.Data2, ev.At) {
			o.Add(handsep.Strike{Key: key, Velocity: ev.Data2, At: ev.At})
			k.sep.Assign()
		}
	}
	settle()
	k.Finish(p.Notes[len(p.Notes)-1].Till)
	flush("end")
	return strings.TrimRight(text, " \n") + "\n"
}

// where is the place of each hand's open stroke, and how sure it is.
func (k *Lead) where() string {
	text := ""
	for i, h := range k.sep.Hands {
		if j := k.sep.Onset.Open[i].Stroke; j >= 0 {
			w := h.Want(j)
			text += fmt.Sprintf("%.1s%d.%g ", h.Which, w.Bar+1, w.Beat)
		}
	}
	if text == "" {
		text = "nowhere "
	}
	if k.mute {
		text += "mute "
	}
	if k.doubtful {
		text += "doubtful "
	} else if k.unsure {
		text += "unsure "
	}
	return strings.TrimSpace(text)
}

func TestWhereThePlayerLeads(t *testing.T) {
	const eight = "| C | F | G7 | C | Am | F | G7 | C |"
	var text strings.Builder
	for _, c := range []struct {
		name, bars, pattern string
		loop                bool
		change              func(p *sounding.Take)
	}{
		{"as written", "| C | F |", "two-beat", false, nil},
		{"round and round", "| C | F |", "two-beat", true, func(p *sounding.Take) {
			for _, n := range p.Notes {
				n.At, n.Till = n.At+8*beat, n.Till+8*beat
				p.Notes = append(p.Notes, n)
			}
		}},
		{"the first stroke left out", eight, "two-beat", false, func(p *sounding.Take) { p.Keys(left, 1, 1) }},
		{"a stroke left out", eight, "two-beat", false, func(p *sounding.Take) { p.Keys(right, 3, 2) }},
		{"a wrong bass", eight, "two-beat", false, func(p *sounding.Take) { p.Keys(left, 3, 1, 48) }},
		{"two wrong strokes", eight, "two-beat", false, func(p *sounding.Take) { p.Keys(left, 3, 1, 49).Keys(right, 3, 2, 61, 66, 70) }},
		{"an extra stroke", eight, "two-beat", false, func(p *sounding.Take) { p.Add(50, 9*beat+beat/2, 10*beat) }},
		{"a bar left out", eight, "two-beat", false, func(p *sounding.Take) { leaveOut(p, 5, 6) }},
		{"three bars left out", eight, "low-high-middle-high", false, func(p *sounding.Take) { leaveOut(p, 3, 6) }},
		{"a pause", eight, "two-beat", false, func(p *sounding.Take) {
			for i := range p.Notes {
				if n := &p.Notes[i]; n.Bar >= 4 {
					n.At, n.Till = n.At+20*time.Second, n.Till+20*time.Second
				}
			}
		}},
		{"a stroke out of time", eight, "two-beat", false, func(p *sounding.Take) {
			p.Each(left, 3, 3, func(n *sounding.Note) { n.At -= 180 * ms })
		}},
		{"other music", eight, "two-beat", false, func(p *sounding.Take) {
			for i := range p.Notes {
				if n := &p.Notes[i]; n.Bar > 2 && n.Bar < 7 {
					n.Key = 49 + pitch.Num(i*i*7%31)
					n.At += time.Duration(i*i*37%311) * ms
				}
			}
		}},
		{"other music to the end", eight, "two-beat", false, func(p *sounding.Take) {
			for i := range p.Notes {
				if n := &p.Notes[i]; n.Bar > 2 {
					n.Key = 49 + pitch.Num(i*i*7%31)
					n.At += time.Duration(i*i*37%311) * ms
				}
			}
		}},
		{"from the third bar", eight, "two-beat", false, func(p *sounding.Take) { leaveOut(p, 1, 3) }},
		{"the tune", "| C | F |\nm: | E2 G2 c2 E2 | A2 F2 D2 F2 |", "broken-up", false, nil},
	} {
		s := sounding.ScoreOf(t, "4/4", c.bars, c.pattern)
		p := sounding.Exact(s)
		if c.change != nil {
			c.change(p)
		}
		k, clerk := leading(s, LeadOptions{Loop: c.loop, High: 127})
		fmt.Fprintf(&text, "%s\n%s", c.name, walk(k, clerk, p))
	}
	golden.Equal(t, "lead.txt", text.String())
}

// leaveOut leaves out the bars from one to before another, and goes on at once.
func leaveOut(p *sounding.Take, from, to int) {
	kept := p.Notes[:0]
	for _, n := range p.Notes {
		if n.Bar >= to {
			by := time.Duration(to-from) * 4 * beat
			n.At, n.Till = n.At-by, n.Till-by
		}
		if n.Bar < from || n.Bar >= to {
			kept = append(kept, n)
		}
	}
	p.Notes = kept
}

// Keys of the other hand are left out of account, but known of for eight beats.
func TestTheHandThatIsNotFollowed(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F | G7 | C |", "block-whole")
	k, _ := leading(s, LeadOptions{Low: 55, High: 80})
	assert.False(t, k.Strike(54, 64, 0))
	assert.False(t, k.Strike(81, 64, 0))
	assert.True(t, k.Strike(55, 64, 0), "at the bound")
	assert.False(t, k.sep.Onset.Alone)
	quiet, _ := leading(s, LeadOptions{Low: 55, High: 80})
	assert.True(t, quiet.Strike(80, 64, 0))
	assert.True(t, quiet.sep.Onset.Alone, "nobody else plays")
	for _, c := range []struct {
		after time.Duration
		alone bool
	}{{4*time.Second - 1, false}, {4 * time.Second, true}} {
		k, _ := leading(s, LeadOptions{Low: 55, High: 80})
		k.Strike(40, 64, time.Second)
		k.Strike(60, 64, time.Second+c.after)
		assert.Equal(t, c.alone, k.sep.Onset.Alone, "%v after", c.after)
	}
}

// What belongs to the place where the player was last is over at the end, too, and
// so is the onset.
func TestTheEndWhereThePlayerLeads(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "name: own\nmeter: 4/4\ngrid: quarters\nright: ch . ch .\nleft: 1 . 5 .\n")
	for _, c := range []struct {
		name string
		at   time.Duration
		want time.Duration
	}{
		{"while the last onset sounds", time.Second, time.Second + keyboard.Together + 1},
		{"later", 3 * time.Second, 3 * time.Second},
	} {
		k, clerk := leading(s, LeadOptions{High: 127})
		k.Strike(48, 64, time.Second)
		k.sep.Hands[left].Stroke(0).Judged = true
		clerk.told = nil
		k.Finish(c.at)
		assert.Equal(t, c.want, clerk.now, c.name)
		assert.Equal(t, []string{"right 1.1 missing", "bar 1 over"}, clerk.told, c.name)
	}
	silent, clerk := leading(s, LeadOptions{High: 127})
	silent.Finish(time.Second)
	assert.Empty(t, clerk.told, "who never began has left nothing out")
}

// Where time is the player's own.
func TestTheTimeOfAPlayerWhoLeads(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "two-beat")
	k, _ := leading(s, LeadOptions{High: 127})
	h := k.sep.Hands[left]
	assert.Equal(t, rules.Never, k.Closes(h))
	assert.Equal(t, rules.Never, k.BarEnds(0))
	_, ok := k.NextChange(0, 0)
	assert.False(t, ok)
	assert.Zero(t, k.Off(h, 0, time.Second))
	_, ok = k.Tolerance(h, 0)
	assert.False(t, ok)
	assert.Equal(t, time.Second, k.Lasts(0, 2*meter.Quarter), "in the score's tempo, as long as no other is known")
	k.Strike(48, 64, time.Second)
	assert.Zero(t, k.sep.Onset.Place)
	p := k.Position(2 * time.Second)
	assert.Equal(t, follow.Position{At: 2 * meter.Quarter, Beat: 3}, p)
	assert.Equal(t, 1, k.Position(3500*ms).Bar)
	assert.Equal(t, 2.0, k.Position(3500*ms).Beat)
	assert.Equal(t, s.Length-1, k.Position(time.Minute).At, "no farther than the end")
	assert.Equal(t, meter.Ticks(0), k.Position(0).At)
}

func TestThePlaceOfAnOnsetWhereThePlayerLeads(t *testing.T) {
	k, _ := leading(sounding.ScoreOf(t, "4/4", "| C | F |", "two-beat"), LeadOptions{High: 127})
	k.Strike(48, 64, time.Second)
	assert.Zero(t, k.sep.Onset.Place)
	k.Strike(64, 64, 1500*ms)
	assert.Equal(t, meter.Quarter, k.sep.Onset.Place)
}

// Mistakes wait while the place is in doubt; what is right never does.
func TestWhatIsAdmitted(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "two-beat")
	for _, c := range []struct {
		kind           finding.Kind
		mute, doubtful bool
		now            bool
		kept           int
	}{
		{finding.Missing, false, false, true, 0},
		{finding.Missing, false, true, false, 1},
		{finding.Missing, true, false, false, 0},
		{finding.Missing, true, true, false, 0},
		{finding.Extra, false, true, false, 1},
		{finding.WrongChord, false, true, false, 1},
		{finding.Right, true, true, true, 0},
		{finding.Short, true, true, true, 0},
		{finding.Lost, true, true, true, 0},
	} {
		k, _ := leading(s, LeadOptions{High: 127})
		k.mute, k.doubtful = c.mute, c.doubtful
		assert.Equal(t, c.now, k.Admit(&finding.Finding{Kind: c.kind}), "%s, mute %t, doubtful %t", c.kind, c.mute, c.doubtful)
		assert.Len(t, k.withheld.list, c.kept)
	}
}

func TestWhatIsWithheld(t *testing.T) {
	s := sounding.ScoreOf(t, "4/4", "| C | F |", "two-beat")
	k, clerk := leading(s, LeadOptions{High: 127})
	w := &k.withheld
	w.grow()
	assert.Zero(t, w.age, "nothing is kept")
	for i := range 10 {
		w.hold(&finding.Finding{Kind: finding.WrongNote, Bar: i, Want: i})
	}
	assert.Len(t, w.list, 10)
	w.grow()
	w.grow()
	assert.Equal(t, 2, w.age)
	w.drop()
	assert.Zero(t, len(w.list)+w.age)
	w.hold(&finding.Finding{Kind: finding.Extra, Bar: 1, Want: -1})
	w.hold(&finding.Finding{Kind: finding.Extra, Bar: 2, Want: 3})
	w.hold(&finding.Finding{Kind: finding.Extra, Bar: 3, Want: 0})
	w.hold(&finding.Finding{Kind: finding.Missing, Bar: 4, Want: -1})
	w.dropUnasked()
	k.release(time.Second)
	assert.Equal(t, []string{"at last extra of bar 3", "at last extra of bar 4", "at last missing of bar 5"}, clerk.told)
	assert.Equal(t, time.Second, clerk.last.At, "known now")
	assert.Empty(t, w.list)
}
