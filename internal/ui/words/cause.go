package words

import (
	"fmt"
	"math"
	"strings"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/sheet/score"
	"undersong/internal/text/wording"
)

// Cause is one reason for many mistakes, in one sentence.
func (s *Speaker) Cause(c *finding.Cause) string {
	if c.Kind.Leaps() {
		return s.strokes.cause(c)
	}
	return "from " + theBar(c.Bar) + ": " + s.strokes.cause(c)
}

// theBar is "bar 3" or "the upbeat".
func theBar(number int) string {
	if number == 0 {
		return "the " + score.BarName(number)
	}
	return score.BarName(number)
}

// wentOn is how the player went on after a stop.
func wentOn(c *finding.Cause) string {
	if c.Bar == c.ToBar {
		return fmt.Sprintf("stopped in %s and began it again", theBar(c.Bar))
	}
	return fmt.Sprintf("stopped in %s and went back to %s", theBar(c.Bar), theBar(c.ToBar))
}

// leftOut is "bar 7 left out" or "bars 7 to 8 left out".
func leftOut(c *finding.Cause) string {
	if c.Bar == c.ToBar {
		return theBar(c.Bar) + " left out"
	}
	return fmt.Sprintf("%s to %s left out", theBar(c.Bar), theBar(c.ToBar))
}

func (v *Wording) cause(c *finding.Cause) string {
	switch c.Kind {
	case finding.OtherKey:
		there := keyOf(c, v.Score.Key)
		return fmt.Sprintf("you are in %s, the chart is in %s: all is %s - play on, or begin again with --key %s",
			there, v.Score.Key, distance(c.Semitones+12*c.Octaves), there)
	case finding.OctaveOff:
		is := "is"
		if c.Hand == finding.BothHands {
			is = "are"
		}
		return fmt.Sprintf("%s %s %s", theHand(c.Hand), is, octavesOff(c.Octaves))
	case finding.HalfTempo, finding.DoubleTempo:
		return v.offTempo(c.Ratio)
	case finding.EarlyStart, finding.LateStart:
		return "everything comes " + v.beatsOff(c.Beats) + v.begins(c)
	case finding.Delay:
		return fmt.Sprintf("every stroke is %s, evenly: ", byTime(c.Offset)) + v.delayed()
	case finding.Silent:
		return v.silent(c.Hand)
	case finding.StuckPedal:
		return fmt.Sprintf("the damper pedal has been down for %.0f seconds - lift it with each new chord", c.Offset.Seconds())
	case finding.Restarted:
		return wentOn(c)
	case finding.Skipped:
		return leftOut(c)
	case finding.OtherPattern:
		return fmt.Sprintf("this is %s, and %s is asked for", c.Name, v.Score.Pattern.Name)
	case finding.OtherChart:
		return "this is another tune: its chords fit in no key"
	case finding.SwappedHands:
		return "the hands have each other's part"
	}
	return ""
}

// silent says that a hand, or both, do not play.
func (v *Wording) silent(hand finding.Part) string {
	switch {
	case hand != finding.BothHands:
		return "nothing comes from " + theHand(hand)
	case v.Recorded:
		return "nothing more comes"
	}
	return "nothing at all comes - is the keyboard on this port?"
}

// delayed is where a delay may come from.
func (v *Wording) delayed() string {
	if v.Recorded {
		return "that may be the recording, not you"
	}
	return "that may be the sound system, not you - measure it with undersong ports --tap"
}

// begins says where the music begins, of a player who was beside it from there on.
func (v *Wording) begins(c *finding.Cause) string {
	first := v.Score.Bars[0].Number
	if c.Bar > first+1 || c.Pass > 0 {
		return ""
	}
	if text := FirstNote(v.Score); text != "" {
		return ": " + text
	}
	return ": the first note is on beat 1 of " + theBar(first)
}

// offTempo is how fast is played, against the click or the tempo that is asked for.
func (v *Wording) offTempo(ratio float64) string {
	click, of, then := "the click", "the click's tempo", fmt.Sprintf(", and steady: --tempo %.0f would go with you", ratio*float64(v.Score.Tempo))
	if v.Led {
		click, of, then = "is asked for", "the tempo that is asked for", ", and steady"
	}
	switch math.Round(ratio*20) / 20 {
	case 0.5:
		return "half as fast as " + click + then
	case 2:
		return "twice as fast as " + click + then
	}
	return fmt.Sprintf("at %.0f %% of %s", 100*ratio, of) + then
}

// beatsOff is "one beat early", "1.5 beats late" or "a bar late".
func (v *Wording) beatsOff(beats float64) string {
	way, n := " late", beats
	if n < 0 {
		way, n = " early", -n
	}
	switch bar := float64(v.Score.Meter.Beats()); {
	case n == bar:
		return "a bar" + way
	case math.Mod(n, bar) == 0:
		return wording.Count(int(n/bar), "bar") + way
	}
	switch n {
	case 1:
		return "one beat" + way
	case 0.5:
		return "half a beat" + way
	}
	return fmt.Sprintf("%.3g beats", n) + way
}

// byTime is "150 ms late".
func byTime(d time.Duration) string {
	if d < 0 {
		return Millis(-d) + " early"
	}
	return Millis(d) + " late"
}

// theHand is "the left hand" or "both hands".
func theHand(p finding.Part) string {
	if p == finding.BothHands {
		return partWords[p]
	}
	return "the " + partWords[p]
}

// octavesOff is "an octave high" or "two octaves low".
func octavesOff(n int) string {
	way := " high"
	if n < 0 {
		way = " low"
	}
	if n == 1 || n == -1 {
		return "an octave" + way
	}
	return wording.Count(max(n, -n), "octave") + way
}

// distances name the semitones within an octave.
var distances = [12]string{
	"", "a half step", "a whole step", "a minor third", "a major third", "a fourth", "a tritone", "a fifth",
	"a minor sixth", "a major sixth", "a minor seventh", "a major seventh",
}

// distance is "a fifth up" or "a fourth and 2 octaves down".
func distance(semitones int) string {
	way, n := " up", semitones
	if n < 0 {
		way, n = " down", -n
	}
	text := distances[n%12]
	switch octaves := n / 12; {
	case octaves == 1:
		text += " and an octave"
	case octaves > 1:
		text += " and " + wording.Count(octaves, "octave")
	}
	return text + way
}

// of is the voice for a finding: of the score as it was taken, where all is played in
// another key.
func (v *Wording) of(f *finding.Finding) *Wording { return v.higher(f.Up) }

// higher is the voice of the score in another key, so many semitones higher.
func (v *Wording) higher(up int) *Wording {
	if up == 0 {
		return v
	}
	if v.up == nil || v.by != up {
		s, _ := v.Score.Up(up)
		v.up, v.by = &Wording{Score: s, Ear: v.Ear}, up
	}
	return v.up
}

// sentence begins a text with a capital letter.
func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
