package byear

import (
	"slices"

	"undersong/internal/music/pitch"
	"undersong/internal/sheet/score"
)

// Tune is a tune cut into phrases, ready to be looked for. It does not change.
type Tune struct {
	Notes []score.Note // as played, repeats written out; at least one
	Key   pitch.Key    // that they are written in

	keys   []int
	phrase []int // of each note, counted from 0 without gaps
	starts []int // of each phrase, and after the last the number of notes
	alike  []int // for each phrase the first that has the same keys
}

// New makes a tune of the notes of a score, of which there must be one.
func New(notes []score.Note, key pitch.Key) *Tune {
	t := &Tune{Notes: notes, Key: key}
	for i, n := range notes {
		if i == 0 || n.Phrase != notes[i-1].Phrase {
			t.starts = append(t.starts, i)
		}
		t.keys = append(t.keys, int(n.Key()))
		t.phrase = append(t.phrase, len(t.starts)-1)
	}
	t.starts = append(t.starts, len(notes))
	for p := range t.Phrases() {
		first := 0
		for !slices.Equal(t.of(first), t.of(p)) {
			first++
		}
		t.alike = append(t.alike, first)
	}
	return t
}

// Phrases is how many phrases the tune has, those that come again included.
func (t *Tune) Phrases() int { return len(t.starts) - 1 }

// Len is how many notes a phrase has.
func (t *Tune) Len(phrase int) int { return t.starts[phrase+1] - t.starts[phrase] }

// Alike is the first phrase that has the same notes: the phrase itself where it
// is new. Whoever has found the one has found the other.
func (t *Tune) Alike(phrase int) int { return t.alike[phrase] }

// of is the keys of a phrase.
func (t *Tune) of(phrase int) []int { return t.keys[t.starts[phrase]:t.starts[phrase+1]] }

// ends reports that the note at pos is the last of its phrase.
func (t *Tune) ends(pos int) bool { return t.starts[t.phrase[pos]+1] == pos+1 }

// begins reports that the note at pos is the first of its phrase.
func (t *Tune) begins(pos int) bool { return t.starts[t.phrase[pos]] == pos }

// mean is the mean key of a phrase as written.
func (t *Tune) mean(phrase int) float64 {
	sum := 0
	for _, k := range t.of(phrase) {
		sum += k
	}
	return float64(sum) / float64(t.Len(phrase))
}

// Whereabouts are the phrase of a note, from 0, and its place there, from 0.
func (t *Tune) Whereabouts(pos int) (phrase, note int) {
	p := t.phrase[pos]
	return p, pos - t.starts[p]
}

// Start is the first note of a phrase, an index into Notes.
func (t *Tune) Start(phrase int) int { return t.starts[phrase] }
