package words

import (
	"slices"
	"strings"

	"undersong/internal/judge/finding"
	"undersong/internal/music/chord"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/pattern"
	"undersong/internal/sheet/score"
)

// Viewer puts what there is to see into words.
type Viewer struct {
	speaker *Speaker // of the latest piece
	bars    map[int][]Bar
}

// View is a whole State in words.
func (v *Viewer) View(st *sitting.State) View {
	if v.speaker == nil || v.speaker.piece != st.Piece {
		v.speaker, v.bars = NewSpeaker(st.Piece), map[int][]Bar{}
	}
	h := &st.Piece.Heading
	view := View{
		Title: title(h), Level: h.Level, Phase: st.Where.Phase, CountIn: st.Where.Left, Current: -1,
		LowKey: st.Piece.Low, HighKey: st.Piece.High, Right: st.Told.Right, Wrong: st.Told.Wrong,
		Tempo: st.Where.Tempo, Pass: st.Where.Pass, Showing: h.Kind == sitting.Demonstration,
		Unasked: h.Kind == sitting.Basses || h.After, Words: h.Words || h.Sing,
	}
	if st.Piece.Score != nil && h.Kind != sitting.Tune {
		view.Key, view.Meter, view.Pattern = h.Key.String(), h.Meter, v.pattern(st)
		v.place(st, &view)
	}
	if h.Kind == sitting.Tapping {
		view.Beats, view.Beat = 4, st.Where.Beat
	}
	v.sound(st, &view)
	v.wanted(st, &view)
	v.told(st, &view)
	v.read(st, &view)
	v.menu(st, &view)
	return view
}

func title(h *sitting.Heading) string {
	switch h.Kind {
	case sitting.Recording:
		return "Play the accompaniment over " + h.Title
	case sitting.Tapping:
		return "Tap any key with each beat"
	case sitting.Ranging:
		return HoldTwoKeys
	case sitting.Hearing:
		return "What you play"
	}
	return h.Name()
}

// pattern is what is played, by whom.
func (v *Viewer) pattern(st *sitting.State) string {
	h := &st.Piece.Heading
	text := h.Pattern
	if h.Kind == sitting.Basses {
		text = h.Voicing.String()
	}
	if st.Where.Plays != "" {
		text = st.Where.Plays
	}
	if h.With != "" {
		return text + ", undersong plays the " + WithText(h.With)
	}
	if hand := h.Hand(); hand != "" {
		text += ", " + hand + " hand alone"
	}
	return text
}

// place is the chart, and where the music is in it.
func (v *Viewer) place(st *sitting.State, view *View) {
	w, pass := st.Where, 1
	view.Beats, view.Beat = st.Piece.Heading.Meter.Beats(), w.Beat
	if st.Piece.Heading.Kind == sitting.Basses {
		view.Beats, view.Beat = 0, 0 // nobody counts
	}
	if w.Bar >= 0 {
		pass = st.Piece.Score.Bars[w.Bar].Pass
		view.Current = st.Piece.Printed(w.Bar)
	}
	view.Bars = v.printed(pass)
}

// printed are the bars as the chart sets them out, with the words of one time
// through.
func (v *Viewer) printed(pass int) []Bar {
	if bars, ok := v.bars[pass]; ok {
		return bars
	}
	var bars []Bar
	for _, b := range v.speaker.piece.Bars {
		out := Bar{Number: b.Number, Section: b.Section, NewLine: b.NewLine}
		for _, c := range b.Chords {
			out.Chords = append(out.Chords, ChordAt{Name: c.Chord.String(), Beat: c.Beat})
		}
		if n := len(b.Lyrics); n > 0 {
			out.Lyric = b.Lyrics[min(max(pass, 1), n)-1]
		}
		bars = append(bars, out)
	}
	v.bars[pass] = bars
	return bars
}

// sound is what is held and heard.
func (v *Viewer) sound(st *sitting.State, view *View) {
	s := st.Sound
	view.Down = s.Down
	if !s.Chord.IsNone() {
		view.Heard, view.HeardWords = s.Chord.String(), s.Chord.Words()
		return
	}
	view.Heard = NoteNames(s.Notes.Keys(), s.Key)
}

// wanted is the next stroke, and the chord after it.
func (v *Viewer) wanted(st *sitting.State, view *View) {
	w := st.Wanted
	voice := v.speaker.strokes.higher(w.Up)
	played := func(c chord.Chord) string {
		if w.Up != 0 {
			c = c.Transpose(v.speaker.strokes.Score.Key.To(voice.Score.Key))
		}
		return c.String()
	}
	if !w.Chord.IsNone() || w.Wants[0] >= 0 {
		view.Wanted = played(w.Chord)
	}
	if !w.Next.IsNone() || w.Beats > 0 {
		view.NextChord, view.BeatsToNext = played(w.Next), w.Beats
	}
	var parts []string
	for _, i := range w.Wants {
		if i < 0 {
			continue
		}
		want := &voice.Score.Wants[i]
		parts = append(parts, voice.detail(want))
		for _, k := range want.Keys() {
			view.WantedKeys.Add(k)
		}
	}
	view.WantedDetail = strings.Join(parts, " and ")
}

