package cause

import (
	"slices"
	"sort"
	"time"

	"undersong/internal/judge/finding"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/pattern"
)

// evidence is what was struck in the stretch in doubt, and from where readings count.
type evidence struct {
	struck  []strike // from a bar before on
	doubted int      // the first of them in doubt
	pass    int      // in which the stretch begins
	present reading  // counted from there
}

// evidence is what was struck up to now.
func (j *Judge) evidence(now time.Duration) evidence {
	ev := evidence{pass: j.stretch(&j.reading, now).pass}
	ev.struck, ev.doubted = j.struck(now)
	ev.present = j.based(j.reading, ev.pass)
	return ev
}

// propose lists the readings that are worth weighing. They are cheap to find and may be
// wrong.
func (j *Judge) propose(ev *evidence) []reading {
	var all []reading
	for _, r := range slices.Concat(j.keys(ev), j.playing(lifts()), silences(), j.others(ev)) {
		r.pass, r.late, r.pace, r.causes[when] = ev.pass, ev.present.late, ev.present.pace, ev.present.causes[when]
		r.change = change{leave: j.doubt.since, enter: j.doubt.since}
		if n := len(ev.struck); r.mute == [2]bool{true, true} && n > ev.doubted {
			at := ev.struck[n-1].at + j.close()
			r.change = change{leave: at, enter: at}
		}
		all = append(all, r)
	}
	return slices.Concat(j.without(ev), all, j.shifts(ev), j.paces(ev))
}

// based is a reading, counted from another pass on.
func (j *Judge) based(r reading, pass int) reading {
	begins := j.sounds(&r, time.Duration(pass-r.pass)*j.Click.Pass())
	r.pass, r.late = pass, begins-j.Click.PassStart(pass)
	return r
}

// without are the readings without what holds now.
func (j *Judge) without(ev *evidence) []reading {
	p := ev.present
	if p.plain() {
		return nil
	}
	all := []reading{{pass: ev.pass}}
	if p.causes[what].Kind != finding.NoCause && p.causes[when].Kind != finding.NoCause {
		all = append(all, p.inTime(), p.byClick())
	}
	for i := range all {
		all[i].change = change{leave: j.doubt.since, enter: j.doubt.since}
	}
	return all
}

// keys are the other keys that most of what was struck speaks for: each note for the
// distances from the notes that were wanted then.
func (j *Judge) keys(ev *evidence) []reading {
	var votes [12]int
	struckSum, wantedSum, wanted := 0, 0, 0
	struck := ev.struck[ev.doubted:]
	for i := range struck {
		var shifts [12]bool
		far, reach := j.inScore(&ev.present, struck[i].at), j.reach()
		first, last := around(j.places, far-reach, far+reach)
		for _, p := range j.places[first:last] {
			for _, w := range p.wants {
				for t := range w.Tones {
					shifts[pitch.ClassOf(int(struck[i].key-w.Tones[t].Key))] = true
					wantedSum += int(w.Tones[t].Key)
					wanted++
				}
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
	r := reading{up: semitones + 12*octaves}
	r.causes[what] = finding.Cause{Kind: finding.OtherKey, Semitones: semitones, Octaves: octaves, Hand: finding.BothHands}
	return r
}

// lifts are the readings of hands that lie some octaves off.
func lifts() []reading {
	var all []reading
	for _, n := range []int{1, -1, farthestHand, -farthestHand} {
		for _, h := range []finding.Part{finding.LeftHand, finding.RightHand, finding.BothHands} {
			var r reading
			r.causes[what] = finding.Cause{Kind: finding.OctaveOff, Hand: h, Octaves: n}
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

// playing are those of the lifts that lift hands which play.
func (j *Judge) playing(lifts []reading) []reading {
	var plays [2]bool
	for i := range j.Score.Wants {
		if w := &j.Score.Wants[i]; j.Score.Only.Judges(w.Hand) {
			plays[w.Hand] = true
		}
	}
	return slices.DeleteFunc(lifts, func(r reading) bool {
		return r.lift[pattern.Left] != 0 && !plays[pattern.Left] || r.lift[pattern.Right] != 0 && !plays[pattern.Right]
	})
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
		r := reading{mute: mute}
		r.causes[what] = finding.Cause{Kind: finding.Silent, Hand: hand}
		all = append(all, r)
	}
	return all
}
