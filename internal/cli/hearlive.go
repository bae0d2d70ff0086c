package cli

import (
	"context"
	"fmt"
	"strings"

	"undersong/internal/pitch"
	"undersong/internal/practice"
)

// noChord is the label of what is no chord.
const noChord = "N"

// hearLive names what is held until it is stopped. On a terminal one line shows
// the present chord; elsewhere each chord is a line.
func (a *App) hearLive(ctx context.Context, o *hearOptions, key *pitch.Key) error {
	k, err := a.openKeyboard(o.in)
	if err != nil {
		return err
	}
	defer k.close()
	oneLine := !o.json && a.Terminal() && a.Getenv("TERM") != "dumb"
	l := &practice.Listener{
		InKey:   key,
		Changed: func(s practice.Sound) error { return a.showSound(s, o.json, oneLine) },
		Over: func(s practice.Sound) error {
			if !o.json {
				return nil
			}
			return a.writeChordLine(chordLine{seconds(s.Start), seconds(s.End), label(s), s.Keys})
		},
		Notice: func(text string) error {
			_, err := fmt.Fprintf(a.Err, "%s\n", text)
			return err
		},
	}
	if err := l.Notice("listening to " + k.in + "; Ctrl-C ends"); err != nil {
		return err
	}
	err = k.run(ctx, a, practice.NewLoop(l, k.clock, k.after), nil)
	if oneLine && err == nil {
		_, err = fmt.Fprintln(a.Out)
	}
	return err
}

func label(s practice.Sound) string {
	if s.Chord {
		return s.Name
	}
	return noChord
}

// eraseLine goes back to the line's start and clears it (ECMA-48: CR, EL).
const eraseLine = "\r\x1b[K"

func (a *App) showSound(s practice.Sound, asJSON, oneLine bool) error {
	text := strings.TrimSpace(fmt.Sprintf("%-10s %s", s.Name, s.Words))
	switch {
	case asJSON:
		return nil
	case oneLine:
		text = eraseLine + text
	case s.Name == "":
		return nil
	default:
		text += "\n"
	}
	_, err := fmt.Fprint(a.Out, text)
	return err
}
