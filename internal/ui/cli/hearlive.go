package cli

import (
	"context"
	"fmt"

	"undersong/internal/listen/live"
	"undersong/internal/session/practice"
	"undersong/internal/text/visible"
	"undersong/internal/ui/words"
)

// hearLive names what is held until it is stopped. On a terminal one line shows
// the present chord; elsewhere, and with reasons, each chord is a line of its
// own.
func (a *App) hearLive(ctx context.Context, k *keyboard, o *hearOptions) error {
	s := &soundShow{app: a, how: o.how}
	s.oneLine = !o.how.json && !o.how.why && a.moves()
	l := &practice.Listener{
		Options: live.Options{Key: o.key, Split: o.split, Explain: o.how.why},
		Changed: s.changed, Notice: s.notice,
	}
	if err := s.notice("listening to " + k.in + "; Ctrl-C ends"); err != nil {
		return err
	}
	err := k.run(ctx, a, practice.NewLoop(l, k.clock, k.after), nil)
	if s.oneLine && err == nil {
		_, err = fmt.Fprintln(a.Out)
	}
	return err
}

// soundShow shows sounds as they come.
type soundShow struct {
	app     *App
	how     hearForm
	oneLine bool
	last    string // as written
}

func (s *soundShow) notice(text string) error {
	_, err := fmt.Fprintln(s.app.Err, visible.Name(text))
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
