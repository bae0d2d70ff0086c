// Package demonstration is a sitting in which undersong plays and nobody is listened
// to, but for commands at the piano.
package demonstration

import (
	"math"
	"time"

	"undersong/internal/listen/follow"
	"undersong/internal/midi/event"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/play/playback"
	"undersong/internal/session/gesture"
	"undersong/internal/session/sitting"
	"undersong/internal/session/sounds"
	"undersong/internal/sheet/score"
)

// Options say what a demonstration is of. Heading and Score must be set.
type Options struct {
	Heading sitting.Heading
	Score   *score.Score
	// Lay lays the piece anew, for some bars and for going round; nil where that
	// cannot be asked for.
	Lay     func(bars score.Span, hands score.Only, round bool) (*score.Score, error)
	Play    playback.Options
	Times   int            // how often it is played; 0: round and round
	Opening sitting.Notice // to begin with; may be none
	Sound   func(event.Event)
}

// Demonstration plays.
type Demonstration struct {
	sitting.Teller

	Listens bool // there is a keyboard that commands can be given on

	o      Options
	first  *sitting.Piece // what was asked for first
	piece  *sitting.Piece // what is played now
	take   take
	next   int         // the bar of the piece from which it is played on, after a pause
	tempo  meter.Tempo // from then on
	rounds int         // begun before the take
	stage  stage
	piano  gesture.Piano
}

type stage uint8

const (
	waiting stage = iota
	playing
	paused
	ended
)

// take is one stretch of playing without a break.
type take struct {
	score   *score.Score // from the bar at which it begins
	first   int          // that bar's index in the piece
	began   time.Duration
	click   follow.Click
	player  *playback.Player
	sounds  sounds.Passes
	partial bool // it leads to the beginning, from within
	bars    int  // told so far, through all passes
}

// New makes a demonstration.
func New(o Options) *Demonstration {
	d := &Demonstration{o: o, tempo: o.Score.Tempo}
	o.Heading.Kind, o.Heading.Loop = sitting.Demonstration, o.Times != 1
	d.o = o
	d.first = sitting.NewPiece(o.Heading, o.Score, o.Score.Chart)
	d.piece = d.first
	d.widen(d.first)
	return d
}

// widen takes the keys of the tune into the piece's, which is shown.
func (d *Demonstration) widen(p *sitting.Piece) {
	for _, e := range playback.NewPlayer(p.Score, d.o.Play).Pass(0) {
		if k := pitch.Num(e.Data1); e.IsNoteOn() && e.Channel() != event.Percussion {
			p.Low, p.High = min(p.Low, k), max(p.High, k)
		}
	}
}

// Begin starts it at a time, with the count-in.
func (d *Demonstration) Begin(now time.Duration) {
	d.Open(now, d.piece, d.o.Opening)
	d.start(now)
}

// start plays on from the next bar.
func (d *Demonstration) start(at time.Duration) {
	s := *d.piece.Score.Part(d.next, len(d.piece.Score.Bars)-1)
	s.Tempo = d.tempo
	d.take = take{score: &s, first: d.next, began: at, player: playback.NewPlayer(&s, d.o.Play), partial: d.next > 0}
	d.take.click = follow.NewClick(&s, at+d.take.player.Lead(), !d.take.partial && d.times() != 1)
	d.take.sounds.Pass = d.take.pass(d.times())
	d.stage, d.next = playing, 0
}

// times is how often it is played still; 0: round and round.
func (d *Demonstration) times() int {
	if !d.piece.Heading.Loop {
		return 1
	}
	if d.o.Times == 0 || d.piece != d.first {
		return 0
	}
	return max(1, d.o.Times-d.rounds)
}

// pass gives what sounds in each pass, on the clock.
func (t *take) pass(times int) func(n int) []event.Event {
	player, began, partial := t.player, t.began, t.partial
	return func(n int) []event.Event {
		if n > 0 && (partial || times > 0 && n >= times) {
			return nil
		}
		all := player.Pass(n)
		if n == 0 {
			all = append(player.CountIn(), all...)
		}
		for i := range all {
			all[i].At += began
		}
		return all
	}
}

