package cli

import (
	"errors"

	"undersong/internal/midi/event"
	"undersong/internal/play/playback"
	"undersong/internal/session/practice"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// usualWithChannel is where undersong plays beside the student: a channel that
// instruments sound as a piano of its own, and that keyboards do not send on, who
// use the first three for right hand, left hand and layer (common practice, no
// source).
const usualWithChannel = 4

// withMelody is the value of --with that is no hand.
const withMelody = "melody"

// checkWith looks at --with and what bears on it.
func (o *practiceOptions) checkWith() error {
	other := map[string]string{pattern.Left.String(): pattern.Right.String(), pattern.Right.String(): pattern.Left.String()}
	switch o.with {
	case "":
		return nil
	case withMelody, pattern.Left.String(), pattern.Right.String():
	default:
		return usagef("--with %q is not one of left, right, melody", o.with)
	}
	switch {
	case o.piece.hand == o.with:
		return usagef("--with %s leaves you the %s hand: leave --hand out", o.with, other[o.with])
	case o.withChannel < 1 || o.withChannel > 16 || o.withChannel == event.Percussion+1:
		return usagef("--with-channel %d is not a MIDI channel from 1 to 16; 10 is the click's", o.withChannel)
	}
	return nil
}

// leaveHand leaves the student the hand that undersong does not play.
func (o *practiceOptions) leaveHand(p *piece) {
	switch o.with {
	case pattern.Left.String():
		p.only = score.RightAlone
	case pattern.Right.String():
		p.only = score.LeftAlone
	}
}

// accompanied is what undersong plays of a score.
func (o *practiceOptions) accompanied(s *score.Score) (practice.With, error) {
	w := practice.With{Channel: uint8(o.withChannel - 1)}
	for _, h := range []pattern.Hand{pattern.Left, pattern.Right} {
		if o.with != h.String() {
			continue
		}
		w.Parts = append(w.Parts, playback.Of(h))
		if !wants(s, h) {
			return w, &score.HandError{Pattern: s.Pattern, Hand: h}
		}
	}
	if o.with == withMelody && s.Pattern.PlaysTune() {
		return w, usagef("--with melody: in the pattern %s the tune is yours; --with right plays it for you", s.Pattern.Name)
	}
	if o.with == withMelody {
		w.Parts = append(w.Parts, playback.Tune)
		if len(s.Melody) == 0 {
			return w, usagef("--with melody: no tune is written in these bars of the chart")
		}
	}
	return w, nil
}

func wants(s *score.Score, h pattern.Hand) bool {
	for i := range s.Wants {
		if s.Wants[i].Hand == h {
			return true
		}
	}
	return false
}

// openOut opens the output where anything is to sound.
func (o *practiceOptions) openOut(k *keyboard) error {
	if o.with == "" && (o.noClick || o.piece.follow) {
		return nil
	}
	err := k.openClick(o.out)
	if o.with == "" || err == nil && k.click != nil {
		return err
	}
	if err == nil {
		err = errors.New("the keyboard has no output")
	}
	return usagef("--with %s has no instrument to play on: %w\n--out NAME chooses one; undersong ports lists what is there", o.with, err)
}