func (v *Wording) detail(w *score.Want) string {
	if w.Whole && w.Inversion == pattern.AnyInversion {
		return "chord"
	}
	return v.WantName(w)
}

// told is what was said last.
func (v *Viewer) told(st *sitting.State, view *View) {
	t := st.Told
	view.Notice = v.speaker.Notice(&t.Notice)
	switch said := v.speaker.Notice(&t.Praise); t.Praise.Kind {
	case sitting.WellDone, sitting.BarRight, sitting.BarMended:
		view.Praise = said
	default:
		view.Prompt = said
	}
	if t.Notice.Kind == sitting.BassesFit { // it was asked for
		view.Correction, view.CorrectionBar, view.Notice = view.Notice, st.Piece.Score.Bars[t.Notice.Bar].Number, ""
	}
	if i := said(st); i != nil {
		v.say(&i.Finding, st, view)
	}
	if c := &t.Cause.Cause; c.Kind != finding.NoCause { // before all else
		view.Correction, view.CorrectionBar, view.Praise = v.speaker.Cause(c), c.Bar, ""
	}
	switch st.Where.Phase {
	case sitting.Waiting:
		view.Notice = v.waiting(st)
	case sitting.Away:
		view.Notice = unplugged(st.Where.Port)
	case sitting.Paused:
		view.Notice = "paused"
	}
	v.search(st, view)
}

// said is the finding that is to be read, or nil: in practice one correction a bar.
func said(st *sitting.State) *sitting.Item {
	h, t := &st.Piece.Heading, st.Told
	switch {
	case h.Kind == sitting.Practice:
		return t.Correction(sitting.Gate{After: h.After, Sing: h.Sing})
	case t.Fresh > 0:
		return &t.Found[len(t.Found)-1][0]
	}
	return nil
}

// say puts a finding into words, and marks the keys that are still held in it and do not belong.
func (v *Viewer) say(f *finding.Finding, st *sitting.State, view *View) {
	text, bar := v.speaker.Line(f), v.speaker.Bar(f)
	if praises(f) {
		view.Praise = text
	} else {
		view.Correction, view.CorrectionBar, view.Praise = text, bar, ""
	}
	if v.speaker.basses != nil && f.Heard.Len() > 0 {
		view.Heard = v.speaker.basses.Heard(f)
	}
	if h := &st.Piece.Heading; h.Kind != sitting.Practice || h.After {
		return
	}
	for _, k := range f.Heard.Slice() {
		if !f.Goal.Has(k) && st.Sound.Down.Has(k) {
			view.WrongKeys.Add(k)
		}
	}
}

// praises reports a finding that says what went well.
func praises(f *finding.Finding) bool {
	switch f.Kind {
	case finding.Right, finding.TuneFound, finding.TuneRight, finding.TaskDone:
		return true
	case finding.PhraseRight, finding.PhraseFound:
		return !f.Tune.Asks.Missed()
	}
	return false
}

// waiting says what is waited for.
func (v *Viewer) waiting(st *sitting.State) string {
	h := &st.Piece.Heading
	switch h.Kind {
	case sitting.Tapping:
		return "tap any key with each beat"
	case sitting.Ranging:
		return HoldTwoKeys
	case sitting.Recording:
		return v.speaker.Notice(&st.Told.Notice)
	}
	if h.Follow {
		return "you lead: play when you like"
	}
	if st.Where.Bar >= 0 {
		return "play any key to go on"
	}
	return "play any key to begin"
}

// search is how far a tune is found.
func (v *Viewer) search(st *sitting.State, view *View) {
	if v.speaker.tune == nil {
		return
	}
	s := st.Search
	view.Tune = &Tune{Phrases: s.Phrases, Current: s.Phrase, Found: s.Found, Notes: s.Notes}
	if s.Asked {
		view.Pattern = v.speaker.tune.TaskWords(s.From)
	}
}

// read is what there is to read when the music is over, or a pass.
func (v *Viewer) read(st *sitting.State, view *View) {
	reading := st.Where.Phase == sitting.Reading
	if !reading && st.Where.Phase != sitting.Finished {
		return
	}
	switch st.Piece.Heading.Kind {
	case sitting.Practice, sitting.Tune, sitting.Basses:
		view.Summary = v.speaker.Summary(st.Result)
	case sitting.Tapping:
		view.Summary = TapLines(st.Result.Taps)
	default:
		view.Summary = []string{}
		return
	}
	var told []string
	after := sitting.Gate{After: true}
	for _, i := range after.Choose(st.Told.Read) {
		told = append(told, v.speaker.Line(&i.Finding))
	}
	view.Summary = slices.Insert(view.Summary, 1, told...)
	if view.Notice != "" && !reading {
		view.Summary = slices.Insert(view.Summary, 1, view.Notice)
	}
	if reading {
		view.Summary = append(view.Summary, strings.TrimSpace(view.Notice+" Play any key to go on."))
	}
}
