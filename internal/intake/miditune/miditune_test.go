package miditune

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/midi/event"
	"undersong/internal/midi/smf"
	"undersong/internal/sheet/song"
)

const quarter = 500 * time.Millisecond // at 120, a file's tempo unless it says otherwise

// sounding are notes of so many quarters each, one after another; 0 rests for a
// quarter, and several keys in one place sound together.
func sounding(channel uint8, from float64, notes ...[]uint8) []event.Event {
	var all []event.Event
	at := time.Duration(from * float64(quarter))
	for _, keys := range notes {
		for _, k := range keys {
			on, off := event.On(at, k, 80), event.Off(at+quarter-5*time.Millisecond, k)
			on.Status |= channel
			off.Status |= channel
			all = append(all, on, off)
		}
		at += quarter
	}
	return all
}

func ks(keys ...uint8) []uint8 { return keys }

func file(t *testing.T, o smf.WriteOptions, tracks ...smf.Track) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, smf.Write(&b, o, tracks...))
	return b.Bytes()
}

func threeFour() smf.WriteOptions {
	return smf.WriteOptions{Meters: []smf.MeterChange{{Num: 3, Den: 4}}, Keys: []smf.KeyChange{{Sharps: -1}}}
}

// clementine is the beginning of that tune, with its upbeat on the third beat, over held chords.
func clementine(t *testing.T) []byte {
	tune := sounding(0, 2, ks(65), ks(65), ks(65), ks(60), ks(69), ks(69), ks(69), ks(65))
	chords := append(sounding(1, 3, ks(41, 57, 60), ks(57, 60), ks(57, 60)), sounding(1, 6, ks(36, 58, 64), ks(58, 64), ks(58, 64))...)
	return file(t, threeFour(), smf.Track{Name: "Piano", Events: chords}, smf.Track{Name: "Melody", Events: tune})
}

func TestTheTuneItsUpbeatAndItsChords(t *testing.T) {
	s, err := Read(clementine(t), "clementine.mid", song.Wish{})
	require.NoError(t, err)
	d := s.Dump()
	assert.Equal(t, "F", d.Key)
	assert.Equal(t, "3/4", d.Meter)
	assert.InDelta(t, 1, d.Upbeat, 1e-9)
	var keys []int
	for i, n := range d.Melody {
		keys = append(keys, n.Midi)
		assert.InDelta(t, float64(i), n.Onset, 1e-9, "quarters, one after another")
		assert.InDelta(t, 1, n.Duration, 1e-9)
	}
	assert.Equal(t, []int{65, 65, 65, 60, 69, 69, 69, 65}, keys)
	require.Len(t, d.Chords, 2)
	assert.Equal(t, song.DumpChord{Onset: 1, Symbol: "F"}, d.Chords[0])
	assert.Equal(t, 4.0, d.Chords[1].Onset)
	assert.Contains(t, d.Notices[0], `the tune is taken from "Melody" (track 3), of 2 parts`)
	c, _, err := s.ToChart("clementine.mid")
	require.NoError(t, err)
	assert.Contains(t, c.Text(), "m: F2 | F2 F2 C2 | A2 A2 A2 | F2 z4 |")
}

