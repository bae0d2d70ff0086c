// Package miditune reads the tune of a standard MIDI file as a song: which part is the
// tune, its bars and words, and the chords of what accompanies it.
package miditune

import (
	"bytes"
	"fmt"
	"sort"

	"undersong/internal/listen/transcribe"
	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/harmony"
	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
	"undersong/internal/sheet/song"
	"undersong/internal/text/source"
)

// Read reads a MIDI file. Errors are *smf.FileError where it is none, and
// *source.Error where it has no tune or no bars.
func Read(src []byte, file string, w song.Wish) (*song.Song, error) {
	p, err := smf.Read(bytes.NewReader(src), file)
	if err != nil {
		return nil, err
	}
	if p.TicksPerQuarter == 0 {
		return nil, &source.Error{File: file, Reason: "this MIDI file counts film frames and knows no beats", Hint: "export it with a tempo, or let undersong hear name its chords"}
	}
	parts := partsOf(p)
	tune, err := choose(parts, file, w.Tune)
	if err != nil {
		return nil, err
	}
	r := &reader{p: p, parts: parts, tune: tune, s: &song.Song{Title: title(p)}}
	r.chosen()
	r.key()
	if err := r.layBars(file); err != nil {
		return nil, err
	}
	r.layTune()
	r.layChords()
	r.layWords()
	r.s.Sections = []song.Section{{Bars: r.bars}}
	r.s.Order = r.s.InOrder()
	return r.s, nil
}

// reader makes the song of one file.
type reader struct {
	p     *smf.Performance
	parts []part
	tune  *part
	s     *song.Song

	first meter.Ticks   // where the first bar begins, from the beginning of the file
	at    []meter.Ticks // where each bar begins, from first
	bars  []song.Bar
}

// ticks turns the file's ticks into ours.
func (r *reader) ticks(t int64) meter.Ticks {
	return meter.Ticks((t*int64(meter.Quarter) + int64(r.p.TicksPerQuarter)/2) / int64(r.p.TicksPerQuarter))
}

func (r *reader) tell(format string, args ...any) {
	r.s.Notices = append(r.s.Notices, song.Notice{Text: fmt.Sprintf(format, args...)})
}

// chosen tells which part is taken for the tune.
func (r *reader) chosen() {
	if len(r.parts) > 1 {
		r.tell("the tune is taken from %s, of %d parts; --tune NAME takes another", r.tune, len(r.parts))
	}
	if r.tune.chords {
		r.tell("where several notes sound at once in it the highest is the tune")
	}
}

// title is the name of the file's first track, unless that names an instrument.
func title(p *smf.Performance) string {
	if len(p.TrackNames) > 1 && len(p.TrackNames[0]) > 0 && !hasNotes(p, 0) {
		return p.TrackNames[0]
	}
	return ""
}

func hasNotes(p *smf.Performance, track int) bool {
	for i, e := range p.Events {
		if p.Tracks[i] == track && e.IsNoteOn() {
			return true
		}
	}
	return false
}

// key is the one that the file names, or that its notes are in.
func (r *reader) key() {
	var f harmony.KeyFinder
	for _, p := range r.parts {
		for _, n := range p.notes {
			f.Add(n.key.Class(), float64(n.end-n.at))
		}
	}
	found, _ := f.Best()
	r.s.Key = found
	for _, k := range r.p.Keys {
		if named := keyOf(k); k.Tick == 0 || len(r.p.Keys) == 1 {
			r.s.Key = named
			if k.Sharps == 0 && !k.Minor && found != named { // what programs write that know no better
				r.s.Key = found
				r.tell("the key is taken to be %s, from its notes; the file says C", found)
			}
			return
		}
	}
	r.tell("the file names no key: it is taken to be %s", found)
}

func keyOf(k smf.KeyChange) pitch.Key {
	home := pitch.Key{Tonic: pitch.NoteAtFifths(k.Sharps)}
	if k.Minor {
		home = pitch.Key{Tonic: pitch.NoteAtFifths(k.Sharps + 3), Minor: true}
	}
	return home
}

// layChords finds the chords of all parts but the tune's.
func (r *reader) layChords() {
	var with smf.Performance
	with.Division, with.TicksPerQuarter, with.End = r.p.Division, r.p.TicksPerQuarter, r.p.End
	with.Tempos, with.Meters, with.Keys = r.p.Tempos, r.p.Meters, r.p.Keys
	heard := false
	for i, e := range r.p.Events {
		if e.Channel() == event.Percussion || len(r.parts) > 1 && r.tune.is(r.p.Tracks[i], e) {
			continue
		}
		heard = heard || e.IsNoteOn()
		with.Events, with.Ticks, with.Tracks = append(with.Events, e), append(with.Ticks, r.p.Ticks[i]), append(with.Tracks, r.p.Tracks[i])
	}
	if !heard || len(r.parts) == 1 && !r.tune.chords {
		r.tell("nothing accompanies the tune, so it has no chords")
		return
	}
	segments, _ := transcribe.Chords(transcribe.FromFile(&with), transcribe.Options{Key: &r.s.Key})
	beat := r.s.Meter.Beat()
	tick := r.p.Ticker()
	for _, seg := range segments {
		at := r.ticks(tick(seg.Start)) - r.first
		at = (at + beat/2) / beat * beat
		i := r.barAt(max(at, 0))
		if seg.Chord.IsNone() && len(r.bars[i].Chords) == 0 && i == 0 {
			continue // silence before the beginning
		}
		b := &r.bars[i]
		in := max(at, 0) - r.at[i]
		if n := len(b.Chords); n > 0 && b.Chords[n-1].At == in {
			b.Chords = b.Chords[:n-1]
		}
		if in < b.Len {
			b.Chords = append(b.Chords, song.Symbol{At: in, Text: seg.Chord.String(), Chord: seg.Chord, Known: true})
		}
	}
}

// barAt is the bar in which a time lies, clamped.
func (r *reader) barAt(at meter.Ticks) int {
	after := sort.Search(len(r.at), func(i int) bool { return r.at[i] > at })
	return max(0, after-1)
}
