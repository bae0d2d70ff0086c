package words

import (
	"fmt"
	"time"

	"undersong/internal/session/sitting"
)

// TapLines say what was measured of a keyboard's delay and what it means.
func TapLines(r sitting.TapResult) []string {
	if r.Few() {
		return []string{fmt.Sprintf("%d of %d clicks were tapped with: too few to tell. Tap once with each click, any key.", r.Taps, r.Of)}
	}
	measured := fmt.Sprintf("%d taps, %s, give or take %d ms", r.Taps, offClick(r.Mean), millis(r.Spread))
	return []string{measured, tapsMean(r)}
}

func offClick(d time.Duration) string {
	ms := millis(d)
	if ms < 0 {
		return fmt.Sprintf("%d ms ahead of the click", -ms)
	}
	if ms > 0 {
		return fmt.Sprintf("%d ms behind the click", ms)
	}
	return "on the click"
}

func tapsMean(r sitting.TapResult) string {
	switch {
	case r.Uneven():
		return "That is too uneven to tell a delay from. Listen to some clicks first, then tap with one finger."
	case r.TooLong():
		return fmt.Sprintf("More than %d ms is no piano's delay: sound over a wireless link may be late, or the taps fell between the clicks. Use a cable, and try again.", millis(sitting.MostDelay))
	case r.None():
		return "That is as good as none: there is nothing to set."
	case r.Mean < 0:
		return "Most people tap a little ahead of a click without knowing. Where it is set, practice counts it as in time."
	}
	return "Your keys arrive late, or the click does. Where it is set, practice counts it as in time."
}
