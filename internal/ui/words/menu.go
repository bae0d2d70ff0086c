package words

import (
	"fmt"
	"strings"

	"undersong/internal/music/pitch"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// keys are the keys of the computer that ask for something, the first of each shown.
var keys = map[sitting.Do][]string{
	sitting.DoBegin: {"enter"}, sitting.DoPause: {"space"}, sitting.DoGoOn: {"space"}, sitting.DoAgain: {"a"},
	sitting.DoSlower: {"s", "-"}, sitting.DoFaster: {"f", "+"}, sitting.DoLine: {"l"}, sitting.DoWhole: {"l"},
	sitting.DoSuggested: {"p"}, sitting.DoHands: {"o"}, sitting.DoHint: {"h"}, sitting.DoEnd: {"q"},
}

// Typed is the command that a key of the computer gives. Any key begins what waits for
// one, and ends what is over.
func Typed(m *sitting.Menu, phase sitting.Phase, key string) (sitting.Command, bool) {
	for _, c := range m.Choices {
		for _, k := range keys[c.Command.Do] {
			if k == key {
				return c.Command, true
			}
		}
	}
	switch {
	case m.Has(sitting.DoBegin):
		return sitting.Command{Do: sitting.DoBegin}, true
	case phase == sitting.Finished && m.Has(sitting.DoEnd):
		return sitting.Command{Do: sitting.DoEnd}, true
	}
	return sitting.Command{}, false
}

// doText is what a command does, in two or three words.
func doText(c sitting.Command) string {
	switch c.Do {
	case sitting.DoGoOn:
		return "go on"
	case sitting.DoLine:
		return "loop this line"
	case sitting.DoWhole:
		return "the whole again"
	case sitting.DoBars:
		return "loop " + c.Bars.String()
	case sitting.DoSuggested:
		return "practise " + spanText(c.Bars) + handText(c.Hands)
	case sitting.DoHands:
		if c.Hands == score.BothHands {
			return "both hands"
		}
		return c.Hands.String() + " hand"
	}
	return c.Do.String()
}

// shortText is what a command does, in one word.
func shortText(c sitting.Command) string {
	switch c.Do {
	case sitting.DoHands:
		return c.Hands.String()
	case sitting.DoSuggested:
		return "practise"
	case sitting.DoGoOn:
		return "go on"
	}
	return c.Do.String()
}

func spanText(s score.Span) string {
	if s == (score.Span{}) {
		return "what is suggested"
	}
	if s == score.IntroBars || s.From == s.To {
		return s.String()
	}
	return fmt.Sprintf("%d-%d", s.From, s.To)
}

func handText(o score.Only) string {
	if o == score.BothHands {
		return ""
	}
	return " " + o.String()
}

// piano says how the commands are reached from the piano.
const piano = "at the piano: hold the two lowest keys"

// PianoHelp says in full how the commands are reached from the piano, and which there
// are.
func (s *Speaker) PianoHelp() string {
	h := &s.piece.Heading
	all := []string{"1 pause or go on"}
	if h.Kind == sitting.Practice || h.Kind == sitting.Demonstration {
		all = append(all, "2 again", "3 slower", "4 faster", "5 loop this line")
	}
	switch h.Kind {
	case sitting.Practice:
		all = append(all, "6 practise what is suggested", "7 hands")
	case sitting.Tune, sitting.Basses:
		all = append(all, "8 hint")
	}
	return "hold the two lowest keys of the piano together for a moment; while you do, the white keys above them are: " +
		strings.Join(append(all, "9 end"), ", ")
}

// menu is what may be asked.
func (v *Viewer) menu(st *sitting.State, view *View) {
	view.AtPiano = st.Menu.AtPiano
	for _, c := range st.Menu.Choices {
		choice := Choice{Key: keys[c.Command.Do][0], Text: doText(c.Command), Short: shortText(c.Command), Piano: fmt.Sprint(c.Place)}
		if c.Command.Do == sitting.DoBegin && (st.Where.Phase == sitting.Reading || st.Where.Bar >= 0) { // it has begun
			choice.Text, choice.Short = doText(sitting.Command{Do: sitting.DoGoOn}), shortText(sitting.Command{Do: sitting.DoGoOn})
		}
		if c.Key > 0 {
			choice.Piano = c.Key.Spell(pitch.Key{}.Spell(c.Key.Class())).String()
		}
		view.Menu = append(view.Menu, choice)
	}
	if st.Menu.Piano && len(view.Menu) > 1 {
		view.Piano = piano
	}
}
