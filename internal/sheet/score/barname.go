package score

import "fmt"

// IntroBars is a span of the bars of an intro.
var IntroBars = Span{-1, -1}

// BarName is a bar by its number, as in "bar 3", "intro 1" or, for 0, "upbeat".
func BarName(number int) string {
	switch {
	case number < 0:
		return BarLabel(number)
	case number == 0:
		return "upbeat"
	}
	return "bar " + BarLabel(number)
}

// BarLabel is a bar's number where it is plain that it is one: "3" or "intro 1".
func BarLabel(number int) string {
	if number < 0 {
		return fmt.Sprintf("intro %d", -number)
	}
	return fmt.Sprint(number)
}

// Earlier reports a bar that comes before another by their numbers: those of an
// intro, -1, -2 and so on, before all others.
func Earlier(a, b int) bool {
	if a < 0 && b < 0 {
		return a > b
	}
	return a < b
}

func (s Span) String() string {
	switch {
	case s == IntroBars:
		return "the intro"
	case s.From == s.To:
		return BarName(s.From)
	}
	return fmt.Sprintf("bars %d-%d", s.From, s.To)
}
