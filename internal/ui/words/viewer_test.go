package words

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/judge/finding"
	"undersong/internal/judge/firstbass"
	"undersong/internal/listen/keyboard"
	"undersong/internal/music/chord"
	"undersong/internal/music/meter"
	"undersong/internal/session/sitting"
	"undersong/internal/sheet/score"
)

// setOf is a set of keys such as "C4 E4".
func setOf(t testing.TB, names string) (s keyboard.Set) {
	k := keysOf(t, names)
	for _, key := range k.Slice() {
		s.Add(key)
	}
	return s
}

func chordOf(t testing.TB, name string) chord.Chord {
	t.Helper()
	c, err := chord.Parse(name)
	require.NoError(t, err)
	return c
}

// seen is what there is to see of a piece at bar 2, beat 3, after a change.
func seen(t testing.TB, p *sitting.Piece, change func(*sitting.State)) View {
	t.Helper()
	st := &sitting.State{
		Piece: p, Where: &sitting.Where{Phase: sitting.Playing, Bar: 1, Beat: 3, Pass: 2, Tempo: 84}, Sound: &sitting.Sound{},
		Wanted: &sitting.Wanted{Wants: [2]int{-1, -1}}, Told: &sitting.Told{}, Search: &sitting.Search{}, Menu: &sitting.Menu{}, Result: &sitting.Result{},
	}
	if change != nil {
		change(st)
	}
	return (&Viewer{}).View(st)
}

// Who plays in another key sees what is wanted in that.
func TestWhatIsSeenInAnotherKey(t *testing.T) {
	p := pieceOf(t, "block-whole", nil) // in C
	see := func(up int) View {
		return seen(t, p, func(st *sitting.State) {
			st.Wanted = &sitting.Wanted{Chord: chordOf(t, "G7"), Wants: [2]int{4, 5}, Next: chordOf(t, "C"), Beats: 4, Up: up}
		})
	}
	v, written := see(3), see(0)
	assert.Equal(t, []string{"Bb7", "bass Bb and chord", "Eb"}, []string{v.Wanted, v.WantedDetail, v.NextChord})
	var higher keyboard.Set
	for _, k := range written.WantedKeys.Keys() {
		higher.Add(k + 3)
	}
	assert.Equal(t, higher, v.WantedKeys)
}

func TestWhatIsSeenWhileItIsPlayed(t *testing.T) {
	p := pieceOf(t, "block-whole", nil)
	v := seen(t, p, func(st *sitting.State) {
		st.Sound = &sitting.Sound{Down: setOf(t, "C3 F4"), Chord: chordOf(t, "F/A")}
		st.Wanted = &sitting.Wanted{Chord: chordOf(t, "G7"), Wants: [2]int{4, 5}, Next: chordOf(t, "C"), Beats: 4}
		st.Told = &sitting.Told{Right: 7, Wrong: 2, Praise: sitting.Notice{Kind: sitting.WellDone}, Notice: sitting.Notice{Kind: sitting.NowAtTempo, Tempo: 84}}
	})
	assert.Equal(t, []string{"Sakura", "C", "block-whole", "steady"}, []string{v.Title, v.Key, v.Pattern, v.Level})
	assert.Equal(t, []any{meter.Meter{Num: 4, Den: 4}, meter.Tempo(84), sitting.Playing, 2, 1, 3.0, 4}, []any{v.Meter, v.Tempo, v.Phase, v.Pass, v.Current, v.Beat, v.Beats})
	assert.Equal(t, []string{"F/A", "F major, first inversion"}, []string{v.Heard, v.HeardWords})
	assert.Equal(t, []string{"G7", "bass G and chord", "C"}, []string{v.Wanted, v.WantedDetail, v.NextChord})
	assert.Equal(t, 4, v.BeatsToNext)
	assert.Equal(t, setOf(t, "C3 F4"), v.Down)
	assert.Zero(t, v.WrongKeys)
	var wanted keyboard.Set
	for _, i := range []int{4, 5} {
		for _, k := range p.Score.Wants[i].Keys() {
			wanted.Add(k)
		}
	}
	assert.Equal(t, wanted, v.WantedKeys)
	assert.Equal(t, []any{"that's it", "tempo 84", "", 7, 2, false}, []any{v.Praise, v.Notice, v.Correction, v.Right, v.Wrong, v.Showing})
	assert.Equal(t, []any{p.Low, p.High}, []any{v.LowKey, v.HighKey})
	assert.Nil(t, v.Summary)
	assert.Nil(t, v.Tune)

	require.Len(t, v.Bars, 4)
	assert.Equal(t, Bar{Number: 1, Chords: []ChordAt{{"C", 1}}, Lyric: "first", Section: "Verse", NewLine: true}, v.Bars[0])
	assert.Equal(t, Bar{Number: 2, Chords: []ChordAt{{"F", 1}}, Lyric: "line"}, v.Bars[1])
	assert.True(t, v.Bars[2].NewLine)

	v = seen(t, p, func(st *sitting.State) { st.Where.Bar, st.Sound.Notes = -1, setOf(t, "C4 G4 C5") })
	assert.Equal(t, []any{-1, "C G", "", "", "", 0}, []any{v.Current, v.Heard, v.HeardWords, v.Wanted, v.NextChord, v.BeatsToNext})
	v = seen(t, pieceOf(t, "right: ch1 - - -/left: 1 - - -", nil), func(st *sitting.State) { st.Wanted.Wants[0] = 1 })
	assert.Equal(t, []string{"N.C.", "C/E"}, []string{v.Wanted, v.WantedDetail}, "an inversion that is asked for")
	v = seen(t, p, func(st *sitting.State) { st.Wanted.Beats = 3 })
	assert.Equal(t, []any{"N.C.", 3}, []any{v.NextChord, v.BeatsToNext}, "silence comes")
}

