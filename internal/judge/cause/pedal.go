package cause

import (
	"time"

	"undersong/internal/judge/finding"
)

// damper watches for a pedal that is not lifted any more: harmonies that blur one after
// another have one cause then.
type damper struct {
	down  bool
	since time.Duration
	blurs int // harmonies that blurred since it went down
	held  []finding.Finding
	stuck bool // and that was told
	told  int  // as this one of all causes
}

// moved takes whether the pedal is down after an event, and reports that it was lifted.
func (d *damper) moved(down bool, now time.Duration) (lifted bool) {
	was := d.down
	d.down = down
	if down && !was {
		d.since, d.blurs, d.stuck = now, 0, false
	}
	return was && !down
}

// blurred takes a harmony that blurred: it is told, kept back, or explained by the pedal.
func (j *Judge) blurred(f *finding.Finding) {
	d := &j.damper
	if !d.down {
		j.tell(f)
		return
	}
	d.blurs++
	switch {
	case d.stuck:
		c := &j.all[d.told]
		c.ToBar, c.Offset = j.Score.Bars[f.Bar].Number, max(c.Offset, f.At-d.since)
	case d.blurs >= fewestBlurs:
		j.stick(f)
	case j.options.Patient || d.blurs > 1:
		d.held = append(d.held, *f)
	default:
		j.tell(f)
	}
}

// stick tells that the pedal is stuck, in place of what it explains.
func (j *Judge) stick(f *finding.Finding) {
	d := &j.damper
	bar, pass := j.barAt(d.since, f)
	c := finding.Cause{
		Kind: finding.StuckPedal, Bar: j.Score.Bars[bar].Number, ToBar: j.Score.Bars[f.Bar].Number,
		Pass: pass, At: f.At, Hand: finding.Foot, Offset: f.At - d.since,
	}
	d.stuck, d.told, d.held = true, len(j.all), d.held[:0]
	j.causes, j.all = append(j.causes, c), append(j.all, c)
}

// barAt is the bar and pass that sounded at a time before a finding.
func (j *Judge) barAt(t time.Duration, f *finding.Finding) (bar, pass int) {
	if j.led == nil {
		at := j.Click.PositionAt(max(t, j.Click.Start))
		return at.Bar, at.Pass
	}
	for bar = f.Bar; bar > 0 && j.heard.Leader().TimeOf(f.Pass-j.reading.pass, j.Score.Bars[bar].At) > t; bar-- {
	}
	return bar, f.Pass
}

// lift tells of what was kept back while the pedal was down.
func (j *Judge) lift() {
	for i := range j.damper.held {
		j.tell(&j.damper.held[i])
	}
	j.damper.held = j.damper.held[:0]
}
