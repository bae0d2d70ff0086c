package playback

import (
	"time"

	"undersong/internal/midi/event"
	"undersong/internal/play/performer"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Player plays a score time after time.
type Player struct {
	score *score.Score
	o     Options
	parts []part
	lift  int
}

// part is what one of them plays, by itself.
type part struct {
	name   string
	score  *score.Score
	habits performer.Habits
}

// NewPlayer makes a player of s.
func NewPlayer(s *score.Score, o Options) *Player {
	if o.Parts == nil {
		o.Parts = Hands(s)
	}
	p := &Player{score: s, o: o}
	h := habits(o)
	if o.plays(Tune) {
		p.lift = s.Lift()
		sings := h
		sings.Velocity += above
		p.add(Tune, tuneScore(s, p.lift), sings)
	}
	for _, hand := range []pattern.Hand{pattern.Right, pattern.Left} {
		if o.plays(Of(hand)) {
			alone := *s
			alone.Only = score.LeftAlone + score.Only(hand)
			one, _, _ := alone.Alone()
			p.add(Of(hand), one, h)
		}
	}
	return p
}

func (p *Player) add(v Part, s *score.Score, h performer.Habits) {
	if len(s.Wants) > 0 {
		p.parts = append(p.parts, part{v.String(), s, h})
	}
}

// How loud it is played: as the simulated pianist plays, the tune above that, and
// softly under somebody else (common practice, no source).
const (
	usual      = 64
	above      = 16
	soft       = 52
	softAccent = 8
	softTune   = 6
)

// rolls is how long a rolled chord takes, the same for all (common practice, no
// source).
const rolls = 120 * time.Millisecond

func habits(o Options) performer.Habits {
	h := performer.Habits{Legato: 0.95, Velocity: usual, RollSpread: rolls}
	if o.Human {
		h, _ = performer.Human("fluent") // which it knows
		h.Pedal = performer.NoPedal      // each part is its own track: the foot belongs to none
		h.LeaveOut, h.Revoice = 0, 0
	}
	if o.Soft {
		h.Velocity, h.AccentGain, h.TuneGain = soft, softAccent, softTune
	}
	return h
}

// Lift is how many octaves above the chart the tune is played, to be clear of
// the accompaniment.
func (p *Player) Lift() int { return p.lift }

// Length is how long one pass lasts.
func (p *Player) Length() time.Duration { return p.score.Time(p.score.Length) }

// Lead is how long the count-in lasts.
func (p *Player) Lead() time.Duration {
	return time.Duration(p.o.CountIn) * p.score.Tempo.Duration(p.score.Meter.Bar(), p.score.Meter)
}

// Pass is everything that sounds in a pass, counted from 0, by time. Times count
// from the beginning of the count-in. Nothing outlasts the pass.
func (p *Player) Pass(n int) []event.Event {
	var tracks []Track
	for i := range p.parts {
		tracks = append(tracks, Track{Events: p.pass(&p.parts[i], n)})
	}
	return Merged(append(tracks, Track{Events: p.clicks(n)}))
}

func (p *Player) pass(v *part, n int) []event.Event {
	begins := p.Lead() + time.Duration(n)*p.Length()
	played := performer.Play(v.score, v.habits, performer.Course{}, p.o.Seed+uint64(n)).Events
	for i := range played {
		played[i].At = begins + min(played[i].At, p.Length())
	}
	sortByTime(played)
	return played
}
