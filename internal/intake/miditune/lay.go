package miditune

import (
	"slices"
	"strings"

	"undersong/internal/midi/smf"
	"undersong/internal/music/melody"
	"undersong/internal/music/meter"
	"undersong/internal/sheet/song"
	"undersong/internal/text/source"
)

// layBars lays the bars out by the file's meters, from the one in which the first
// note sounds to the one in which the last ends.
func (r *reader) layBars(file string) error {
	from, to := r.extent()
	meters := r.p.Meters
	if len(meters) == 0 || meters[0].Tick > 0 {
		meters = append([]smf.MeterChange{{Num: 4, Den: 4}}, meters...)
	}
	now, k := meterOf(meters[0]), 0
	for at := meter.Ticks(0); at < to; at += now.Bar() {
		for k+1 < len(meters) && r.ticks(meters[k+1].Tick) <= at {
			k++
			now = meterOf(meters[k])
		}
		if at+now.Bar() <= from {
			continue
		}
		if len(r.bars) >= song.MostBars {
			return &source.Error{File: file, Reason: "this MIDI file has more bars than any song", Hint: "cut it to the song that you want"}
		}
		r.addBar(at, now)
	}
	r.shortFirst()
	r.pickUp(from)
	r.s.Tempo = r.tempo()
	return nil
}

// extent is from the first note of any part to the end of the last.
func (r *reader) extent() (from, to meter.Ticks) {
	from = r.ticks(r.parts[0].notes[0].at)
	for _, p := range r.parts {
		from = min(from, r.snap(p.notes[0].at))
		for _, n := range p.notes {
			to = max(to, r.ticks(n.end))
		}
	}
	return from, to
}

func (r *reader) addBar(at meter.Ticks, m meter.Meter) {
	b := song.Bar{Len: m.Bar()}
	if len(r.bars) == 0 {
		r.first, r.s.Meter = at, m
	} else if last := r.lastMeter(); m != last {
		b.Meter = m
	}
	r.at = append(r.at, at-r.first)
	r.bars = append(r.bars, b)
}

// lastMeter is the meter of the last bar.
func (r *reader) lastMeter() meter.Meter {
	for i := len(r.bars) - 1; i > 0; i-- {
		if r.bars[i].Meter.Num > 0 {
			return r.bars[i].Meter
		}
	}
	return r.s.Meter
}

func meterOf(m smf.MeterChange) meter.Meter { return meter.Meter{Num: m.Num, Den: m.Den} }

// shortFirst takes a first bar in a shorter meter of its own for an upbeat.
func (r *reader) shortFirst() {
	if len(r.bars) > 1 && r.bars[1].Meter.Num > 0 && r.bars[0].Len < r.bars[1].Len {
		r.s.Meter, r.bars[1].Meter = r.bars[1].Meter, meter.Meter{}
		r.s.Upbeat = r.bars[0].Len
	}
}

// pickUp makes the first bar as short as what sounds in it, where that is half of it
// at most: an upbeat.
func (r *reader) pickUp(from meter.Ticks) {
	silent := (from - r.first) / meter.Sixteenth * meter.Sixteenth
	if len(r.bars) < 2 || r.s.Upbeat > 0 || 2*silent < r.bars[0].Len {
		return
	}
	r.bars[0].Len -= silent
	r.s.Upbeat = r.bars[0].Len
	r.first += silent
	for i := range r.at[1:] {
		r.at[i+1] -= silent
	}
}

// tempo is the file's first, in felt beats a minute; 0 where it names none.
func (r *reader) tempo() meter.Tempo {
	if len(r.p.Tempos) == 0 {
		return 0
	}
	quarters := 60e6 / float64(r.p.Tempos[0].MicrosPerQuarter)
	t := meter.Tempo(quarters * float64(meter.Quarter) / float64(r.s.Meter.Beat()))
	return meter.Tempo(int(t*10+0.5)) / 10
}

// snap is a place on the grid of sixteenths or of triplets, whichever is nearer;
// where programs write, both are exact.
func (r *reader) snap(tick int64) meter.Ticks {
	at := r.ticks(tick)
	straight := nearest(at, meter.Sixteenth)
	if triplet := nearest(at, meter.Triplet/2); dist(at, triplet) < dist(at, straight) {
		return triplet
	}
	if dist(at, straight) > meter.Sixteenth/4 { // a thirty-second
		return nearest(at, meter.Sixteenth/2)
	}
	return straight
}

