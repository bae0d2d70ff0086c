package cause

import (
	"sort"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/midi/event"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// strike is a key struck in a stretch, with the strokes that it may be meant for.
type strike struct {
	key  pitch.Num
	at   time.Duration
	near []*score.Want
}

// propose lists the readings that are worth weighing. They are cheap to find and may be
// wrong.
func (j *Judge) propose(now time.Duration) []reading {
	var all []reading
	if !j.reading.plain() {
		all = append(all, reading{})
	}
	at := j.stretch(&j.reading, now)
	struck := j.struck(at, now)
	all = append(all, j.keys(struck)...)
	all = append(all, lifts()...)
	all = append(all, silences()...)
	all = append(all, j.shifts(struck, at)...)
	for i := range all {
		all[i].pass = at.pass
	}
	return append(all, j.paces(at, now)...)
}

// struck is what was struck in the stretch in doubt.
func (j *Judge) struck(at stretch, now time.Duration) []strike {
	var all []strike
	j.kept.each(j.doubt.since, now, func(ev event.Event) {
		if !ev.IsNoteOn() {
			return
		}
		s := strike{key: pitch.Num(ev.Data1), at: ev.At}
		j.near(at, ev.At, j.reach(), func(w *score.Want, _ time.Duration) { s.near = append(s.near, w) })
		all = append(all, s)
	})
	return all
}

// keys are the other keys that most of what was struck speaks for: each note for the
// distances from the notes that were wanted then.
func (j *Judge) keys(struck []strike) []reading {
	var votes [12]int
	struckSum, wantedSum, wanted := 0, 0, 0
	for i := range struck {
		var shifts [12]bool
		for _, w := range struck[i].near {
			for t := range w.Tones {
				shifts[pitch.ClassOf(int(struck[i].key-w.Tones[t].Key))] = true
				wantedSum += int(w.Tones[t].Key)
				wanted++
			}
		}
		for n, is := range shifts {
			if is {
				votes[n]++
			}
		}
		struckSum += int(struck[i].key)
	}
	if wanted == 0 {
		return nil
	}
	higher := struckSum/len(struck) - wantedSum/wanted
	order := []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}
	sort.SliceStable(order, func(a, b int) bool { return votes[order[a]] > votes[order[b]] })
	var all []reading
	for _, n := range order[:likeliest] {
		all = append(all, otherKey(n, higher))
	}
	return all
}

// otherKey is the reading of a key some semitones up, 1 to 11, where what is played lies
// about so much higher than it is written.
func otherKey(up, higher int) reading {
	semitones := up
	if semitones > 6 {
		semitones -= 12
	}
	octaves := 0
	for semitones+12*octaves+6 < higher {
		octaves++
	}
	for semitones+12*octaves-6 > higher {
		octaves--
	}
	return reading{
		cause: finding.Cause{Kind: finding.OtherKey, Semitones: semitones, Octaves: octaves, Hand: finding.BothHands},
		up:    semitones + 12*octaves,
	}
}

// lifts are the readings of hands that lie some octaves off.
func lifts() []reading {
	var all []reading
	for _, n := range []int{1, -1, farthestHand, -farthestHand} {
		for _, h := range []finding.Part{finding.LeftHand, finding.RightHand, finding.BothHands} {
			r := reading{cause: finding.Cause{Kind: finding.OctaveOff, Hand: h, Octaves: n}}
			if h != finding.RightHand {
				r.lift[pattern.Left] = n
			}
			if h != finding.LeftHand {
				r.lift[pattern.Right] = n
			}
			all = append(all, r)
		}
	}
	return all
}

// silences are the readings of hands that do not play.
func silences() []reading {
	var all []reading
	for _, mute := range [][2]bool{{true, true}, {true, false}, {false, true}} {
		hand := finding.BothHands
		if mute[pattern.Left] != mute[pattern.Right] {
			hand = finding.LeftHand
			if mute[pattern.Right] {
				hand = finding.RightHand
			}
		}
		all = append(all, reading{cause: finding.Cause{Kind: finding.Silent, Hand: hand}, mute: mute})
	}
	return all
}