// Tick sounds what is due, and tells each bar as it begins.
func (d *Demonstration) Tick(now time.Duration) {
	d.Reach(now)
	d.piano.Tick(d.Now)
	d.heed()
	if d.stage != playing {
		return
	}
	t := &d.take
	t.sounds.Play(d.Now, d.o.Sound)
	end := t.click.Start + time.Duration(max(1, d.times()))*t.click.Pass()
	switch {
	case t.partial && d.Now >= t.click.PassStart(1):
		d.goRound()
	case !t.partial && d.times() > 0 && d.Now >= end:
		d.end()
		return
	}
	d.tellBar()
}

// goRound begins anew after a pass that began within.
func (d *Demonstration) goRound() {
	if d.times() == 1 {
		d.end()
		return
	}
	at := d.take.click.PassStart(1)
	d.take.sounds.Stop(d.o.Sound)
	d.rounds++
	d.start(at - d.take.player.Lead())
}

func (d *Demonstration) tellBar() {
	t := &d.take
	p := t.click.PositionAt(d.Now)
	n := p.Pass*len(t.score.Bars) + p.Bar + 1
	if d.stage != playing || p.Pass < 0 || n <= t.bars {
		return
	}
	t.bars = n
	if round := d.rounds + p.Pass + 1; p.Bar == 0 && t.first == 0 && round > 1 {
		d.Notice(sitting.Notice{Kind: sitting.RoundBegins, Pass: round})
	}
	d.Notice(sitting.Notice{Kind: sitting.BarBegins, Bar: t.first + p.Bar})
}

// Until is how long nothing is due.
func (d *Demonstration) Until(now, most time.Duration) time.Duration {
	due := d.piano.Due(now + most)
	if d.stage == playing {
		due = min(due, d.take.sounds.Next())
	}
	return max(0, due-now)
}

// end ends it and every note.
func (d *Demonstration) end() {
	d.take.sounds.Stop(d.o.Sound)
	d.stage = ended
}

// Done reports that it is over.
func (d *Demonstration) Done() bool { return d.stage == ended }

// Event takes commands at the piano; nothing else is listened to.
func (d *Demonstration) Event(ev event.Event) {
	ev.At = max(ev.At, d.Now)
	d.Now = ev.At
	d.piano.Feed(ev)
	d.heed()
}

// Lost does nothing: the instrument that plays is another port.
func (d *Demonstration) Lost(time.Duration, string) { d.piano.Forget() }

// Found does nothing.
func (d *Demonstration) Found(time.Duration, string) {}

// State shows the place in the chart, the chord, and the keys that go down.
func (d *Demonstration) State() sitting.State {
	st := sitting.NewState(d.piece)
	menu := d.menu()
	st.Menu, st.Where.Tempo = &menu, d.tempo
	switch d.stage {
	case waiting:
		return st
	case ended:
		st.Where.Phase = sitting.Finished
		return st
	case paused:
		st.Where.Phase, st.Where.Bar, st.Where.Plays = sitting.Paused, d.next, d.piece.Score.Bars[d.next].Playing()
		return st
	}
	d.moving(&st)
	return st
}

func (d *Demonstration) moving(st *sitting.State) {
	t, w := &d.take, st.Where
	p := t.click.PositionAt(d.Now)
	w.SetPosition(d.piece.Score, t.first, &p)
	if d.piece.Heading.Loop {
		w.Pass = d.rounds + max(0, p.Pass) + 1
	}
	if p.Pass <= 0 && w.Bar == 0 {
		st.Told.Praise = d.o.Opening
	}
	if p.Pass < 0 {
		left := float64(t.click.Start-d.Now) / float64(t.click.Beat())
		w.Phase, w.Left, w.Beat = sitting.CountingIn, int(math.Ceil(left)), 0
		st.Wanted.Chord = t.score.Harmonies[0].Chord
	} else {
		st.Sound.Chord = t.score.Harmonies[t.score.HarmonyAt(p.At)].Chord
		st.Wanted.Ahead(t.score, p.At)
	}
	st.Sound.Down, st.Sound.Key = t.sounds.Keys(), t.score.Key
}
