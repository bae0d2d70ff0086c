package finding

import (
	"encoding/json"
	"slices"
	"sort"

	"undersong/internal/sheet/score"
)

// Counts is how often each kind was found.
type Counts [KindCount]int

// MarshalJSON is an object with the kinds that were found.
func (c Counts) MarshalJSON() ([]byte, error) { return marshalKinds(c[:]) }

// UnmarshalJSON reads one.
func (c *Counts) UnmarshalJSON(data []byte) error { return unmarshalKinds(c[:], data) }

// Total is what was found of one kind.
type Total struct {
	Count   int              `json:"count"`
	Parts   PartSet          `json:"hands"`
	Aspects [aspectCount]int `json:"aspects"`         // how often each
	Lacked  Degrees          `json:"lacked,omitzero"` // all that chords lacked
}

// aspect is the one that most of the findings are about.
func (t *Total) aspect() Aspect {
	for a := Whole + 1; a < aspectCount; a++ {
		if 2*t.Aspects[a] > t.Count {
			return a
		}
	}
	return Whole
}

func (t *Total) add(u *Total) {
	t.Count += u.Count
	t.Parts |= u.Parts
	t.Lacked |= u.Lacked
	for a := range t.Aspects {
		t.Aspects[a] += u.Aspects[a]
	}
}

// PartSet is a set of parts: bit 1<<p for part p.
type PartSet uint8

// Only is the one part in the set, or both hands.
func (s PartSet) Only() Part {
	for p := LeftHand; p < partCount; p++ {
		if s == 1<<p {
			return p
		}
	}
	return BothHands
}

// Totals is what was found of each kind.
type Totals [KindCount]Total

// MarshalJSON is an object with the kinds that were found.
func (t Totals) MarshalJSON() ([]byte, error) { return marshalKinds(t[:]) }

// UnmarshalJSON reads one.
func (t *Totals) UnmarshalJSON(data []byte) error { return unmarshalKinds(t[:], data) }

func marshalKinds[T comparable](of []T) ([]byte, error) {
	found := map[Kind]T{}
	var none T
	for k, v := range of {
		if v != none {
			found[Kind(k)] = v
		}
	}
	return json.Marshal(found)
}

func unmarshalKinds[T any](to []T, data []byte) error {
	var found map[Kind]T
	if err := json.Unmarshal(data, &found); err != nil {
		return err
	}
	clear(to)
	for k, v := range found {
		to[k] = v
	}
	return nil
}

// BarCount is what was found in one bar, by its printed number.
type BarCount struct {
	Bar    int    `json:"bar"`
	Counts Counts `json:"counts"`
}

// Trouble is something worth practising.
type Trouble struct {
	Kind  Kind  `json:"kind"`
	Part  Part  `json:"hand"`
	Bars  []int `json:"bars"` // printed numbers, rising
	Count int   `json:"count"`

	Aspect Aspect  `json:"aspect,omitzero"` // that most of it is about
	Lacked Degrees `json:"lacked,omitzero"` // what chords lacked
}

// Summary is a performance in short. What a judge has nothing to say of is zero.
type Summary struct {
	Causes   []Cause     `json:"causes,omitempty"` // as they came
	Totals   Totals      `json:"totals"`
	Bars     []BarCount  `json:"bars,omitempty"`     // bars with any finding, by their numbers
	Timing   [2]Timing   `json:"timing,omitzero"`    // left, right
	Troubles []Trouble   `json:"troubles,omitempty"` // at most three, the worst first
	Basses   BassSummary `json:"basses,omitzero"`
	Tune     TuneSummary `json:"tune,omitzero"`
}

// Count is how often a kind was found.
func (s *Summary) Count(k Kind) int { return s.Totals[k].Count }

// Wrong is how many findings were not Right.
func (s *Summary) Wrong() int {
	n := 0
	for k := Right + 1; k <= Stopped; k++ {
		n += s.Count(k)
	}
	return n
}

// mostTroubles is how many things a student can take to the next practice.
const mostTroubles = 3

// Join sums up two performances of one score as one.
func (s Summary) Join(t Summary) Summary {
	s.Causes = slices.Concat(s.Causes, t.Causes)
	s.Bars = slices.Clone(s.Bars)
	for k := range s.Totals {
		s.Totals[k].add(&t.Totals[k])
	}
	for _, b := range t.Bars {
		s.addBar(b)
	}
	for h := range s.Timing {
		s.Timing[h] = s.Timing[h].join(t.Timing[h])
	}
	s.rank()
	return s
}

// addBar adds a bar's counts in the order of numbers.
func (s *Summary) addBar(b BarCount) {
	i := sort.Search(len(s.Bars), func(i int) bool { return !score.Earlier(s.Bars[i].Bar, b.Bar) })
	if i == len(s.Bars) || s.Bars[i].Bar != b.Bar {
		s.Bars = slices.Insert(s.Bars, i, BarCount{Bar: b.Bar})
	}
	for k, n := range b.Counts {
		s.Bars[i].Counts[k] += n
	}
}

// rank finds the troubles: the more important a kind, the more each of its
// findings weighs.
func (s *Summary) rank() {
	var all []Trouble
	for k := Right + 1; k < KindCount; k++ {
		of := &s.Totals[k]
		t := Trouble{Kind: k, Part: of.Parts.Only(), Count: of.Count, Aspect: of.aspect(), Lacked: of.Lacked}
		for _, b := range s.Bars {
			if b.Counts[k] > 0 {
				t.Bars = append(t.Bars, b.Bar)
			}
		}
		if t.Count > 0 && weights[k] > 0 {
			all = append(all, t)
		}
	}
	sort.SliceStable(all, func(i, j int) bool {
		return all[i].Count*weights[all[i].Kind] > all[j].Count*weights[all[j].Kind]
	})
	s.Troubles = all[:min(mostTroubles, len(all))]
}
