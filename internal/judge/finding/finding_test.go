package finding

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"undersong/internal/music/pitch"
)

// there is a finding through JSON and back.
func there(t *testing.T, f Finding) Finding {
	t.Helper()
	text, err := json.Marshal(f)
	require.NoError(t, err)
	var back Finding
	require.NoError(t, json.Unmarshal(text, &back), string(text))
	return back
}

// full is a finding with something in every field that a kind may have.
func full(k Kind) Finding {
	return Finding{
		Kind: k, Part: Part(k) % partCount, Bar: 5, Pass: 2, Beat: 2.5, At: 1234567890, Want: 7, Second: 9,
		Heard: KeysOf(48, 60, 64, 67), Goal: KeysOf(53, 60, 65, 69), Offset: -84 * time.Millisecond, Share: 0.35,
		Accent: true, Sung: true,
		Bass: BassDetail{Chord: -1, Speaks: FewOf(12, 14), Choices: FewOf(2, 0, 1), Later: true},
		Tune: TuneDetail{
			Phrase: 3, Note: 4, Ended: time.Second, Row: 2, Way: Way{Up: true, Size: Lot, More: true}, Gap: true, Shift: -5,
			Known: true, Asks: Verdicts{Missed, NotAsked, Kept, Kept}, From: First{Asked: true, Note: pitch.Note{Letter: 6, Alter: -1}},
		},
		Again: 3, Mended: true,
	}
}

func TestEveryKindIsTheSameThroughJSON(t *testing.T) {
	for k := Kind(0); k < KindCount; k++ {
		for _, f := range []Finding{{Kind: k, Want: -1, Second: -1}, full(k)} {
			assert.True(t, f == there(t, f), "%s: %+v became %+v", k, f, there(t, f))
		}
	}
}

func TestWhatAFindingLooksLike(t *testing.T) {
	f := Finding{Kind: WrongBass, Bar: 5, Beat: 1, At: 2 * time.Second, Want: 7, Second: -1, Heard: KeysOf(48), Goal: KeysOf(41)}
	text, err := json.Marshal(f)
	require.NoError(t, err)
	assert.JSONEq(t, `{"kind":"wrong-bass","hand":"left","bar":5,"pass":0,"beat":1,"at":2000000000,"want":7,"second":-1,"heard":[48],"goal":[41]}`, string(text))

	f = Finding{Kind: StartNote, Part: BothHands, Want: -1, Second: -1, Tune: TuneDetail{From: First{true, pitch.Note{Letter: 3, Alter: 1}}}}
	text, err = json.Marshal(f)
	require.NoError(t, err)
	assert.Contains(t, string(text), `"tune":{"phrase":0,"note":0,"from":{"asked":true,"note":"F#"}}`)
	assert.NotContains(t, string(text), "bass")
}

func TestBrokenFindingsAreRefused(t *testing.T) {
	for text, want := range map[string]string{
		`{"kind":"wrong"}`:   `kind "wrong" is not one of ["right"`,
		`{"hand":"third"}`:   `hand "third" is not one of ["left" "right" "both" "pedal"]`,
		`{"heard":[60,128]}`: "key 128 is none of the 0 to 127 of MIDI",
		`{"goal":[-1]}`:      "key -1 is none",
		`{"goal":"C"}`:       "cannot unmarshal",
		`{"heard":[` + strings.Repeat("1,", pitch.MostNums) + `1]}`: "17 keys are more than the 16",
		`{"bass":{"choices":[0,1,2,3]}}`:                            "4 indexes are more than the 3",
		`{"bass":{"choices":{}}}`:                                   "cannot unmarshal",
		`{"tune":{"way":{"size":"huge"}}}`:                          `size "huge" is not one of ["little" "some" "lot"]`,
		`{"tune":{"asks":["lost"]}}`:                                `verdict "lost" is not one of`,
		`{"tune":{"from":{"note":"H"}}}`:                            "H",
	} {
		var f Finding
		assert.ErrorContains(t, json.Unmarshal([]byte(text), &f), want, text)
	}
	var keys Keys
	assert.NoError(t, json.Unmarshal([]byte(`[`+strings.Repeat("127,", pitch.MostNums-1)+`0]`), &keys))
	assert.Equal(t, pitch.MostNums, keys.Len())
	var few Few
	assert.NoError(t, json.Unmarshal([]byte(`[3,2,1]`), &few))
	assert.Equal(t, []int{3, 2, 1}, few.Slice())
}

