package sitting

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"undersong/internal/judge/finding"
)

func TestPictureKeepsTheWorstOfTheLastTime(t *testing.T) {
	var p Picture
	_, judged := p.Last(3)
	assert.False(t, judged)
	p.Add(3, Turn{Pass: 0}, finding.WrongChord)
	p.Add(3, Turn{Pass: 1}, finding.Right)
	p.Add(3, Turn{Pass: 1}, finding.Late)
	p.Add(3, Turn{Pass: 1}, finding.Early)
	p.Add(3, Turn{Pass: 0}, finding.Lost) // of the pass before, told late
	p.Add(-1, Turn{}, finding.Missing)
	p.Add(1, Turn{Round: 1}, finding.Right)
	p.Add(1, Turn{Pass: 7}, finding.Missing) // before the break
	assert.Equal(t, Picture{{-1, Turn{}, finding.Missing}, {1, Turn{Round: 1}, finding.Right}, {3, Turn{Pass: 1}, finding.Late}}, p)
	worst, judged := p.Last(3)
	assert.True(t, judged)
	assert.Equal(t, finding.Late, worst)
}

func TestAPlayerWhoGoesBackTakesAnotherTurn(t *testing.T) {
	at := func(k finding.Kind, bar int) *finding.Finding { return &finding.Finding{Kind: k, Bar: bar} }
	steps := []struct {
		f          *finding.Finding
		pass       int
		led, click Turn
	}{
		{at(finding.Right, 3), 0, Turn{0, 0}, Turn{0, 0}},
		{at(finding.Missing, 2), 0, Turn{0, 0}, Turn{0, 0}}, // looks back
		{at(finding.WrongBass, 1), 0, Turn{1, 0}, Turn{0, 0}},
		{at(finding.Right, 1), 0, Turn{1, 0}, Turn{0, 0}},
		{at(finding.Right, 0), 1, Turn{1, 1}, Turn{0, 1}},
	}
	led, click := Turns{Led: true}, Turns{}
	for i, s := range steps {
		assert.Equal(t, s.led, led.Of(s.f, s.pass), i)
		assert.Equal(t, s.click, click.Of(s.f, s.pass), i)
	}
	click.Again()
	assert.Equal(t, Turn{1, 1}, click.Of(steps[4].f, 1))
	assert.True(t, Turn{0, 5}.Before(Turn{1, 0}))
	assert.False(t, Turn{1, 1}.Before(Turn{1, 1}))
}
