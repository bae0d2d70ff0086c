package term

import "strings"

// Style says what the terminal can show. Its zero value, plain ASCII without
// escape sequences, works everywhere.
type Style struct {
	Colour  bool // our own dark ground with blue and amber
	Basic   bool // with Colour: only the sixteen basic colours, on the terminal's ground
	Unicode bool // block letters and music signs
}

// StyleFor reads the style from the environment. getenv is os.Getenv or a
// stand-in; goos is runtime.GOOS.
//
// A NO_COLOR that is not empty turns colour off (no-color.org), and so does a
// dumb or unnamed terminal. Unicode needs a UTF-8 locale (POSIX: LC_ALL over
// LC_CTYPE over LANG); Windows consoles take it always.
func StyleFor(getenv func(string) string, goos string) Style {
	term := getenv("TERM")
	windows := goos == "windows"
	dumb := term == "dumb" || term == "" && !windows
	rich := windows || getenv("COLORTERM") != "" || strings.Contains(term, "256color")
	return Style{
		Colour:  !dumb && getenv("NO_COLOR") == "",
		Basic:   !rich,
		Unicode: !dumb && (windows || utf8Locale(getenv)),
	}
}

func utf8Locale(getenv func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := strings.ToLower(getenv(name)); v != "" {
			return strings.Contains(v, "utf-8") || strings.Contains(v, "utf8")
		}
	}
	return false
}

// ink is what a cell is drawn with.
type ink uint8

const (
	inkPlain ink = iota
	inkDim
	inkTitle
	inkHeard
	inkWanted
	inkWarn
	inkPraise
	inkCurrent
	inkBeat
	inkWhiteKey
	inkBlackKey
	inkWhiteHeld
	inkBlackHeld
	inkWhiteWanted
	inkBlackWanted
	inkWrong
	inkCount
)

// Blue and amber stay apart for every common kind of colour blindness (Okabe
// and Ito, "Color Universal Design", 2008). Numbers are the 256-colour palette
// of xterm.
var richInks = [inkCount]string{
	inkPlain:       "38;5;252;48;5;234",
	inkDim:         "38;5;246;48;5;234",
	inkTitle:       "1;38;5;252;48;5;234",
	inkHeard:       "1;38;5;231;48;5;234",
	inkWanted:      "1;38;5;117;48;5;234",
	inkWarn:        "1;38;5;221;48;5;234",
	inkPraise:      "1;38;5;117;48;5;234",
	inkCurrent:     "1;38;5;231;48;5;24",
	inkBeat:        "38;5;117;48;5;234",
	inkWhiteKey:    "38;5;244;48;5;253",
	inkBlackKey:    "38;5;16;48;5;234",
	inkWhiteHeld:   "1;38;5;231;48;5;32",
	inkBlackHeld:   "1;38;5;231;48;5;32",
	inkWhiteWanted: "1;38;5;25;48;5;253",
	inkBlackWanted: "1;38;5;117;48;5;16",
	inkWrong:       "1;38;5;16;48;5;214",
}

var basicInks = [inkCount]string{
	inkPlain:       "",
	inkDim:         "",
	inkTitle:       "1",
	inkHeard:       "1",
	inkWanted:      "1;36",
	inkWarn:        "1;33",
	inkPraise:      "1;36",
	inkCurrent:     "1;7",
	inkBeat:        "36",
	inkWhiteKey:    "",
	inkBlackKey:    "",
	inkWhiteHeld:   "1;36",
	inkBlackHeld:   "1;36",
	inkWhiteWanted: "36",
	inkBlackWanted: "36",
	inkWrong:       "1;7;33",
}

// rich reports that the ground is painted.
func (s Style) rich() bool { return s.Colour && !s.Basic }

// sgr is the escape sequence that switches to i, or "".
func (s Style) sgr(i ink) string {
	switch {
	case !s.Colour:
		return ""
	case s.Basic && basicInks[i] == "":
		return "\x1b[0m"
	case s.Basic:
		return "\x1b[0;" + basicInks[i] + "m"
	}
	return "\x1b[0;" + richInks[i] + "m"
}

// marks are the signs that differ between Unicode and ASCII.
type marks struct {
	barLine, currentLeft, currentRight, here, lost, flag string
	held, wanted, wrong, keyEdge, blackKey               string
	beatFull, beatHalf, beatOff                          string
	warn, praise, ellipsis, dot                          string
}

var unicodeMarks = marks{
	barLine: "│", currentLeft: "[", currentRight: "]", here: "▼", lost: "?", flag: "!",
	held: "●", wanted: "○", wrong: "x", keyEdge: "│", blackKey: "█",
	beatFull: "█", beatHalf: "▄", beatOff: "▁",
	warn: "▶ ", praise: "✓ ", ellipsis: "…", dot: " · ",
}

var asciiMarks = marks{
	barLine: "|", currentLeft: "[", currentRight: "]", here: "v", lost: "?", flag: "!",
	held: "*", wanted: "o", wrong: "x", keyEdge: "|", blackKey: "#",
	beatFull: "#", beatHalf: "=", beatOff: "_",
	warn: "> ", praise: "ok ", ellipsis: "...", dot: ", ",
}

func (s Style) marks() *marks {
	if s.Unicode {
		return &unicodeMarks
	}
	return &asciiMarks
}
