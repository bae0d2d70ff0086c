package finding

// BassSummary is what came of basses under a tune.
type BassSummary struct {
	Bars []BassBar `json:"bars"` // those judged, by number
	All  int       `json:"all"`  // printed bars in which the tune moves
	// Leading is the bar before the last one where another bass was chosen though
	// the dominant fits, which leads home more strongly; -1 for none.
	Leading int `json:"leading"`
}

// BassBar is how a printed bar went the last time it was played.
type BassBar struct {
	Bar  int  `json:"bar"` // number as printed
	Last Kind `json:"last"`
	Bass int  `json:"bass"` // of the primary chords, where it was right; else -1
}

// Right is how many bars were right the last time.
func (s *BassSummary) Right() int { return len(s.Bars) - len(s.ToPractise()) }

// ToPractise lists the bars that were not right the last time.
func (s *BassSummary) ToPractise() []int {
	var all []int
	for _, b := range s.Bars {
		if b.Last != Right {
			all = append(all, b.Bar)
		}
	}
	return all
}

// Done reports that every bar was played and went right the last time.
func (s *BassSummary) Done() bool { return s.All > 0 && s.Right() == s.All }

// TuneSummary is what came of looking for a tune by ear.
type TuneSummary struct {
	Phrases     []PhraseSummary `json:"phrases"` // those that differ
	Found       int             `json:"found"`   // of them
	Whole       bool            `json:"whole"`   // all of them
	Hardest     int             `json:"hardest"` // the note of the tune, from 0, before which most wrong tries came; -1: none
	HardestMiss int             `json:"misses"`  // how many
	Task        TaskSummary     `json:"task"`
}

// PhraseSummary is how one phrase went. Phrases that are alike share it.
type PhraseSummary struct {
	Phrase int  `json:"phrase"` // from 0; the first of those that are alike
	Found  bool `json:"found"`
	Right  bool `json:"right"`
	Tries  int  `json:"tries"` // passes through it until it was found, of two notes at least
	Wrong  int  `json:"wrong"` // wrong tries in all
}

// TaskSummary is what came of a task.
type TaskSummary struct {
	Begun  bool `json:"begun"`
	Done   bool `json:"done"`
	Kept   int  `json:"kept"`   // phrases that were as asked
	Missed int  `json:"missed"` // phrases that were not, the last time they were played
}
