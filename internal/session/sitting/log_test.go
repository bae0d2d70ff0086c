package sitting

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
)

// still is a sitting in which nothing happens but what a test makes happen.
type still struct {
	Sitting // of which nothing is asked
	state   State
	told    []Record
}

func (s *still) State() State { return s.state }

func (s *still) Take() []Record {
	told := s.told
	s.told = nil
	return told
}

func (*still) Event(event.Event) {}

// tell tells so many notices.
func (s *still) tell(n int) {
	for range n {
		s.told = append(s.told, Record{Notice: &Notice{Kind: NowPaused}})
	}
}

// at puts the music into a bar.
func (s *still) at(bar int) {
	where := *s.state.Where
	where.Bar = bar
	s.state.Where = &where
}

func newStill() *still { return &still{state: NewState(&Piece{})} }

// parts are the names of the parts that a State has.
func parts(s State) (all []string) {
	for _, p := range []struct {
		name string
		has  bool
	}{
		{"piece", s.Piece != nil}, {"where", s.Where != nil}, {"sound", s.Sound != nil}, {"wanted", s.Wanted != nil},
		{"told", s.Told != nil}, {"search", s.Search != nil}, {"menu", s.Menu != nil}, {"result", s.Result != nil},
	} {
		if p.has {
			all = append(all, p.name)
		}
	}
	return all
}

var whole = []string{"piece", "where", "sound", "wanted", "told", "search", "menu", "result"}

func TestWhoKnowsNothingGetsAll(t *testing.T) {
	l := NewLog(newStill())
	assert.Empty(t, l.Take())
	s := l.Since(0)
	assert.Equal(t, whole, parts(s))
	assert.Empty(t, s.Records, "nothing was told yet")
	assert.False(t, s.Missed)
	assert.Equal(t, whole, parts(l.State()))
	again := l.Since(s.Seq)
	assert.Empty(t, parts(again), "nothing has changed")
	assert.Equal(t, s.Seq, again.Seq)
	assert.Empty(t, parts(l.Since(s.Seq+100)), "a number that was never given")
}

func TestOnlyWhatChangedIsGiven(t *testing.T) {
	for want, change := range map[string]func(*State){
		"piece":  func(s *State) { s.Piece = &Piece{} },
		"where":  func(s *State) { s.Where = &Where{Bar: 3} },
		"sound":  func(s *State) { s.Sound = &Sound{}; s.Sound.Down.Add(60) },
		"wanted": func(s *State) { s.Wanted = &Wanted{Beats: 1} },
		"told":   func(s *State) { s.Told = &Told{Right: 1} },
		"search": func(s *State) { s.Search = &Search{Phrases: []FoundPhrase{{Found: true}}} },
		"menu":   func(s *State) { s.Menu = &Menu{Choices: []Choice{{Place: 1}}} },
		"result": func(s *State) { s.Result = &Result{Length: time.Second} },
	} {
		s := newStill()
		l := NewLog(s)
		seq := l.Since(0).Seq
		change(&s.state)
		assert.Equal(t, []string{want}, parts(l.Since(seq)))
	}
}

// What is the same is no change, even where it was made anew.
func TestWhatIsMadeAnewAndTheSameIsNoChange(t *testing.T) {
	item := func() [][]Item { return [][]Item{{{Finding: finding.Finding{Kind: finding.Late}}}} }
	s := newStill()
	s.state.Told.Found = item()
	l := NewLog(s)
	seq := l.Since(0).Seq
	s.state = NewState(s.state.Piece)
	s.state.Told.Found = item()
	s.state.Result = &Result{}
	assert.Empty(t, parts(l.Since(seq)))
	for name, change := range map[string]func(*Told){
		"another finding":  func(u *Told) { u.Found[0][0].Finding.Kind = finding.Early },
		"another moment":   func(u *Told) { u.Found = append(u.Found, u.Found[0]) },
		"it was read":      func(u *Told) { u.Fresh++ },
		"there is to read": func(u *Told) { u.Read = u.Found[0] },
		"praise":           func(u *Told) { u.Praise.Kind = WellDone },
		"a notice":         func(u *Told) { u.Notice.Kind = NowPaused },
		"a mistake":        func(u *Told) { u.Wrong++ },
	} {
		s := newStill()
		s.state.Told = &Told{Found: item()}
		l := NewLog(s)
		seq := l.Since(0).Seq
		s.state.Told = &Told{Found: item()}
		change(s.state.Told)
		assert.Equal(t, []string{"told"}, parts(l.Since(seq)), name)
	}
}

func TestAFaceThatSleptCatchesUp(t *testing.T) {
	s := newStill()
	l := NewLog(s)
	face := l.Since(0)
	early := face.Seq
	for bar := range 5 {
		s.at(bar)
		s.tell(2)
		l.Since(l.State().Seq) // another face looks, and takes nothing away
	}
	changed := l.Since(face.Seq)
	assert.Equal(t, []string{"where"}, parts(changed), "the latest, once")
	require.Len(t, changed.Records, 10)
	for i, r := range changed.Records {
		assert.Greater(t, r.Seq, early)
		if i > 0 {
			assert.Greater(t, r.Seq, changed.Records[i-1].Seq)
		}
	}
	face.Merge(changed)
	assert.Equal(t, 4, face.Where.Bar)
	assert.Equal(t, whole, parts(face), "what has not changed is there still")
	assert.Equal(t, changed.Seq, face.Seq)

	// Asked from an earlier number: what comes twice does no harm.
	half := changed.Records[4].Seq
	overlap := l.Since(half)
	assert.Len(t, overlap.Records, 5, "what was told after it")
	before := face
	face.Merge(l.Since(early))
	before.Records = face.Records
	assert.Equal(t, before, face)
	face.Merge(l.Since(face.Seq))
	assert.Empty(t, face.Records, "those of before are not there still")
}

func TestAFaceThatSleptTooLongKnowsThatItMissed(t *testing.T) {
	s := newStill()
	l := NewLog(s)
	seq := l.Since(0).Seq
	s.tell(kept)
	l.Take()
	all := l.Since(seq)
	assert.Len(t, all.Records, kept)
	assert.False(t, all.Missed)
	s.tell(1)
	l.Take()
	l.Take() // what is dropped is dropped when the next comes
	all = l.Since(seq)
	assert.Len(t, all.Records, kept)
	assert.True(t, all.Missed)
	first := all.Records[0].Seq
	assert.False(t, l.Since(first-1).Missed, "from there on all is known")
	assert.True(t, l.Since(first-2).Missed)
	face := State{Missed: true}
	face.Merge(l.Since(first))
	assert.False(t, face.Missed, "it is about the latest question")
}

func TestWhatIsTakenIsTakenOnce(t *testing.T) {
	s := newStill()
	l := NewLog(s)
	s.tell(3)
	assert.Len(t, l.Take(), 3)
	assert.Empty(t, l.Take())
	s.tell(2)
	l.Since(0)
	taken := l.Take()
	require.Len(t, taken, 2, "who asks what changed takes nothing away")
	assert.Greater(t, taken[1].Seq, taken[0].Seq)
}