func TestWhoPlaysWhatIsSeen(t *testing.T) {
	for want, change := range map[string]func(*sitting.Heading){
		"block-whole":                                 func(*sitting.Heading) {},
		"block-whole, left hand alone":                func(h *sitting.Heading) { h.Hands = score.LeftAlone },
		"block-whole, undersong plays the tune":       func(h *sitting.Heading) { h.With = "melody" },
		"block-whole, undersong plays the right hand": func(h *sitting.Heading) { h.With, h.Hands = "right", score.LeftAlone },
	} {
		p := pieceOf(t, "block-whole", change)
		assert.Equal(t, want, seen(t, p, nil).Pattern)
		plays := seen(t, p, func(st *sitting.State) { st.Where.Plays = "waltz" }).Pattern
		assert.Equal(t, strings.Replace(want, "block-whole", "waltz", 1), plays, "where the chart says it")
	}
	p := pieceOf(t, "block-whole", func(h *sitting.Heading) { h.Kind = sitting.Demonstration })
	assert.True(t, seen(t, p, nil).Showing)
}

func TestWordsOfEachVerse(t *testing.T) {
	s := built(t, "|: C | F :|; w: one | two |; w: three | four |", "block-whole")
	p := sitting.NewPiece(sitting.HeadingOf(s, ""), s, s.Chart)
	words := func(v View) (all []string) {
		for _, b := range v.Bars {
			all = append(all, b.Lyric)
		}
		return all
	}
	require.Equal(t, 2, s.Bars[2].Pass)
	assert.Equal(t, []string{"one", "two"}, words(seen(t, p, nil)))
	again := seen(t, p, func(st *sitting.State) { st.Where.Bar = 2 })
	assert.Equal(t, []string{"three", "four"}, words(again))
	assert.Equal(t, 0, again.Current, "it is the same printed bar")
	var v Viewer
	st := &sitting.State{
		Piece: p, Where: &sitting.Where{}, Sound: &sitting.Sound{}, Wanted: &sitting.Wanted{Wants: [2]int{-1, -1}}, Told: &sitting.Told{},
		Search: &sitting.Search{}, Menu: &sitting.Menu{}, Result: &sitting.Result{},
	}
	first := v.View(st)
	assert.Equal(t, &first.Bars[0], &v.View(st).Bars[0], "set out once")
	st.Piece = pieceOf(t, "block-whole", nil)
	assert.Equal(t, "first", v.View(st).Bars[0].Lyric, "and anew for another piece")
}

