package words

import (
	"strings"

	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// BassLine is a finding in one sentence. A correction that was made before is a
// short reminder.
func BassLine(v *BassVoice, f *finding.Finding) string {
	switch {
	case f.Mended:
		return v.Line(f) + " (mended)"
	case f.Again == 0 || f.Kind == finding.Lost:
		return v.Line(f)
	}
	return v.Place(f) + ": " + bassSlip(v, f) + " again" + timeName(f.Again+1)
}

// bassSlip is what went wrong, in a few words.
func bassSlip(v *BassVoice, f *finding.Finding) string {
	switch f.Kind {
	case finding.Missing:
		return "no bass"
	case finding.NoFifth:
		return "no fifth"
	case finding.NoThird:
		return "no third"
	}
	return v.Heard(f)
}

// Line is a correction in one sentence. One that was made before is a short
// reminder: the player knows what to do, and is at the keys.
func Line(i sitting.Item) string {
	if i.Finding.Kind == finding.Lost {
		return VoiceOf(i).Line(i.Finding)
	}
	if i.Finding.Again == 0 {
		return inRepeat(i, VoiceOf(i).Line(i.Finding))
	}
	return inRepeat(i, VoiceOf(i).Place(i.Finding)) + ": " + slip(i) + " again" + timeName(i.Finding.Again+1)
}

// VoiceOf is the voice for an item.
func VoiceOf(i sitting.Item) *Voice { return &Voice{Score: i.Score, Ear: i.Ear} }

// inRepeat says after the bar which time through a repeat it is, where it is not
// the first.
func inRepeat(i sitting.Item, text string) string {
	bar := score.BarName(VoiceOf(i).Bar(i.Finding))
	rest, ok := strings.CutPrefix(text, bar)
	pass := i.Score.Bars[i.Finding.Bar].Pass
	if !ok || pass < 2 {
		return text
	}
	return bar + ", " + ordinal(pass) + " time" + rest
}

// slip is what went wrong, in a few words.
func slip(i sitting.Item) string {
	f, heard := i.Finding, VoiceOf(i).Heard(i.Finding)
	switch f.Kind {
	case finding.Missing:
		return "missing " + VoiceOf(i).Wanted(f)
	case finding.Extra:
		return "extra " + heard
	case finding.Short:
		return "let go too early"
	case finding.Blurred:
		return heard + " in the pedal"
	}
	return heard
}
