package main

import "slices"

// room is a room with a table of tuned numbers, and the accuracy test that shows
// what they are worth. Paths are below internal/.
type room struct {
	name  string
	table string // the package of the test
	run   string // the test, as in go test -run
	by    int    // how many times less of it is measured than make accuracy does
}

var rooms = []room{
	{"listen/follow", "listen/follow", "^Test(FollowAccuracy|AccuracyOfFiveHundred)$", 3},
	{"listen/capture", "listen/capture", "^TestCaptures", 3},
	{"listen/chordid", "listen/chordid", "^TestAccuracy", 1},
	{"listen/handsep", "judge/engine", "^(TestAccuracy|TestLedAccuracy|TestFaultless.*)$", 3},
	{"judge/rules", "judge/engine", "^(TestAccuracy|TestLedAccuracy|TestFaultless.*)$", 3},
	{"judge/timing", "judge/engine", "^(TestAccuracy|TestLedAccuracy|TestFaultless.*)$", 3},
	{"judge/cause", "judge/cause", "^(TestAccuracy|TestLedAccuracy|TestNoCause.*)$", 2},
	{"judge/flow", "session/practice", "^(TestASingerIsAccompanied|TestFreePlayingFlows)$", 1},
	{"judge/byear", "judge/byear", "^(TestAccuracy|TestFaultless)$", 2},
	{"judge/firstbass", "judge/firstbass", "^(TestAccuracy|TestFaultless.*|TestSlipsInTheTune.*)$", 3},
	{"listen/transcribe", "listen/transcribe", "^TestAccuracy", 2},
	{"play/together", "play/together", "^TestAccuracy", 1},
}

// roomsOf are the rooms named; all where none is.
func roomsOf(names []string) (found []room, unknown string) {
	if len(names) == 0 {
		return rooms, ""
	}
	for _, name := range names {
		i := slices.IndexFunc(rooms, func(r room) bool { return r.name == name })
		if i < 0 {
			return nil, name
		}
		found = append(found, rooms[i])
	}
	return found, ""
}

func roomNames() []string {
	var names []string
	for _, r := range rooms {
		names = append(names, r.name)
	}
	return names
}