func TestWhatWasToldIsSeen(t *testing.T) {
	p := pieceOf(t, "block-whole", nil)
	told := func(f finding.Finding) []any {
		v := seen(t, p, func(st *sitting.State) {
			st.Told.Latest(sitting.Item{Finding: *at(t, p.Score, left, 2, 1, f)})
		})
		return []any{v.Correction, v.CorrectionBar, v.Praise}
	}
	bass := finding.Finding{Kind: finding.WrongBass, Heard: keysOf(t, "G2"), Goal: keysOf(t, "F2")}
	assert.Equal(t, []any{"bar 2, beat 1: bass G, this is F - go down to F", 2, ""}, told(bass))
	bass.Again = 1
	assert.Equal(t, []any{"bar 2, beat 1: bass G again", 2, ""}, told(bass))
	assert.Equal(t, []any{"", 0, ""}, told(finding.Finding{Kind: finding.Right}), "the summary counts what was right")

	v := seen(t, underLou(t, 2), func(st *sitting.State) {
		f := finding.Finding{Kind: finding.Misfit, Bar: 2, Heard: keysOf(t, "C3"), Goal: keysOf(t, "G2"), Bass: finding.BassDetail{Choices: finding.FewOf(1)}}
		st.Told.Latest(sitting.Item{Finding: f})
	})
	assert.Equal(t, []any{"bar 3: C does not fit here: the tune goes another way; G fits - down to G", 3, "C", "bass"}, []any{v.Correction, v.CorrectionBar, v.Heard, v.Pattern})
	assert.Equal(t, []any{0, 0.0}, []any{v.Beats, v.Beat}, "nobody counts")
	v = seen(t, underLou(t, 2), func(st *sitting.State) {
		st.Sound.Chord = chordOf(t, "F")
		st.Told.Latest(sitting.Item{Finding: finding.Finding{Kind: finding.Missing, Bar: 2, Bass: finding.BassDetail{Chord: -1, Choices: finding.FewOf(1)}}})
	})
	assert.Equal(t, "F", v.Heard, "where nothing was struck, what sounds")
	v = seen(t, underLou(t, 2), func(st *sitting.State) {
		st.Told.Notice = sitting.Notice{Kind: sitting.BassesFit, Bar: 2, Choices: finding.FewOf(1)}
	})
	assert.Equal(t, []any{"bar 3: G fits", 3, ""}, []any{v.Correction, v.CorrectionBar, v.Notice}, "a hint, where eyes are")
}

// moments are corrections of kinds, each about a bar while it is played.
func moments(t testing.TB, p *sitting.Piece, all ...[]finding.Finding) (found [][]sitting.Item) {
	for _, together := range all {
		var items []sitting.Item
		for _, f := range together {
			bar := sitting.Place{Bar: f.Bar}
			items = append(items, sitting.Item{Finding: *at(t, p.Score, left, f.Bar+1, 1, f), About: bar, During: bar})
		}
		found = append(found, items)
	}
	return found
}

// All is told, and of one bar one thing is shown: the first, the most important of those
// that came together, until it has been read.
func TestOneCorrectionABarIsSeen(t *testing.T) {
	bass := finding.Finding{Kind: finding.WrongBass, Bar: 1, Heard: keysOf(t, "G2"), Goal: keysOf(t, "F2")}
	late := finding.Finding{Kind: finding.Late, Bar: 1, Offset: 200_000_000, Heard: keysOf(t, "F2")}
	missing := finding.Finding{Kind: finding.Missing, Bar: 2, Goal: keysOf(t, "G2")}
	p := pieceOf(t, "block-whole", nil)
	for _, c := range []struct {
		name  string
		found [][]sitting.Item
		fresh int
		bar   int // the correction's
		says  string
	}{
		{"nothing", nil, 0, 0, ""},
		{"the most important", moments(t, p, []finding.Finding{late, bass}), 1, 2, "bass G"},
		{"the first of a bar", moments(t, p, []finding.Finding{late}, []finding.Finding{bass}), 2, 2, "late"},
		{"the next bar's", moments(t, p, []finding.Finding{bass}, []finding.Finding{missing}), 2, 3, "no bass"},
		{"it has been read", moments(t, p, []finding.Finding{late}, []finding.Finding{bass}), 1, 0, ""},
		{"the bar before has been read", moments(t, p, []finding.Finding{bass}, []finding.Finding{missing}), 1, 3, "no bass"},
	} {
		v := seen(t, p, func(st *sitting.State) {
			st.Told.Found, st.Told.Fresh, st.Told.Praise.Kind = c.found, c.fresh, sitting.WellDone
		})
		assert.Equal(t, c.bar, v.CorrectionBar, c.name)
		assert.Contains(t, v.Correction, c.says, c.name)
		assert.Equal(t, c.says == "", v.Praise == "that's it", "praise where nothing is corrected: %s", c.name)
	}
}

