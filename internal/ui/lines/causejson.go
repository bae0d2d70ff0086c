package lines

import (
	"undersong/internal/judge/finding"
	"undersong/internal/session/sitting"
)

// causeLine is one reason for many findings.
type causeLine struct {
	Type      string   `json:"type,omitempty"`
	Cause     string   `json:"cause"`
	Bar       int      `json:"bar"`
	ToBar     int      `json:"to_bar"`
	Pass      int      `json:"pass,omitempty"`
	AtMs      float64  `json:"at_ms,omitempty"`
	Semitones *int     `json:"semitones,omitempty"`
	Hand      string   `json:"hand,omitempty"`
	Octaves   int      `json:"octaves,omitempty"`
	Ratio     float64  `json:"ratio,omitempty"`
	Beats     float64  `json:"beats,omitempty"`
	Ms        *float64 `json:"ms,omitempty"`
	PauseMs   *float64 `json:"pause_ms,omitempty"`
	Name      string   `json:"name,omitempty"`
	Text      string   `json:"text"`
}

// causeOf is a cause, with the details of its kind alone.
func (j *JSON) causeOf(c *finding.Cause) causeLine {
	l := causeLine{
		Cause: c.Kind.String(), Bar: c.Bar, ToBar: c.ToBar, Octaves: c.Octaves, Name: c.Name,
		Ratio: round(c.Ratio, 3), Beats: round(c.Beats, 3), Text: j.speaker.Cause(c),
	}
	switch c.Kind {
	case finding.OtherKey:
		l.Semitones = &c.Semitones
	case finding.OctaveOff:
		l.Hand = c.Hand.String()
	case finding.Silent:
		if c.Hand != finding.BothHands {
			l.Hand = c.Hand.String()
		}
	case finding.Delay:
		ms := milliseconds(c.Offset)
		l.Ms = &ms
	case finding.Restarted:
		ms := milliseconds(c.Pause)
		l.PauseMs = &ms
	}
	return l
}

func (j *JSON) cause(c *sitting.Cause) error {
	l := j.causeOf(&c.Cause)
	l.Type, l.Pass, l.AtMs = "cause", c.Pass, milliseconds(c.At)
	return j.line(l)
}