func TestWhichPartIsTheTune(t *testing.T) {
	low := smf.Track{Name: "Bass", Events: sounding(0, 0, ks(40), ks(43), ks(40), ks(43), ks(40), ks(43), ks(40), ks(43))}
	high := smf.Track{Name: "Flute", Events: sounding(1, 0, ks(72), ks(74), ks(76), ks(77), ks(76), ks(74), ks(72), ks(71))}
	pads := smf.Track{Name: "Strings", Events: sounding(2, 0, ks(76, 79, 84), ks(76, 79, 84), ks(76, 79, 84), ks(76, 79, 84), ks(76, 79, 84), ks(76, 79, 84), ks(76, 79, 84), ks(76, 79, 84))}
	drums := smf.Track{Name: "Voice of drums", Events: sounding(9, 0, ks(36), ks(38), ks(36), ks(38), ks(36), ks(38), ks(36), ks(38))}
	voice := smf.Track{Name: "Lead vocal", Events: sounding(3, 0, ks(60), ks(62), ks(64), ks(65), ks(64), ks(62), ks(60), ks(59))}
	left := smf.Track{Name: "Piano left", Events: low.Events}
	right := smf.Track{Name: "Piano right", Events: pads.Events}
	for _, c := range []struct {
		name, wish, want string
		tracks           []smf.Track
	}{
		{"the highest of those that play one note at a time", "", "Flute", []smf.Track{low, high, pads}},
		{"what is called so", "", "Lead vocal", []smf.Track{low, high, voice, pads, drums}},
		{"what was asked for by name", "bass", "Bass", []smf.Track{low, high, voice}},
		{"what was asked for by number", "3", "Flute", []smf.Track{low, high, voice}},
		{"the right hand, whatever it plays besides", "", "Piano right", []smf.Track{left, right}},
		{"the only one", "", "Bass", []smf.Track{low, drums}},
	} {
		p, err := smf.Read(bytes.NewReader(file(t, smf.WriteOptions{}, c.tracks...)), "a.mid")
		require.NoError(t, err)
		got, err := choose(partsOf(p), "a.mid", c.wish)
		require.NoError(t, err, c.name)
		assert.Equal(t, c.want, got.name, c.name)
	}
	_, err := Read(file(t, smf.WriteOptions{}, low, high), "a.mid", song.Wish{Tune: "oboe"})
	assert.ErrorContains(t, err, `no part is "oboe"; the parts are "Bass" (track 2), "Flute" (track 3)`)
	_, err = Read(file(t, smf.WriteOptions{}, drums), "a.mid", song.Wish{})
	assert.ErrorContains(t, err, "has no notes")
}

func TestATuneAloneHasNoChords(t *testing.T) {
	s, err := Read(file(t, smf.WriteOptions{}, smf.Track{Events: sounding(0, 0, ks(60), ks(62), ks(64), ks(65))}), "a.mid", song.Wish{})
	require.NoError(t, err)
	assert.False(t, s.HasChords())
	assert.Len(t, s.Dump().Melody, 4)
}

// Karaoke files put the space before a word; others end each syllable of a word but
// the last with a hyphen.
func TestWordsOfBothFashions(t *testing.T) {
	for _, texts := range [][]string{{"\\In", " a", " cav", "ern"}, {"In", "a", "cav-", "ern"}} {
		p, err := smf.Read(bytes.NewReader(clementine(t)), "a.mid")
		require.NoError(t, err)
		for i, text := range texts {
			p.Lyrics = append(p.Lyrics, smf.Lyric{Tick: int64(480 * (i + 2)), Track: 2, Text: text})
		}
		r := &reader{p: p, parts: partsOf(p), s: &song.Song{}}
		r.tune, err = choose(r.parts, "a.mid", "")
		require.NoError(t, err)
		require.NoError(t, r.layBars("a.mid"))
		r.layWords()
		assert.Equal(t, []string{"In"}, r.bars[0].Lyrics, texts)
		assert.Equal(t, []string{"a cavern"}, r.bars[1].Lyrics, texts)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("MThd\x00\x00\x00\x06\x00\x01\x00\x02\x01\xe0MTrk\x00\x00\x00\x0c\x00\xff\x05\x02Hi\x00\x90\x3c\x40\x81\x70\x80\x3c\x40MTrk\x00\x00\x00\x04\x00\xff\x2f\x00"), "")
	f.Fuzz(func(t *testing.T, src []byte, wish string) {
		s, err := Read(src, "a.mid", song.Wish{Tune: wish})
		if err != nil {
			return
		}
		_, err = s.Dump().JSON()
		require.NoError(t, err)
		if c, _, err := s.ToChart("a.mid"); err == nil {
			require.NotEmpty(t, c.Text())
		}
	})
}
