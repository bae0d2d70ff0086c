package musicxml

import (
	"regexp"
	"strconv"
	"strings"
)

// flow is what a measure says about the order of playing, in any part.
type flow struct {
	line              string // <bar-style> at its end, where it is double or final
	forward, backward bool
	times             int   // of a backward repeat; 0 where none are told
	afterJump         bool  // it is played after a jump, too
	starts            []int // numbers of the endings that begin here
	stops             bool  // an ending ends here
	endings           []int // numbers of the endings that the measure is in; set when all is read
	total             int   // how often the repeat that it ends is played; set when all is read

	segno, coda    bool   // it has the sign, or what sounds as one
	segnoName      string // what jumps call it
	codaName       string
	capo, dal      bool // da capo, dal segno
	to, fine       bool // to the coda, the end: after a jump
	dalName        string
	toName         string
	noCoda, noFine bool  // the jump says which of them holds
	only           []int // the times through at which the jump holds; nil for the last
}

// barline reads repeats and endings. Heavy and double lines end sections and
// songs.
func (w *walker) barline(n *node) {
	if s := n.get("bar-style"); n.at("location") != "left" && (s == "light-light" || s == "light-heavy") {
		w.f.line = s
	}
	if e := n.child("ending"); e != nil {
		if e.at("type") == "start" {
			w.f.starts = endingNumbers(e.at("number"))
		} else {
			w.f.stops = true
		}
	}
	if rep := n.child("repeat"); rep != nil {
		if rep.at("direction") == "forward" {
			w.f.forward = true
			return
		}
		w.f.backward = true
		if v, err := strconv.Atoi(rep.at("times")); err == nil && v > 0 {
			w.f.times = min(v, 1<<20)
		}
		w.f.afterJump = rep.at("after-jump") == "yes"
	}
	if n.has("segno") {
		w.f.segno = true
	}
	if n.has("coda") {
		w.f.coda = true
	}
}

// mostEndings bounds the number of an ending.
const mostEndings = 99

// endingNumbers reads "1", "1, 2" or "1-3"; one that has no number is 0.
func endingNumbers(text string) (all []int) {
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' || r == '.' }) {
		from, to, isRange := strings.Cut(part, "-")
		a, err := strconv.Atoi(from)
		b := a
		if isRange {
			b, _ = strconv.Atoi(to)
		}
		for n := a; err == nil && n >= 1 && n <= min(b, mostEndings); n++ {
			all = append(all, n)
		}
	}
	if all == nil {
		return []int{0}
	}
	return all
}

// direction reads a <direction>: tempo, sections, signs and words for the order of
// playing.
func (w *walker) direction(n *node) {
	var said []string
	var mark pace
	segno, coda := false, false
	for _, k := range n.all("direction-type") {
		for _, t := range k.kids {
			switch t.name {
			case "rehearsal":
				if w.m.section == "" {
					w.m.section = oneLine(t.text)
				}
			case "metronome":
				mark = metronome(t)
			case "words":
				said = append(said, t.text)
			case "segno":
				segno = true
			case "coda":
				coda = true
			}
		}
	}
	sound := n.child("sound")
	w.tempo(mark, sound.at("tempo"))
	means := jumpWords(strings.Join(said, " "))
	if !w.jump(sound) && !w.r.ours() {
		w.f.words(means)
	}
	w.f.segno = w.f.segno || segno && !strings.HasPrefix(means, "ds")
	w.f.coda = w.f.coda || coda && means == ""
}

// jump reads what a <sound> says of the order of playing, and reports jumps.
func (w *walker) jump(n *node) bool {
	if n == nil {
		return false
	}
	f, before := w.f, *w.f
	if v := n.at("segno"); v != "" {
		f.segno, f.segnoName = true, v
	}
	if v := n.at("coda"); v != "" {
		f.coda, f.codaName = true, v
	}
	f.capo = f.capo || n.at("dacapo") == "yes"
	if v := n.at("dalsegno"); v != "" {
		f.dal, f.dalName = true, v
	}
	if v := n.at("tocoda"); v != "" {
		f.to, f.toName = true, v
	}
	f.fine = f.fine || n.at("fine") != "" && n.at("fine") != "no"
	jumps := f.capo != before.capo || f.dal != before.dal || f.to != before.to || f.fine != before.fine
	if v := n.at("time-only"); v != "" && jumps {
		f.only = endingNumbers(v)
	}
	return jumps
}

// jumps are words for the order of playing, with what they mean.
var jumps = []struct {
	*regexp.Regexp
	means string
}{
	{regexp.MustCompile(`^(d\. ?c\b|dc( al |$)|da ?capo)`), "dc"},
	{regexp.MustCompile(`^(d\. ?s\b|ds( al |$)|dal ?segno)`), "ds"},
	{regexp.MustCompile(`^fine\.?$`), "fine"},
	{regexp.MustCompile(`^(to|al) (the )?(coda|\x{1D10C})`), "to"},
	{regexp.MustCompile(`^to$`), "to"}, // before the sign
}

// jumpWords is what such words mean, with "fine" or "coda" for where a jump leads
// in the end, such as "dc fine"; or "".
func jumpWords(text string) string {
	text = strings.ToLower(strings.Join(strings.Fields(text), " "))
	for _, j := range jumps {
		if !j.MatchString(text) {
			continue
		}
		if j.means == "dc" || j.means == "ds" {
			switch {
			case strings.Contains(text, "fine"):
				return j.means + " fine"
			case strings.Contains(text, "coda"):
				return j.means + " coda"
			}
		}
		return j.means
	}
	return ""
}

// words lets words count where nothing says how they sound.
func (f *flow) words(means string) {
	verb, to, _ := strings.Cut(means, " ")
	switch verb {
	case "dc":
		f.capo = true
	case "ds":
		f.dal = true
	case "fine":
		f.fine = true
	case "to":
		f.to = true
	}
	f.noCoda, f.noFine = f.noCoda || to == "fine", f.noFine || to == "coda"
}
