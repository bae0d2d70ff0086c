package words

import "undersong/internal/judge/finding"

// voice puts findings of one judge into words.
type voice interface {
	Place(*finding.Finding) string
	Line(*finding.Finding) string
	slip(*finding.Finding) string // what went wrong, in a few words
}

// line is a correction in one sentence. One that was made before is a short
// reminder: the player knows what to do, and is at the keys.
func line(v voice, f *finding.Finding) string {
	if f.Mended {
		return v.Line(f) + " (mended)"
	}
	if f.Again == 0 || f.Kind == finding.Lost || f.Kind.By(finding.Flow) {
		return v.Line(f)
	}
	return v.Place(f) + ": " + v.slip(f) + " again" + timeName(f.Again+1)
}

func (v *BassWording) slip(f *finding.Finding) string {
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

func (v *Wording) slip(f *finding.Finding) string {
	switch f.Kind {
	case finding.Missing:
		return "missing " + v.Wanted(f)
	case finding.Extra:
		return "extra " + v.Heard(f)
	case finding.Short:
		return "let go too early"
	case finding.Blurred:
		return v.Heard(f) + " in the pedal"
	}
	return v.Heard(f)
}
