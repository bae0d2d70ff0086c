package byear

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func BenchmarkFeed(b *testing.B) {
	s := newSearcher(tuneOf(b, saints), searching, 1)
	for len(s.events) < 2000 {
		s.wholeTune()
	}
	ear := NewEar(s.tune, Options{})
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		ear.Feed(s.events[i%len(s.events)])
	}
}

// Once it has room, an ear allocates nothing while it listens.
func TestListeningDoesNotAllocate(t *testing.T) {
	s := newSearcher(tuneOf(t, saints), searching, 1)
	for len(s.events) < 2000 {
		s.wholeTune()
	}
	ear := NewEar(s.tune, Options{})
	for _, ev := range s.events {
		ear.Feed(ev)
	}
	last := s.events[len(s.events)-1].At
	i := 0
	allocs := testing.AllocsPerRun(500, func() {
		ev := s.events[i%len(s.events)]
		ev.At += last
		i++
		ear.Feed(ev)
	})
	assert.Zero(t, allocs)
}