func TestKeysThatDoNotBelongAreSeenWhileTheyAreHeld(t *testing.T) {
	bass := finding.Finding{Kind: finding.WrongBass, Bar: 1, Heard: keysOf(t, "F2 G2 A2"), Goal: keysOf(t, "F2")}
	wrong := func(after bool) keyboard.Set {
		p := pieceOf(t, "block-whole", func(h *sitting.Heading) { h.After = after })
		return seen(t, p, func(st *sitting.State) {
			st.Sound.Down = setOf(t, "F2 G2 C4")
			st.Told.Found, st.Told.Fresh = moments(t, p, []finding.Finding{bass}), 1
		}).WrongKeys
	}
	assert.Equal(t, setOf(t, "G2"), wrong(false))
	assert.Zero(t, wrong(true), "the pass is over")
}

func TestWhatIsWaitedForIsSeen(t *testing.T) {
	for want, c := range map[string]struct {
		phase  sitting.Phase
		change func(*sitting.State)
	}{
		"play it, twice or three times if you like; then wait, or press q": {sitting.Waiting, func(st *sitting.State) {
			st.Piece.Heading.Kind, st.Told.Notice.Kind = sitting.Recording, sitting.RecordBegins
		}},
		"tempo 84":                              {sitting.Playing, func(*sitting.State) {}},
		"paused":                                {sitting.Paused, func(*sitting.State) {}},
		"keyboard unplugged: waiting for Grand": {sitting.Away, func(st *sitting.State) { st.Where.Port = "Grand" }},
		"play any key to go on":                 {sitting.Waiting, func(st *sitting.State) { st.Where.Bar = 0 }},
		"play any key to begin":                 {sitting.Waiting, func(st *sitting.State) { st.Where.Bar = -1 }},
		"you lead: play when you like":          {sitting.Waiting, func(st *sitting.State) { st.Piece.Heading.Follow = true }},
		"tap any key with each beat":            {sitting.Waiting, func(st *sitting.State) { st.Piece.Heading.Kind = sitting.Tapping }},
	} {
		v := seen(t, pieceOf(t, "block-whole", nil), func(st *sitting.State) {
			st.Where.Phase, st.Told.Notice = c.phase, sitting.Notice{Kind: sitting.NowAtTempo, Tempo: 84}
			c.change(st)
		})
		assert.Equal(t, want, v.Notice)
	}
}

func TestWhatIsSeenWithoutAPiece(t *testing.T) {
	for kind, want := range map[sitting.Kind]string{
		sitting.Recording: "Play the accompaniment over C", sitting.Tapping: "Tap any key with each beat", sitting.Hearing: "What you play", sitting.Practice: "C",
	} {
		p := &sitting.Piece{Heading: sitting.Heading{Kind: kind, Title: "C"}}
		v := seen(t, p, nil)
		assert.Equal(t, want, v.Title)
		assert.Equal(t, kind == sitting.Tapping, v.Beats == 4 && v.Beat == 3)
		assert.Empty(t, v.Key)
		assert.Equal(t, -1, v.Current)
	}
}

