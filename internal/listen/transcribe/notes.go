package transcribe

import (
	"cmp"
	"slices"
	"time"

	"undersong/internal/listen/keyboard"
	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/pitch"
)

// FromFile takes the notes, pedals and tempo map of a MIDI file, percussion
// left out.
func FromFile(p *smf.Performance) Performance {
	return Performance{Notes: FromEvents(p.Events, p.End), End: p.End, Beats: fileBeats(p)}
}

// FromEvents takes the notes out of a stream of events, pedals heeded. What
// still sounds at the end stops there.
func FromEvents(events []event.Event, end time.Duration) []Note {
	var keys keyboard.Keys
	var notes []Note
	var sounding keyboard.Set
	var open [128]int // the note a sounding key belongs to
	for _, e := range events {
		end = max(end, e.At)
		if e.Channel() == event.Percussion {
			continue
		}
		change := keys.Feed(e)
		if change == keyboard.Nothing && e.Kind() != event.ControlChange {
			continue
		}
		key := pitch.Num(e.Data1 & 0x7F)
		if change == keyboard.Released {
			notes[open[key]].Release = e.At
		}
		now := keys.Sounding()
		for k := sounding.Next(-1); k >= 0; k = sounding.Next(k) {
			if !now.Has(k) || change == keyboard.Struck && k == key {
				closeNote(&notes[open[k]], e.At)
			}
		}
		if change == keyboard.Struck {
			open[key] = len(notes)
			notes = append(notes, Note{Key: key, Velocity: keys.Velocity(key), On: e.At, Release: -1, Off: -1})
		}
		sounding = now
	}
	for i := range notes {
		closeNote(&notes[i], end)
	}
	return notes
}

func closeNote(n *Note, at time.Duration) {
	if n.Off < 0 {
		n.Off = at
	}
	if n.Release < 0 {
		n.Release = n.Off
	}
}

// sane is the notes that can be worked with, in order of onset, then key.
func sane(notes []Note) []Note {
	out := make([]Note, 0, len(notes))
	for _, n := range notes {
		if !n.Key.Valid() || n.On < 0 || n.Off <= n.On || n.On >= smf.MaxLength {
			continue
		}
		n.Off = min(n.Off, n.On+longest, smf.MaxLength)
		n.Release = min(max(n.Release, n.On), n.Off)
		n.Velocity = min(max(n.Velocity, 1), 127)
		out = append(out, n)
	}
	slices.SortStableFunc(out, func(a, b Note) int {
		return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Key, b.Key))
	})
	return out
}

// stroke is notes struck together.
type stroke struct {
	at     float64 // seconds, of the first note
	weight float64
}

// strokes groups the onsets, which are in order. A stroke weighs more with
// more notes and with a bass note, as the beats of accompaniments do.
func strokes(notes []Note) []stroke {
	var out []stroke
	for i := 0; i < len(notes); {
		first := notes[i].On.Seconds()
		w := 0.0
		for ; i < len(notes) && notes[i].On.Seconds()-first <= strokeSpan; i++ {
			v := strokeLeast + float64(notes[i].Velocity)/127
			if notes[i].Key < bassTop {
				v *= strokeBass
			}
			w += v
		}
		out = append(out, stroke{at: first, weight: min(w, strokeMost)})
	}
	return out
}
