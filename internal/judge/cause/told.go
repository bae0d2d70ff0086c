package cause

import "undersong/internal/judge/finding"

// tell tells a finding.
func (j *Judge) tell(f *finding.Finding) {
	for n := range j.reading.causes {
		if k := j.reading.causes[n].Kind; k != finding.NoCause && !k.Leaps() {
			j.all[j.current[n]].ToBar = j.Score.Bars[f.Bar].Number
		}
	}
	if j.reading.pace != 0 && (f.Kind == finding.Early || f.Kind == finding.Late) {
		f.Kind = finding.Right // the tempo is the player's own, without a click
	}
	j.told, j.toldAt = true, max(j.toldAt, f.At)
	if f.Kind == finding.Right && j.reading.is(finding.Delay) {
		j.delayed(f.Offset)
	}
	if f.Kind == finding.Right || mistaken(f.Kind) {
		j.slipped = f.Kind != finding.Right
	}
	if f.Kind == finding.Right {
		j.never[f.Part] = false
	}
	if f.Part <= finding.RightHand && (f.Kind == finding.Right || mistaken(f.Kind)) {
		j.missed[f.Part] = f.Kind == finding.Missing
	}
	j.tally.Count(f)
	if !j.options.Led && j.reading.pace == 0 && timed(f.Kind) && f.Part <= finding.RightHand {
		j.tally.TimeOf(f)
	}
	j.out = append(j.out, *f)
}

func timed(k finding.Kind) bool {
	return k == finding.Right || k == finding.Early || k == finding.Late
}

// release tells what was kept back.
func (j *Judge) release() {
	for i := range j.doubt.held {
		j.tell(&j.doubt.held[i])
	}
	j.doubt.end()
}
