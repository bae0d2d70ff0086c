package words

import (
	"fmt"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/text/wording"
)

const longSession = "That was a long stretch: take a break. Stop if it hurts and ask your teacher or a doctor; keep headphones low."

// BreakAdvice is what a long session ends with; empty where no break is due.
func BreakAdvice(length time.Duration) string {
	if length >= sitting.LongSession {
		return longSession
	}
	return ""
}

// closing adds the advice that a long session ends with.
func closing(length time.Duration, lines []string) []string {
	if text := BreakAdvice(length); text != "" {
		return append(lines, text)
	}
	return lines
}

// Advice is something worth practising next.
type Advice struct {
	Text    string
	Bars    []int // printed numbers, rising
	Hand    string
	Command string // empty where the chart is no file
}

// Practise lists at most three things, the most worthwhile first.
func Practise(s *sitting.Result) []Advice {
	var all []Advice
	for _, n := range s.Suggest() {
		t := &n.Trouble
		all = append(all, Advice{Text: troubleText(t), Bars: t.Bars, Hand: t.Part.String(), Command: command(s, &n)})
	}
	return all
}

// remedies say what to do about each kind.
var remedies = map[finding.Kind]string{
	finding.Stopped:        "play on without what is hard: the bass alone, or the chord held",
	finding.WentBack:       "sing it aloud while you play, and never wait for your hands",
	finding.LostBeat:       "count aloud through the bar and into the next",
	finding.Lost:           "a few bars at a time, then across the joins between them",
	finding.WrongChord:     "say the chord's name aloud before each change",
	finding.WrongBass:      "left hand alone, naming each bass note",
	finding.WrongInversion: "move slowly from chord to chord and keep the notes they share",
	finding.WrongNote:      "slowly, hands apart, looking at the keys",
	finding.Missing:        "count aloud and touch every beat",
	finding.Extra:          "count aloud and leave the rests empty",
	finding.Spread:         "feel the whole chord under the fingers, then let it fall at once",
	finding.Late:           "prepare the next chord during the beat before",
	finding.Early:          "listen for the click before you play",
	finding.Blurred:        "change the pedal just after each new chord",
	finding.Short:          "hold each chord until the next one",
	finding.Balance:        "let the bass carry, the chords lightly above it",
}

// special are the remedies for what most findings of a kind are about, with a name
// for it where the kind's is not it.
var special = map[about]struct{ name, remedy string }{
	{finding.Missing, finding.Tones}:        {"notes left out", "set every finger on its key, then strike the whole chord"},
	{finding.WrongBass, finding.ChordTone}:  {"", "left hand alone, saying which tone of the chord each bass is: root, third, fifth"},
	{finding.WrongBass, finding.Octave}:     {"bass in another octave", "left hand alone, feeling how far down the basses lie"},
	{finding.WrongNote, finding.Octave}:     {"notes in another octave", "slowly, hands apart, feeling how far each hand moves"},
	{finding.WrongInversion, finding.OnTop}: {"tune not on top", "the tune alone with the upper fingers, then the chord under it"},
	{finding.Balance, finding.Accents}:      {"accents too soft", "lean into the accented beats, all others lighter"},
	{finding.Balance, finding.OnTop}:        {"tune too soft", "the chords alone, as softly as they go, then the tune over them"},
}

type about struct {
	kind   finding.Kind
	aspect finding.Aspect
}

// nameAndRemedy are what is wrong and what helps with it.
func nameAndRemedy(t *finding.Trouble) (name, remedy string) {
	name, remedy = kindWords[t.Kind], remedies[t.Kind]
	if s, known := special[about{t.Kind, t.Aspect}]; known {
		remedy = s.remedy
		if s.name != "" {
			name = s.name
		}
	}
	if d := t.Lacked.Only(); d >= 0 && t.Aspect == finding.Tones {
		tone := degreeNames[d]
		return tone + " left out", "find the " + tone + " of each chord first, then strike the whole chord"
	}
	return name, remedy
}

func troubleText(t *finding.Trouble) string {
	name, remedy := nameAndRemedy(t)
	return fmt.Sprintf("%s, %s (%s, %s): %s", name, barsText(t.Bars), partWords[t.Part], wording.Times(t.Count), remedy)
}
