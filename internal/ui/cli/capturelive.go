package cli

import (
	"context"
	"errors"
	"strings"

	"undersong/internal/listen/capture"
	"undersong/internal/midi/port"
	"undersong/internal/music/chord"
	"undersong/internal/music/pitch"
	"undersong/internal/play/playback"
	"undersong/internal/session/recording"
	"undersong/internal/session/sitting"
	"undersong/internal/text/shell"
	"undersong/internal/ui/loop"
)

// captureLive listens, writes the pattern down, and plays it back where there is
// an output.
func (a *App) captureLive(ctx context.Context, o *captureOptions) error {
	live, stop := a.Stops(ctx)
	defer stop()
	r := &recording.Recorder{Heading: sitting.Heading{Title: o.over()}, Meter: o.known.Meter, Tempo: o.known.Tempo}
	sounds, ended := a.record(live, o, r)
	if ended != nil && !errors.Is(ended, port.ErrStopped) && !errors.Is(ended, port.ErrStuck) { // else what was played is kept
		return ended
	}
	got, err := capture.Capture(r.Events, o.known)
	switch {
	case err != nil && ended != nil:
		return ended
	case err != nil && r.Unplugged():
		return errorf("the keyboard was unplugged: %w", err)
	case err != nil:
		return err
	}
	if err := a.keep(o, got); err != nil {
		return err
	}
	if live.Err() != nil || ended != nil || o.silent || !sounds && o.out == "" {
		return ended
	}
	if r.Unplugged() {
		o.in = "" // whichever is there will do
	}
	return a.playBack(ctx, o, got)
}

// record takes in what is played. sounds reports an output.
func (a *App) record(ctx context.Context, o *captureOptions, r *recording.Recorder) (sounds bool, err error) {
	k, err := a.openKeyboard(ctx, o.in)
	if err != nil {
		return false, fileWillDo(err, "undersong patterns capture "+shell.File(o.name)+" --chords "+shell.Word(o.over()))
	}
	defer func() { err = errors.Join(err, k.close()) }()
	click := o.out
	if o.toMIDI() {
		click = ""
	}
	if err := k.openClick(click); err != nil {
		return false, err
	}
	if o.click {
		if k.click == nil {
			return false, usagef("there is no output for the click: --out NAME chooses one, or leave --click out")
		}
		r.Sound = k.click.send
	}
	program := a.screenFor(plainIf(o.plain))
	if program == nil {
		text := "listening to " + k.in + ": play the accompaniment over " + o.over() + ", twice or three times if you like, then wait"
		if err := a.writeLine(text); err != nil {
			return false, err
		}
	}
	err = k.run(ctx, a, loop.New(r, k.clock, k.after), program)
	o.silent = o.silent || program != nil && program.Interrupted()
	return k.click != nil, errors.Join(err, k.ended)
}

// toMIDI reports that what is played back goes to a file.
func (o *captureOptions) toMIDI() bool { return strings.HasSuffix(strings.ToLower(o.out), ".mid") }

// over names the chords.
func (o *captureOptions) over() string {
	names := make([]string, len(o.known.Chords))
	for i, c := range o.known.Chords {
		names[i] = c.String()
	}
	return strings.Join(names, " ")
}

// playBack plays the pattern in another key: over the chords that it was played
// over or, if that was one, over a few.
func (a *App) playBack(ctx context.Context, o *captureOptions, got *capture.Captured) error {
	p, err := o.piece(got)
	if err != nil {
		return err
	}
	s, err := p.build(false)
	if err != nil {
		return err
	}
	how := &playOptions{in: o.in, out: o.out, times: 1, force: o.force, plain: o.plain}
	perform := playback.Options{Parts: playback.Hands(s), Times: 1}
	if o.toMIDI() {
		return a.writeParts(how, s, perform)
	}
	return a.show(ctx, how, p, s, perform)
}

// home is the key that it was played in.
func (o *captureOptions) home() pitch.Key {
	if o.known.Key != nil {
		return *o.known.Key
	}
	return o.known.Chords[0].Home()
}

func (o *captureOptions) piece(got *capture.Captured) (*piece, error) {
	home := o.home()
	key := o.playTo
	if key == nil {
		k := home.FifthUp()
		key = &k
	}
	c, err := chordChart(o.backing(got), got.Pattern)
	if err != nil {
		return nil, err
	}
	c.Key, c.Tempo = home, got.Tempo
	return &piece{chart: c, file: o.path(), pattern: got.Pattern, own: o.path(), key: key}, nil
}

// backing are the chords to play it back over.
func (o *captureOptions) backing(got *capture.Captured) string {
	if len(o.known.Chords) > 1 {
		return o.over()
	}
	first, few := o.known.Chords[0], fewChords
	if first.Home().Minor {
		few = fewMinor
	}
	var row []string
	for _, name := range strings.Fields(few) {
		c, err := chord.Parse(name)
		if err != nil {
			continue // they are our own
		}
		for range got.Pattern.Length {
			row = append(row, c.Transpose(pitch.IntervalUp(pitch.Note{}, first.Root)).String())
		}
	}
	return strings.Join(row, " ")
}
