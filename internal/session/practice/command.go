package practice

import (
	"math"

	"time"

	"undersong/internal/music/meter"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Do does what is asked, where it can be done now.
func (s *Session) Do(now time.Duration, c sitting.Command) {
	s.Reach(now)
	if s.stage == ended {
		return
	}
	menu := s.menu()
	if !menu.Has(c.Do) && (c.Do != sitting.DoBars || s.o.Lay == nil || s.stage == away) {
		s.Refuse(c)
		return
	}
	switch c.Do {
	case sitting.DoBegin, sitting.DoGoOn:
		s.goOn()
	case sitting.DoPause:
		s.pause()
	case sitting.DoAgain:
		s.again()
	case sitting.DoSlower:
		s.tempoTo(s.tempo.Mark(-1))
	case sitting.DoFaster:
		s.tempoTo(s.tempo.Mark(1))
	case sitting.DoEnd:
		s.end()
	default:
		s.other(c)
	}
}

// other does what lays the piece anew.
func (s *Session) other(c sitting.Command) {
	h, bar := &s.piece.Heading, s.bar()
	switch c.Do {
	case sitting.DoBars:
		s.lay(c, c.Bars, h.Hands, true)
	case sitting.DoLine:
		s.lay(c, s.piece.Line(bar), h.Hands, true)
	case sitting.DoWhole:
		s.whole(c)
	case sitting.DoHands:
		if s.lay(c, h.Span, c.Hands, h.Loop) && !s.leads() {
			s.next = bar
		}
	case sitting.DoSuggested:
		if n, ok := s.suggested(); ok && s.lay(c, n.Span, n.Hands, true) {
			s.aside = aside{h.Hands, s.tempo}
			s.setTempo(n.Tempo)
		}
	}
	if s.anew {
		s.anew = false
		s.resume()
	}
}

// aside is what to go back to after a suggestion; the zero value is none.
type aside struct {
	hands score.Only
	tempo meter.Tempo
}

// whole goes back to the bars that were asked for first.
func (s *Session) whole(c sitting.Command) {
	hands := s.piece.Heading.Hands
	if s.aside.tempo != 0 {
		hands = s.aside.hands
	}
	if !s.lay(c, s.first.Heading.Span, hands, s.first.Heading.Loop) {
		return
	}
	if s.aside.tempo != 0 {
		s.setTempo(s.aside.tempo)
		s.aside = aside{}
	}
}

// menu is what may be asked now.
func (s *Session) menu() sitting.Menu {
	var m sitting.Menu
	offer := func(ok bool, c sitting.Command) {
		if ok {
			m.Offer(c)
		}
	}
	if s.stage == ended {
		return m
	}
	if s.o.Fixed {
		m.Offer(sitting.Command{Do: sitting.DoEnd})
		return m
	}
	begun := s.take != nil
	waits := s.stage == ready || s.stage == reading || s.stage == away
	offer(waits && s.stage != away && !s.leads(), sitting.Command{Do: sitting.DoBegin})
	offer(s.stage == playing, sitting.Command{Do: sitting.DoPause})
	offer(s.stage == paused, sitting.Command{Do: sitting.DoGoOn})
	if s.stage != away {
		offer(begun && !(s.leads() && s.stage == ready), sitting.Command{Do: sitting.DoAgain})
		rests := !s.leads() || s.stage != playing // the tempo of who leads is set by playing
		offer(rests, sitting.Command{Do: sitting.DoSlower})
		offer(rests, sitting.Command{Do: sitting.DoFaster})
		s.offerPieces(offer, begun)
	}
	offer(true, sitting.Command{Do: sitting.DoEnd})
	s.piano.Offer(&m)
	return m
}

// offerPieces offers what lays the piece anew.
func (s *Session) offerPieces(offer func(bool, sitting.Command), begun bool) {
	if s.o.Lay == nil {
		return
	}
	whole := s.piece.Heading.Span == s.first.Heading.Span && s.loops() == s.first.Heading.Loop
	offer(whole && begun, sitting.Command{Do: sitting.DoLine})
	offer(!whole, sitting.Command{Do: sitting.DoWhole})
	n, some := s.suggested()
	offer(some, sitting.Command{Do: sitting.DoSuggested, Bars: n.Span, Hands: n.Hands})
	if hands, ok := s.otherHands(); ok {
		offer(true, sitting.Command{Do: sitting.DoHands, Hands: hands})
	}
}

// otherHands are the hands that may be judged next: both, left, right, and round
// again, but for those that have nothing to play.
func (s *Session) otherHands() (score.Only, bool) {
	if w := s.o.Heading.With; w == pattern.Left.String() || w == pattern.Right.String() {
		return 0, false // undersong plays the other one
	}
	var plays [2]bool
	for i := range s.piece.Score.Wants {
		plays[s.piece.Score.Wants[i].Hand] = true
	}
	if !plays[pattern.Left] || !plays[pattern.Right] {
		return 0, false
	}
	return (s.piece.Heading.Hands + 1) % (score.RightAlone + 1), true
}

// suggested is what is most worth practising, of all that was played so far.
func (s *Session) suggested() (sitting.Suggestion, bool) {
	r := s.result()
	r.Tempo = s.first.Heading.Tempo
	all := r.Suggest()
	if len(all) == 0 {
		return sitting.Suggestion{}, false
	}
	return all[0], true
}

// bar is the bar of the piece that is played now, or will be next.
func (s *Session) bar() int {
	if s.stage != playing {
		return s.next
	}
	return s.take.first + s.take.position(s.known()).Bar
}

// stopTake ends the take where it is: what is still open is not judged.
func (s *Session) stopTake() {
	s.next = s.bar()
	if s.leads() {
		s.next = 0 // the player goes on where it suits
	}
	s.take.quiet(s.o.Sound)
	s.findings(s.take.release())
	s.leave(s.take.begun(s.known()))
}

// pause stops the music.
func (s *Session) pause() {
	if s.stage != playing {
		return
	}
	s.stopTake()
	s.stage = paused
	s.shown.notice = sitting.Notice{Kind: sitting.NowPaused}
	s.Notice(s.shown.notice)
}

// goOn begins, or goes on after a pause.
func (s *Session) goOn() {
	if s.leads() {
		s.stage = ready
		return
	}
	s.resume()
}

// resume lets the music begin again: at once, or when the keys of a command at the
// piano are let go.
func (s *Session) resume() {
	switch {
	case s.leads():
		s.stage = ready
	case !s.piano.Later():
		s.start(s.Now)
	}
}

// again goes back to the beginning of the line, within what is played.
func (s *Session) again() {
	bar := s.bar()
	if s.stage == playing {
		s.stopTake()
	}
	s.next = s.piece.LineStart(bar)
	if s.leads() {
		s.next = 0
	}
	s.resume()
}

// tempoTo plays on at another tempo, from the bar that is played. Of a player who leads
// it is expected the next time.
func (s *Session) tempoTo(t meter.Tempo) {
	s.setTempo(t)
	switch s.stage {
	case playing:
		s.stopTake()
		s.resume()
	case paused:
		s.piano.Later() // as it went on before
	}
}

// setTempo sets the tempo of the next take.
func (s *Session) setTempo(t meter.Tempo) {
	s.tempo = t
	s.Notice(sitting.Notice{Kind: sitting.NowAtTempo, Tempo: t})
}

// lay lays the piece anew, from its first bar, and lets the music begin where it had
// begun; false where that cannot be done.
func (s *Session) lay(c sitting.Command, bars score.Span, hands score.Only, loop bool) bool {
	laid, err := s.o.Lay(bars, hands, loop)
	if err != nil {
		s.Refuse(c)
		return false
	}
	if s.stage == playing {
		s.stopTake()
		s.stage = paused
	}
	s.handOver(math.MaxInt) // what is kept is about the piece as it was
	s.shown = shown{}
	h := s.o.Heading.Of(laid)
	h.Span, h.Loop = bars, loop
	s.piece, s.next = sitting.NewPiece(h, laid, laid.Chart), 0
	s.Tell(sitting.Record{Piece: s.piece})
	s.anew = s.take != nil
	return true
}
