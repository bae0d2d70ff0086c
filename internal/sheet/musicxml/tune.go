package musicxml

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
)

// tune is the voice of a part that is the song's tune.
type tune struct {
	*part
	voice   string
	staff   int
	apart   bool // another voice of that name stands on another staff
	worded  bool // the voice has words
	several bool // the part has other voices
}

// pitched reports that a part has a note for a tune.
func (p *part) pitched() bool {
	for _, m := range p.measures {
		if slices.ContainsFunc(m.notes, func(n note) bool { return !n.rest }) {
			return true
		}
	}
	return false
}

func (p *part) sung() bool {
	for _, m := range p.measures {
		if slices.ContainsFunc(m.notes, func(n note) bool { return len(n.lyrics) > 0 }) {
			return true
		}
	}
	return false
}

// tuneNames are names of parts that have the tune.
var tuneNames = regexp.MustCompile(`(?i)\b(voice|vocals?|voc|melody|singer|lead|tune|song|soprano|chant|gesang)\b`)

// chosen is the part that has the tune: the one wished for, else the first with
// words, of those one with a name for it, else the first with such a name, else
// the first with notes; nil where none has any.
func (r *reader) chosen(wish string) (*part, error) {
	if wish != "" {
		return r.wished(wish)
	}
	var best *part
	most, singable := -1, 0
	for _, p := range r.parts {
		if !p.pitched() {
			continue
		}
		singable++
		worth := 0
		if p.sung() {
			worth += 2
		}
		if tuneNames.MatchString(p.name) {
			worth++
		}
		if worth > most {
			best, most = p, worth
		}
	}
	if singable > 1 {
		r.tell("", fmt.Sprintf("the tune is taken from %s, one of %d parts with notes", r.called(best), singable))
	}
	return best, nil
}

func (r *reader) called(p *part) string {
	if p.name != "" {
		return fmt.Sprintf("the part %q", brief(p.name))
	}
	return fmt.Sprintf("part %d", slices.Index(r.parts, p)+1)
}

// wished is the part of a number, an id or a name.
func (r *reader) wished(wish string) (*part, error) {
	var names []string
	number, err := strconv.Atoi(wish)
	for i, p := range r.parts {
		if err == nil && number == i+1 || p.id == wish || strings.EqualFold(p.name, wish) {
			return p, nil
		}
		if len(names) < 20 {
			names = append(names, strings.TrimSpace(fmt.Sprintf("%d %s", i+1, brief(p.name))))
		}
	}
	return nil, r.failure(0, fmt.Sprintf("the score has no part %q", brief(wish)), "its parts are "+strings.Join(names, ", "))
}

// stream is a voice on a staff of the part.
type stream struct {
	voice string
	staff int
}

// share is what a stream has in all.
type share struct {
	stream
	time, heights float64 // in quarters; heights are keys by time
	syllables     int
}

// tuneOf chooses the voice: of those with words, else of the top staff, the highest
// that has at least half of what the busiest has.
func tuneOf(p *part) *tune {
	shares := p.shares()
	worth := func(s share) float64 { return s.time }
	sung := slices.ContainsFunc(shares, func(s share) bool { return s.syllables > 0 })
	if sung {
		worth = func(s share) float64 { return float64(s.syllables) }
	}
	top := math.MaxInt
	most := 0.
	for _, s := range shares {
		most = max(most, worth(s))
	}
	for _, s := range shares {
		if s.time > 0 && (!sung || 2*worth(s) >= most) {
			top = min(top, s.staff)
		}
	}
	most = 0
	for _, s := range shares {
		if s.staff == top {
			most = max(most, worth(s))
		}
	}
	var best *share
	for i, s := range shares {
		if s.staff == top && s.time > 0 && 2*worth(s) >= most && (best == nil || s.heights/s.time > best.heights/best.time) {
			best = &shares[i]
		}
	}
	t := &tune{part: p, voice: best.voice, staff: best.staff, worded: best.syllables > 0}
	for _, s := range shares {
		t.several = t.several || s.time > 0 && s.stream != best.stream
	}
	t.apart = p.doubled(t.voice)
	return t
}

func (p *part) shares() []share {
	at := map[stream]int{}
	var all []share
	for _, m := range p.measures {
		for _, n := range m.notes {
			s := stream{n.voice, n.staff}
			i, ok := at[s]
			if !ok {
				i = len(all)
				at[s] = i
				all = append(all, share{stream: s})
			}
			all[i].syllables += len(n.lyrics)
			if !n.rest {
				all[i].time += n.dur
				all[i].heights += n.dur * float64(n.pitch.Num())
			}
		}
	}
	return all
}

// doubled reports a voice that two staves have at the same time: two voices of one
// name, and not one that crosses.
func (p *part) doubled(voice string) bool {
	for _, m := range p.measures {
		total, staves := 0., map[int]bool{}
		for _, n := range m.notes {
			if n.voice == voice && !n.writtenWith {
				total += n.dur
				staves[n.staff] = true
			}
		}
		if len(staves) > 1 && total > max(m.length, m.resting)+0.01 {
			return true
		}
	}
	return false
}

// ours are a measure's notes and rests of the voice. Where it is silent without a
// rest, those of the staff are.
func (t *tune) ours(m *measure) []note {
	var own, staff []note
	for _, n := range m.notes {
		if n.voice == t.voice && (!t.apart || n.staff == t.staff) {
			own = append(own, n)
		}
		if n.staff == t.staff {
			staff = append(staff, n)
		}
	}
	if own == nil {
		return staff
	}
	return own
}

// line is the highest note at each place of a measure, each until the next.
func (t *tune) line(m *measure, length meter.Ticks) []melody.Note {
	var all []melody.Note
	for _, n := range t.ours(m) {
		at := ticks(n.at)
		x := melody.Note{At: at, Dur: min(ticks(n.end()), length) - at, Pitch: n.pitch, Tied: n.tied, Ends: n.ends}
		if !n.rest && x.Dur > 0 {
			all = append(all, x)
		}
	}
	slices.SortStableFunc(all, func(a, b melody.Note) int {
		if a.At != b.At {
			return int(a.At - b.At)
		}
		return int(b.Pitch.Num() - a.Pitch.Num())
	})
	var out []melody.Note
	for _, n := range all {
		last := len(out) - 1
		switch {
		case last >= 0 && out[last].At == n.At:
			out[last].Ends = out[last].Ends || n.Ends
			continue
		case last >= 0 && out[last].At+out[last].Dur > n.At:
			out[last].Dur, out[last].Tied = n.At-out[last].At, false
		}
		out = append(out, n)
	}
	return out
}
