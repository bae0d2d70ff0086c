package demonstration

import (
	"time"

	"undersong/internal/music/meter"
	"undersong/internal/session/gesture"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// heed does what is asked for at the piano.
func (d *Demonstration) heed() {
	d.piano.Music()
	switch d.piano.Change() {
	case gesture.Opened:
		d.pause()
	case gesture.GoesOn:
		d.start(d.Now)
	}
	d.piano.Ask(d, d.Now)
}

// menu is what may be asked now.
func (d *Demonstration) menu() sitting.Menu {
	var m sitting.Menu
	if d.stage == ended {
		return m
	}
	if d.stage == paused {
		m.Offer(sitting.Command{Do: sitting.DoGoOn})
	} else {
		m.Offer(sitting.Command{Do: sitting.DoPause})
	}
	for _, do := range []sitting.Do{sitting.DoAgain, sitting.DoSlower, sitting.DoFaster} {
		m.Offer(sitting.Command{Do: do})
	}
	switch {
	case d.o.Lay == nil:
	case d.piece == d.first:
		m.Offer(sitting.Command{Do: sitting.DoLine})
	default:
		m.Offer(sitting.Command{Do: sitting.DoWhole})
	}
	m.Offer(sitting.Command{Do: sitting.DoEnd})
	if d.Listens {
		d.piano.Offer(&m)
	}
	return m
}

// Do does what is asked, where it can be done now.
func (d *Demonstration) Do(now time.Duration, c sitting.Command) {
	d.Reach(now)
	menu := d.menu()
	switch {
	case d.stage == ended:
	case !menu.Has(c.Do) && (c.Do != sitting.DoBars || d.o.Lay == nil):
		d.Refuse(c)
	case c.Do == sitting.DoPause:
		d.pause()
	case c.Do == sitting.DoGoOn:
		d.resume()
	case c.Do == sitting.DoAgain:
		bar := d.piece.LineStart(d.bar())
		d.stop()
		d.next = bar
		d.resume()
	case c.Do == sitting.DoSlower:
		d.tempoTo(d.tempo.Mark(-1))
	case c.Do == sitting.DoFaster:
		d.tempoTo(d.tempo.Mark(1))
	case c.Do == sitting.DoLine:
		d.lay(c, d.piece.Line(d.bar()))
	case c.Do == sitting.DoBars:
		d.lay(c, c.Bars)
	case c.Do == sitting.DoWhole:
		d.turnTo(d.first)
	case c.Do == sitting.DoEnd:
		d.end()
	}
}

// bar is the bar of the piece that is played, or will be next.
func (d *Demonstration) bar() int {
	if d.stage != playing {
		return d.next
	}
	return d.take.first + d.take.click.PositionAt(d.Now).Bar
}

// stop stops the music; it goes on with the bar that is played.
func (d *Demonstration) stop() {
	if d.stage != playing {
		return
	}
	d.next = d.bar()
	d.rounds += max(0, d.take.click.PositionAt(d.Now).Pass)
	d.take.sounds.Stop(d.o.Sound)
	d.stage = paused
}

func (d *Demonstration) pause() {
	if d.stage == playing {
		d.stop()
		d.Notice(sitting.Notice{Kind: sitting.NowPaused})
	}
}

// turnTo plays another piece from its beginning.
func (d *Demonstration) turnTo(p *sitting.Piece) {
	d.stop()
	d.piece, d.next, d.rounds = p, 0, 0
	d.Tell(sitting.Record{Piece: p})
	d.resume()
}

// resume goes on: at once, or when the keys of a command at the piano are let go.
func (d *Demonstration) resume() {
	if !d.piano.Later() {
		d.start(d.Now)
	}
}

// tempoTo goes on at another tempo.
func (d *Demonstration) tempoTo(t meter.Tempo) {
	d.tempo = t
	d.Notice(sitting.Notice{Kind: sitting.NowAtTempo, Tempo: t})
	if d.stage == playing {
		d.stop()
		d.resume()
		return
	}
	d.piano.Later()
}

// lay goes round some bars.
func (d *Demonstration) lay(c sitting.Command, bars score.Span) {
	laid, err := d.o.Lay(bars, d.first.Heading.Hands, true)
	if err != nil {
		d.Refuse(c)
		return
	}
	h := d.first.Heading.Of(laid)
	h.Span, h.Loop = bars, true
	piece := sitting.NewPiece(h, laid, laid.Chart)
	d.widen(piece)
	d.turnTo(piece)
}