func nearest(at, grid meter.Ticks) meter.Ticks { return (at + grid/2) / grid * grid }

func dist(a, b meter.Ticks) meter.Ticks { return max(a-b, b-a) }

// shortest is the smallest gap between two notes that is heard as a rest, and not as
// the end of a note that is struck again: an eighth.
const shortest = meter.Eighth

// layTune lays the notes of the tune into the bars: one at a time, the highest where
// several begin together, each to the next where hardly a gap is left.
func (r *reader) layTune() {
	var notes []melody.Note
	for _, n := range r.tune.notes {
		at, end := r.snap(n.at)-r.first, r.snap(n.end)-r.first
		if last := len(notes) - 1; last >= 0 {
			if before := &notes[last]; before.At == at {
				continue
			} else if before.At+before.Dur > at || at-before.At-before.Dur < shortest {
				before.Dur = at - before.At
			}
		}
		notes = append(notes, melody.Note{At: at, Dur: max(end-at, meter.Sixteenth/2), Pitch: n.key.Spell(r.s.Key.Spell(n.key.Class()))})
	}
	for i, n := range notes {
		if i == len(notes)-1 || notes[i+1].At > n.At+n.Dur {
			n.Dur = heldOut(n)
		}
		r.put(n)
	}
}

// heldOut is the length of a note before a rest, which players and programs let go of
// early: to the next eighth.
func heldOut(n melody.Note) meter.Ticks {
	if end := nearest(n.At+n.Dur, meter.Eighth); n.Dur > meter.Eighth && end > n.At {
		return end - n.At
	}
	return n.Dur
}

// put lays a note into its bar, and what lies over the barline, tied, into the next.
func (r *reader) put(n melody.Note) {
	for n.Dur > 0 {
		i := r.barAt(max(n.At, 0))
		over := n
		end := r.at[i] + r.bars[i].Len
		if last := i == len(r.bars)-1; n.At+n.Dur > end && !last {
			n.Dur, n.Tied = end-n.At, true
		} else if last {
			n.Dur = min(n.Dur, end-n.At)
		}
		over.At, over.Dur = n.At+n.Dur, over.Dur-n.Dur
		n.At -= r.at[i]
		if n.Dur <= 0 || n.At < 0 {
			return
		}
		r.bars[i].Notes = append(r.bars[i].Notes, n)
		if n = over; !r.bars[i].Notes[len(r.bars[i].Notes)-1].Tied {
			return
		}
	}
}

// layWords puts the syllables into the bars in which they are sung. Signs of karaoke
// files that begin a line or a paragraph are spaces.
func (r *reader) layWords() {
	var words strings.Builder
	spaced := slices.ContainsFunc(r.p.Lyrics, func(l smf.Lyric) bool { return strings.ContainsAny(l.Text, " \\/\r\n") })
	at := -1
	flush := func() {
		if at >= 0 && strings.TrimSpace(words.String()) != "" {
			r.bars[at].Lyrics = []string{strings.Join(strings.Fields(words.String()), " ")}
		}
		words.Reset()
	}
	track := r.wordsTrack()
	for _, l := range r.p.Lyrics {
		if l.Track != track {
			continue
		}
		if i := r.barAt(max(r.snap(l.Tick)-r.first, 0)); i != at {
			flush()
			at = i
		}
		words.WriteString(syllable(l.Text, spaced))
	}
	flush()
}

// syllable is the text of a lyric event: a hyphen at its end joins it to the next.
// Where no event has a space, each ends a word.
func syllable(text string, spaced bool) string {
	text = strings.NewReplacer("\\", " ", "/", " ", "\r", " ", "\n", " ", "_", "").Replace(text)
	if joined, ok := strings.CutSuffix(text, "-"); ok {
		return joined
	}
	if !spaced {
		return text + " "
	}
	return text
}

// wordsTrack is the track that the words are taken from: the tune's, or the first
// that has any.
func (r *reader) wordsTrack() int {
	if len(r.p.Lyrics) == 0 {
		return r.tune.track
	}
	for _, l := range r.p.Lyrics {
		if l.Track == r.tune.track {
			return l.Track
		}
	}
	return r.p.Lyrics[0].Track
}