func TestATuneThatIsLookedForIsSeen(t *testing.T) {
	found := []sitting.FoundPhrase{{Found: true, Right: true}, {}}
	tune := func(kind finding.Kind, asks finding.Verdicts) View {
		return seen(t, lookedFor(t), func(st *sitting.State) {
			st.Search = &sitting.Search{Phrase: 1, Found: 3, Notes: 7, Phrases: found}
			st.Told.Latest(sitting.Item{Finding: finding.Finding{Kind: kind, Tune: finding.TuneDetail{Asks: asks}}})
		})
	}
	v := tune(finding.Direction, finding.Verdicts{})
	assert.Equal(t, &Tune{Phrases: found, Current: 1, Found: 3, Notes: 7}, v.Tune)
	assert.Equal(t, []any{"a little lower", "", "", 0}, []any{v.Correction, v.Praise, v.Pattern, v.CorrectionBar})
	assert.Empty(t, v.Key, "it may lie in any")
	for _, k := range []finding.Kind{finding.PhraseRight, finding.PhraseFound, finding.TuneFound, finding.TuneRight, finding.TaskDone} {
		v = tune(k, finding.Verdicts{})
		assert.NotEmpty(t, v.Praise, k)
		assert.Empty(t, v.Correction, k)
	}
	v = tune(finding.PhraseRight, finding.Verdicts{finding.AskSoftLoud: finding.Missed})
	assert.Empty(t, v.Praise)
	assert.Contains(t, v.Correction, "now clearly softer")

	asked := lookedFor(t)
	asked.Heading.Task.Hands = true
	v = seen(t, asked, func(st *sitting.State) { st.Search.Asked = true })
	assert.Equal(t, "with phrases from hand to hand, the left hand's an octave or so lower", v.Pattern)
}

func TestWhatThereIsToReadAtTheEnd(t *testing.T) {
	p := pieceOf(t, "block-whole", nil)
	late := *at(t, p.Score, right, 3, 1, finding.Finding{Kind: finding.Missing, Goal: keysOf(t, "G4")})
	read := func(phase sitting.Phase, p *sitting.Piece, notice sitting.Notice) []string {
		return seen(t, p, func(st *sitting.State) {
			st.Where.Phase, st.Told.Notice = phase, notice
			if p.Heading.Kind == sitting.Practice {
				st.Told.Read = []sitting.Item{{Finding: late}}
			}
			st.Result.Heading = p.Heading
			st.Result.Summary.Totals[finding.Right].Count = 8
			st.Result.Summary.Tune.Hardest, st.Result.Summary.Basses.Leading = -1, -1
		}).Summary
	}
	faster := sitting.Notice{Kind: sitting.NowFaster, Tempo: 76}
	assert.Equal(t, []string{"All right: 8 strokes", "bar 3, beat 1: no chord - strike G7", "clean: now 76 Play any key to go on."}, read(sitting.Reading, p, faster))
	assert.Equal(t, []string{"All right: 8 strokes", "bar 3, beat 1: no chord - strike G7", "Play any key to go on."}, read(sitting.Reading, p, sitting.Notice{}))
	assert.Equal(t, []string{"All right: 8 strokes", "clean: now 76", "bar 3, beat 1: no chord - strike G7"}, read(sitting.Finished, p, faster))
	assert.Nil(t, read(sitting.Playing, p, faster))
	assert.Equal(t, "Right: 0 of 0 bars", read(sitting.Finished, underLou(t, 2), sitting.Notice{})[0])
	assert.Equal(t, []string{}, read(sitting.Finished, pieceOf(t, "block-whole", func(h *sitting.Heading) { h.Kind = sitting.Demonstration }), faster))
	assert.Contains(t, read(sitting.Finished, &sitting.Piece{Heading: sitting.Heading{Kind: sitting.Tapping}}, sitting.Notice{})[0], "too few to tell")
}

func TestWhatToBeginWithIsNoPraise(t *testing.T) {
	for kind, praise := range map[sitting.NoticeKind]bool{
		sitting.WellDone: true, sitting.BarMended: true, sitting.BarRight: true, sitting.PlayingOn: false, sitting.OnlyShown: false, sitting.TuneBegins: false,
	} {
		v := seen(t, pieceOf(t, "block-whole", nil), func(st *sitting.State) { st.Told.Praise = sitting.Notice{Kind: kind, Bar: 1} })
		assert.Equal(t, []bool{praise, !praise}, []bool{v.Praise != "", v.Prompt != ""}, kind)
	}
}

func TestWhatIsNeverWantedIsSeen(t *testing.T) {
	assert.False(t, seen(t, pieceOf(t, "block-whole", nil), nil).Unasked)
	assert.True(t, seen(t, pieceOf(t, "block-whole", func(h *sitting.Heading) { h.After = true }), nil).Unasked)
	assert.True(t, seen(t, underLou(t, 2), nil).Unasked)
}

func TestTheTaskOfABassIsSeen(t *testing.T) {
	p := underLou(t, 2)
	p.Heading.Voicing = firstbass.WithTriad
	assert.Equal(t, "triad", seen(t, p, nil).Pattern)
}