func TestKindsOfEachJudge(t *testing.T) {
	names := func(j Judge) (all []string) {
		for _, k := range Kinds(j) {
			all = append(all, k.String())
		}
		return all
	}
	assert.Equal(t, strings.Fields("lost wrong-chord wrong-bass wrong-inversion wrong-note missing extra spread late early blurred short balance right"), names(Strokes))
	assert.Equal(t, strings.Fields("lost misfit not-a-root not-lowest missing not-home wrong-fifth no-fifth wrong-third high-third no-third right"), names(Basses))
	assert.Equal(t, strings.Fields("task-done start-note task next-note contour once-more other-octave direction tune-right tune-found phrase-found phrase-right"), names(ByEar))
	seen := map[string]bool{}
	for k := Kind(0); k < KindCount; k++ {
		assert.NotEmpty(t, k.String())
		assert.False(t, seen[k.String()], k.String())
		seen[k.String()] = true
		assert.Equal(t, (k.By(Strokes) || k.By(Flow)) && k != Right, weights[k] > 0, "%s: what a pattern's player may practise weighs something", k)
	}
}

func TestKeys(t *testing.T) {
	var k Keys
	for _, key := range []pitch.Num{67, 60, 64} {
		k.Insert(key)
	}
	assert.Equal(t, []pitch.Num{60, 64, 67}, k.Slice(), "in their order")
	assert.True(t, k.Has(64))
	assert.False(t, k.Has(65))
	goal := KeysOf(60, 65, 69)
	kept, from, to := k.Split(&goal)
	assert.Equal(t, []Keys{KeysOf(60), KeysOf(64, 67), KeysOf(65, 69)}, []Keys{kept, from, to}, "from C to F in the nearest inversion")
	for range 2 * pitch.MostNums {
		k.Add(127)
	}
	assert.Equal(t, pitch.MostNums, k.Len(), "no more than hands can play")
	k.Insert(1)
	assert.False(t, k.Has(1))
	assert.Equal(t, []int{4, 5, 6}, FewOf(4, 5, 6, 7).Slice())
	assert.Empty(t, FewOf().Slice())
}

func TestSizes(t *testing.T) {
	for semitones, want := range map[int]Size{0: Little, 1: Little, -2: Little, 3: Some, -5: Some, 6: Lot, -24: Lot} {
		assert.Equal(t, want, SizeOf(semitones), semitones)
	}
	assert.True(t, Verdicts{Kept, Missed}.Missed())
	assert.False(t, Verdicts{Kept, NotAsked}.Missed())
	assert.Equal(t, []string{"from", "range", "soft-loud", "hands"}, []string{AskStart.String(), AskRange.String(), AskSoftLoud.String(), AskHands.String()})
}

// Whatever a judge may put into a finding comes back as it was, and whatever text is
// taken for a finding is refused or understood in one way.
func FuzzJSON(f *testing.F) {
	f.Add([]byte(`{"kind":"late","offset":5}`), uint8(3), int64(7), 2.5, []byte{60, 64, 67}, []byte("x"))
	f.Add([]byte(`{"bass":{"speaks":[1],"choices":[0,2]},"again":2}`), uint8(20), int64(-7), -0.1, []byte{}, []byte{1, 2, 3, 4})
	f.Fuzz(func(t *testing.T, text []byte, kind uint8, n int64, x float64, keys, more []byte) {
		v := Finding{Kind: Kind(kind) % KindCount, Part: Part(kind) % partCount, Bar: int(n), At: time.Duration(n), Want: int(int32(n)), Again: int(n)}
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			v.Beat, v.Share = x, -x
		}
		for _, b := range keys {
			v.Heard.Add(pitch.Num(b & 0x7F))
			v.Goal.Insert(pitch.Num(b & 0x7F))
		}
		for i, b := range more {
			v.Tune.Asks[i%len(v.Tune.Asks)] = Verdict(b % 3)
			v.Tune.Way = Way{b&1 > 0, Size(b % 3), b&2 > 0}
			v.Tune.From = First{b&4 > 0, pitch.Note{Letter: pitch.Letter(b % 7), Alter: int(b%5) - 2}}
			v.Bass = BassDetail{Chord: int(b) - 1, Speaks: FewOf(i, int(b)), Choices: FewOf(int(b), 1, i), Later: b&8 > 0}
		}
		require.True(t, v == there(t, v), "%+v", v)

		var read Finding
		if json.Unmarshal(text, &read) == nil {
			require.True(t, read == there(t, read), "%s", text)
		}
		var sum Summary
		if json.Unmarshal(text, &sum) == nil {
			first, err := json.Marshal(sum)
			require.NoError(t, err)
			var again Summary
			require.NoError(t, json.Unmarshal(first, &again))
			second, err := json.Marshal(again)
			require.NoError(t, err)
			require.Equal(t, string(first), string(second))
		}
	})
}
