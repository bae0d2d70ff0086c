package cli

import (
	"context"
	"fmt"
	"strings"

	"undersong/internal/listen/live"
	"undersong/internal/session/freely"
	"undersong/internal/session/sitting"
	"undersong/internal/text/visible"
	"undersong/internal/text/wording"
	"undersong/internal/ui/loop"
	"undersong/internal/ui/words"
)

// hearLive names what is held until it is stopped. On a terminal one line shows
// the present chord; elsewhere, and with reasons, each chord is a line of its
// own.
func (a *App) hearLive(ctx context.Context, k *keyboard, o *hearOptions) error {
	s := &soundShow{app: a, how: o.how}
	s.oneLine = !o.how.json && !o.how.why && a.moves()
	h := freely.NewHearing(live.Options{Key: o.key, Split: o.split, Explain: o.how.why})
	if err := s.notice("listening to " + k.in + "; Ctrl-C ends"); err != nil {
		return err
	}
	l := loop.New(h, k.clock, k.after)
	l.Record = s.Record
	err := k.run(ctx, a, l, nil)
	if s.oneLine && err == nil {
		_, err = fmt.Fprintln(a.Out)
	}
	return err
}

// soundShow is a face that shows sounds as they come.
type soundShow struct {
	app     *App
	speaker *words.Speaker
	how     hearForm
	oneLine bool
	last    string // as written
}

// Record shows what is told.
func (s *soundShow) Record(r sitting.Record) error {
	switch {
	case r.Piece != nil:
		s.speaker = words.NewSpeaker(r.Piece)
	case r.Notice != nil && r.Notice.Kind == sitting.NowPaused:
		return s.notice(s.speaker.Notice(r.Notice) + "; " + s.speaker.PianoHelp())
	case r.Notice != nil:
		return s.notice(s.speaker.Notice(r.Notice))
	case r.Sound != nil:
		return s.changed(*r.Sound)
	}
	return nil
}

func (s *soundShow) notice(text string) error {
	text = visible.Name(text)
	if s.app.Terminal() {
		text = strings.Join(wording.Wrap(text, s.app.Columns()), "\n")
	}
	_, err := fmt.Fprintln(s.app.Err, text)
	return err
}

// eraseLine goes back to the line's start and clears it (ECMA-48: CR, EL).
const eraseLine = "\r\x1b[K"

// changed shows what sounds now, without repeating itself; as JSON what has ended,
// since that tells the end.
func (s *soundShow) changed(is live.Change) error {
	switch {
	case s.how.json && is.Over:
		return s.app.writeHeard(s.how, heardOf(&is.Sound))
	case s.how.json || is.Over:
		return nil
	}
	text := ""
	if !is.Silent() {
		h := heardOf(&is.Sound)
		text = s.how.nowLine(words.SoundName(&is.Sound), h)
		if s.how.why {
			text += "\n" + h.whyTable()
		}
	}
	switch {
	case s.oneLine:
		_, err := fmt.Fprint(s.app.screen, eraseLine+visible.Name(text))
		return err
	case text == "" || text == s.last:
		return nil
	}
	s.last = text
	return s.app.writeText(text)
}

func heardOf(s *live.Sound) heardChord {
	return heardChord{start: s.Start, end: s.End, chord: s.Chord, key: s.Key, keys: s.Keys, readings: s.Readings}
}
