package miditune

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/music/pitch"
	"undersong/internal/text/source"
)

// part is what one track plays on one channel.
type part struct {
	track   int
	channel uint8
	name    string // of the track; may be empty
	notes   []note // by time; at the same time the highest first
	sung    bool   // the track has words
	chords  bool   // several notes sound at once in a tenth of it or more
}

// note is a note in the file's ticks.
type note struct {
	at, end int64
	key     pitch.Num
}

func (p *part) String() string {
	if p.name != "" {
		return fmt.Sprintf("%q (track %d)", p.name, p.track+1)
	}
	return fmt.Sprintf("track %d, channel %d", p.track+1, p.channel+1)
}

func (p *part) is(track int, e event.Event) bool {
	return p.track == track && p.channel == e.Channel()
}

// partsOf are the parts of a file that have notes, percussion left out, in order.
func partsOf(p *smf.Performance) []part {
	var parts []part
	open := map[[3]int]int64{}
	for i, e := range p.Events {
		if e.Channel() == event.Percussion || !e.IsNoteOn() && !e.IsNoteOff() {
			continue
		}
		id := [3]int{p.Tracks[i], int(e.Channel()), int(e.Data1)}
		if at, ok := open[id]; ok {
			add(&parts, p, id, note{at, p.Ticks[i], pitch.Num(e.Data1)})
			delete(open, id)
		}
		if e.IsNoteOn() {
			open[id] = p.Ticks[i]
		}
	}
	for i := range parts {
		parts[i].finish(p)
	}
	slices.SortStableFunc(parts, func(a, b part) int { return (a.track-b.track)*16 + int(a.channel) - int(b.channel) })
	return parts
}

func add(parts *[]part, p *smf.Performance, id [3]int, n note) {
	if n.end <= n.at {
		return
	}
	i := slices.IndexFunc(*parts, func(x part) bool { return x.track == id[0] && int(x.channel) == id[1] })
	if i < 0 {
		i = len(*parts)
		*parts = append(*parts, part{track: id[0], channel: uint8(id[1]), name: strings.TrimSpace(p.TrackNames[id[0]])})
	}
	(*parts)[i].notes = append((*parts)[i].notes, n)
}

func (p *part) finish(all *smf.Performance) {
	slices.SortStableFunc(p.notes, func(a, b note) int {
		if a.at != b.at {
			return int(min(max(a.at-b.at, -1), 1))
		}
		return int(b.key - a.key)
	})
	for _, l := range all.Lyrics {
		p.sung = p.sung || l.Track == p.track
	}
	together := 0
	var end int64
	for _, n := range p.notes {
		if n.at < end-int64(all.TicksPerQuarter)/8 {
			together++
		}
		end = max(end, n.end)
	}
	p.chords = 10*together >= len(p.notes)
}

// tuneNames are what tracks are called that have the tune, in a few languages.
var tuneNames = regexp.MustCompile(`(?i)\b(melod|tune|vocal|voice|sing|lead|solo|soprano|chant|gesang|stimme|canto|voz)`)

// deepNames are what tracks are called that have the bass, or the left hand of a piano
// whose right hand has the tune.
var deepNames = regexp.MustCompile(`(?i)\b(bass|left|l\.? ?h\b|links|linke|gauche|sinistra|izquierda)`)

// choose is the part that has the tune: the one that was asked for, by its name or the
// number of its track, or that is called so, has the words, or else is the highest of
// those that play one note at a time and are called neither bass nor left hand.
func choose(parts []part, file, wish string) (*part, error) {
	if len(parts) == 0 {
		return nil, &source.Error{File: file, Reason: "this MIDI file has no notes", Hint: "is it the right file?"}
	}
	if wish != "" {
		return asked(parts, file, wish)
	}
	best, most := 0, -1.0
	for i := range parts {
		if v := parts[i].likely(); v > most {
			best, most = i, v
		}
	}
	return &parts[best], nil
}

func asked(parts []part, file, wish string) (*part, error) {
	number, err := strconv.Atoi(wish)
	for i := range parts {
		if err == nil && parts[i].track+1 == number || err != nil && strings.Contains(strings.ToLower(parts[i].name), strings.ToLower(wish)) {
			return &parts[i], nil
		}
	}
	var names []string
	for i := range parts {
		names = append(names, parts[i].String())
	}
	return nil, &source.Error{File: file, Reason: fmt.Sprintf("no part is %q", wish), Hint: "the parts are " + strings.Join(names, ", ")}
}

// How much speaks for a part: what it is called and its words decide, then that it
// plays one note at a time, then how high it lies (a point for two octaves). Taste, no
// source.
const (
	forName   = 8
	forWords  = 6
	forSingle = 2
	forDeep   = -4
	fewNotes  = 8 // with fewer it is hardly a tune
)

func (p *part) likely() float64 {
	var v, sum float64
	if tuneNames.MatchString(p.name) {
		v += forName
	}
	if deepNames.MatchString(p.name) {
		v += forDeep
	}
	if p.sung {
		v += forWords
	}
	if !p.chords {
		v += forSingle
	}
	for _, n := range p.notes {
		sum += float64(n.key)
	}
	v += sum / float64(len(p.notes)) / 24
	if len(p.notes) < fewNotes {
		v /= 4
	}
	return v
}
