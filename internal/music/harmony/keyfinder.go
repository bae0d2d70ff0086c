// Package harmony hears chords in a key: it finds the key that is being played
// in, and names a chord by its place in it, in Roman numerals.
package harmony

import (
	"math"

	"undersong/internal/music/pitch"
)

// The probe-tone profiles of Krumhansl and Kessler, "Tracing the dynamic
// changes in perceived tonal organization in a spatial representation of
// musical keys", Psychological Review 89(4), 1982: how well each class fits the
// key, from the tonic up by semitones. The values are those that the Humdrum
// keycor manual and the music21 source print; the paper itself was not read.
var (
	majorProfile = [12]float64{6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88}
	minorProfile = [12]float64{6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17}
)

// DefaultHalfLife is after how much weight (seconds or beats of sounding notes,
// whichever is added) an earlier note counts half. About ten bars of four
// voices in four beats: half of it follows a passing secondary dominant away,
// twice of it is late at a change of key between verses (common practice, no
// source).
const DefaultHalfLife = 160.0

// KeyFinder weighs what has been played, lately more than long ago, against
// the 24 keys. The zero value has heard nothing and forgets with
// DefaultHalfLife. Add and Best allocate nothing.
type KeyFinder struct {
	// HalfLife is in the unit of the weights added; 0 is DefaultHalfLife,
	// +Inf never forgets.
	HalfLife float64

	heard [12]float64
}

// Add tells of a note of class c that sounded for a weight, its duration. A
// weight that is not a finite number above 0 is passed over.
func (f *KeyFinder) Add(c pitch.Class, weight float64) {
	if !(weight > 0) || math.IsInf(weight, 1) || c < 0 || c > 11 {
		return
	}
	half := f.HalfLife
	if !(half > 0) {
		half = DefaultHalfLife
	}
	keep := math.Exp2(-weight / half)
	for i := range f.heard {
		f.heard[i] *= keep
	}
	f.heard[c] += weight
}

// Reset forgets everything heard.
func (f *KeyFinder) Reset() { f.heard = [12]float64{} }

// Best is the key that fits best what has been heard, and how sure that is: the
// lead of its correlation over the next key's, from 0 (nothing heard, or a tie)
// to at most 2. Diatonic music rarely leads by more than 0.3; under 0.02 the
// key is a guess. Before anything is heard the key is C major.
func (f *KeyFinder) Best() (pitch.Key, float64) { return BestKey(&f.heard) }

// BestKey finds the key of a histogram: the weight of each class, C first. See
// KeyFinder.Best for the answer.
func BestKey(heard *[12]float64) (pitch.Key, float64) {
	centred, ok := centre(heard)
	if !ok {
		return pitch.Key{}, 0
	}
	best, second := -2.0, -2.0
	var tonic pitch.Class
	minor := false
	for t := pitch.Class(0); t < 12; t++ {
		for _, m := range [2]bool{false, true} {
			switch r := correlate(&centred, t, m); {
			case r > best:
				best, second = r, best
				tonic, minor = t, m
			case r > second:
				second = r
			}
		}
	}
	return pitch.KeyAt(tonic, minor), best - second
}

// centre takes the mean away and scales to length 1. It is not ok where all
// classes weigh the same.
func centre(h *[12]float64) ([12]float64, bool) {
	mean := 0.0
	for _, v := range h {
		mean += v / 12
	}
	var out [12]float64
	length := 0.0
	for i, v := range h {
		out[i] = v - mean
		length += out[i] * out[i]
	}
	length = math.Sqrt(length)
	if !(length > 1e-9*math.Abs(mean)) || math.IsInf(length, 1) {
		return [12]float64{}, false
	}
	for i := range out {
		out[i] /= length
	}
	return out, true
}

var majorCentred, _ = centre(&majorProfile)
var minorCentred, _ = centre(&minorProfile)

// correlate is Pearson's coefficient of a centred histogram with a key.
func correlate(h *[12]float64, tonic pitch.Class, minor bool) float64 {
	profile := &majorCentred
	if minor {
		profile = &minorCentred
	}
	r := 0.0
	for i, p := range profile {
		r += p * h[(i+int(tonic))%12]
	}
	return r
}
