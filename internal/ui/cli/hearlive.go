package cli

import (
	"context"
	"fmt"

	"undersong/internal/session/practice"
)

// hearLive names what is held until it is stopped. On a terminal one line shows
// the present chord; elsewhere, and with reasons, each chord is a line of its
// own.
func (a *App) hearLive(ctx context.Context, k *keyboard, o *hearOptions) error {
	s := &soundShow{app: a, how: o.how}
	s.oneLine = !o.how.json && !o.how.why && a.moves()
	l := &practice.Listener{
		InKey: o.key, Split: o.split, Explain: o.how.why,
		Changed: s.changed, Over: s.over, Notice: s.notice,
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
	_, err := fmt.Fprintf(s.app.Err, "%s\n", text)
	return err
}

// over writes a sound that has ended as JSON, which tells its end.
func (s *soundShow) over(is practice.Sound) error {
	if !s.how.json {
		return nil
	}
	return s.app.writeHeard(s.how, heardOf(is))
}

// eraseLine goes back to the line's start and clears it (ECMA-48: CR, EL).
const eraseLine = "\r\x1b[K"

// changed shows what sounds now. Lines do not repeat themselves.
func (s *soundShow) changed(is practice.Sound) error {
	if s.how.json {
		return nil
	}
	text := ""
	if is.Name != "" {
		h := heardOf(is)
		text = s.how.nowLine(is.Name, h)
		if s.how.why {
			text += "\n" + h.whyTable()
		}
	}
	switch {
	case s.oneLine:
		text = eraseLine + text
	case text == "" || text == s.last:
		return nil
	default:
		s.last = text
		return s.app.writeText(text)
	}
	_, err := fmt.Fprint(s.app.Out, text)
	return err
}

func heardOf(s practice.Sound) heardChord {
	return heardChord{start: s.Start, end: s.End, chord: s.Chord, key: s.Key, keys: s.Keys, readings: s.Readings}
}
