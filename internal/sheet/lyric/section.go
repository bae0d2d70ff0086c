package lyric

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// header is what the name of a section says.
type header struct {
	name  string // as written, without its decoration
	kind  string // of all sections that are played alike, such as "verse"
	times int    // how often it is played, 1 and up
	from  string // the kind of another section that it names, whose chords it takes; mostly none
	rest  string // what stands behind the name in its line: words or chords
	at    int    // where rest begins, in characters
}

// kinds are the usual names of sections by what they are, in the languages of sheets
// (common practice, no source).
var kinds = map[string]string{
	"verse":        "verse verses vers verso versos strophe str estrofa strofa stanza couplet couplets zwrotka sloka säkeistö copla куплет vs v verš s",
	"chorus":       "chorus refrain refr rfr ref refrein refrão refrán refrén refräng omkvæd kehrvers kehrreim estribillo coro ritornello rit ritornelo burden kertosäe припев hook ch cho chor rf r",
	"pre-chorus":   "prechorus pre-chorus pre-ch prech pre-refrain pre-coro bridge-to-chorus channel lift climb precoro",
	"post-chorus":  "postchorus post-chorus",
	"bridge":       "bridge puente pont brücke ponte middle middle8 mid8 m8 brug bro most бридж br",
	"intro":        "intro introduction introducción introduzione vorspiel einleitung introdução вступление entrada",
	"outro":        "outro ending end coda tag finale final finish nachspiel schluss fin fine outtro",
	"instrumental": "instrumental instr instrum solo interlude interludio zwischenspiel intermezzo break riff interlude/solo instrumentaal проигрыш tussenspel",
	"turnaround":   "turnaround turn-around vamp fill",
	"part":         "part teil parte partie section a-part b-part",
}

// kindOf finds the kind of a section by a word of its name.
var kindOf = func() map[string]string {
	m := map[string]string{}
	for kind, words := range kinds {
		for _, w := range strings.Fields(words) {
			m[w] = kind
		}
	}
	return m
}()

// beside are words that stand beside the name of a section and say no kind.
var beside = words("repeat again back to play twice the of first second third last 1st 2nd 3rd 4th 5th one two three four five six " +
	"i ii iii iv v vi vii viii ix x a b c d guitar piano gitarre fiddle banjo mandolin with like same as over und and " +
	"all both acapella quiet loud soft slow fast 8 eight (x eins zwei drei primera segunda première chords only section out")

func words(list string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(list) {
		m[w] = true
	}
	return m
}

var (
	directive = regexp.MustCompile(`^\s*\{\s*([A-Za-z_]+)\s*(?::\s*(.*?))?\s*\}$`)
	// a number alone is a verse's
	onlyNumber = regexp.MustCompile(`^[\s(]*(\d{1,2})\s?[.):]+\s*$`)
	onlyDotted = regexp.MustCompile(`^\s*\d{1,2}\s?[.)]`)
	numbered   = regexp.MustCompile(`^\s*(\d{1,2})(\s?[.):]+\s*|\s+)`)
	pointer    = regexp.MustCompile(`\s+<[-=]+[^>]*$`) // "<-- slower"
	timesThen  = regexp.MustCompile(`(?i)^(.{2,30}?)\s*\(?(?:[x×]\s?(\d)|(\d)\s?[x×])\)?\s*[,;(–-].+$`)
	inParen    = regexp.MustCompile(`[(\[]([^()\[\]]*)[)\]]`)
	spaced     = regexp.MustCompile(`^(\s*\pL{1,12}\.? ?\d)\s+[-–—]\s+[^|\d]*[\pL]{2,}.*$`)
	details    = regexp.MustCompile(`\s*[:,]\s*|\s+[-–—]\s+|\s+\(`)
	boxed      = regexp.MustCompile(`^\s*(?:\*\*)?[\[(<](.+?)[\])>](?:\*\*)?:?\s*(.*)$`)
	leading    = regexp.MustCompile(`^[\s#*_=~<>+•-]*`)
)

const decoration = " \t#*_=~<>()[]{}:.-–—+•|\"'"

// undecorated takes the signs off round a name, but keeps a parenthesis that closes.
func undecorated(text string) string {
	t := strings.Trim(text, decoration)
	if i := strings.IndexByte(t, '('); i > 0 && !strings.Contains(t[i:], ")") {
		t += ")"
	}
	return t
}

// sectionName reads a line as the name of a section, alone or with what stands behind
// it. Chords tells whether a text is chords alone.
func sectionName(text string, chords func(string) bool) (header, bool) {
	text = pointer.ReplaceAllString(text, "")
	if m := onlyNumber.FindStringSubmatch(text); m != nil {
		return header{name: "Verse " + m[1], kind: "verse", times: 1}, true
	}
	body, n := cutTimes(text)
	if h, ok := named(body); ok {
		h.times = n
		return h, true
	}
	if m := timesThen.FindStringSubmatch(text); m != nil {
		if h, ok := named(m[1]); ok {
			h.times, _ = strconv.Atoi(m[2] + m[3])
			h.times = max(h.times, 1)
			return h, true
		}
	}
	if m := inParen.FindStringSubmatchIndex(body); m != nil && !chords(body[m[2]:m[3]]) {
		if h, ok := named(body[:m[0]] + " " + body[m[1]:]); ok {
			h.times = n
			return h, true
		}
	}
	if m := boxed.FindStringSubmatchIndex(text); m != nil {
		inner := text[m[2]:m[3]]
		for _, name := range append([]string{inner}, details.Split(inner, 2)[0]) {
			if h, ok := named("[" + name + "]"); ok {
				return h.behind(text, m[4]), true
			}
		}
	}
	if i := strings.IndexByte(text, ':'); i > 0 && i < 40 {
		if h, ok := named(text[:i+1]); ok {
			return h.behind(text, i+1), true
		}
	}
	if m := spaced.FindStringSubmatch(text); m != nil { // "Verse 3 - key change"
		if h, ok := named(m[1]); ok {
			h.times = 1
			return h, true
		}
	}
	// "Intro G D Em C", "Verse 1 G D": chords behind the name without a sign between.
	at := len(leading.FindString(text))
	var best header
	for n, i := 0, at; n < 2 && i < len(text); n++ {
		next := strings.IndexByte(text[i:], ' ')
		if next < 0 || n > 0 && (text[i] < '0' || text[i] > '9') {
			break
		}
		i += next
		if h, ok := named(text[at:i]); ok && i-at > 2 && chords(text[i:]) {
			best = h.behind(text, i)
		}
		i += len(text[i:]) - len(strings.TrimLeft(text[i:], " "))
	}
	return best, best.kind != ""
}

// behind is the header with what stands in its line from a byte on.
func (h header) behind(text string, from int) header {
	rest := strings.TrimLeft(text[from:], " :")
	h.times = 1
	if body, n := cutTimes(strings.Repeat(" ", 1) + rest); strings.TrimSpace(body) == "" {
		h.times = n
		return h
	}
	h.rest, h.at = rest, columns(text[:len(text)-len(rest)])
	return h
}

// named reads a text that is the name of a section and nothing else: one word says a
// kind, the others stand beside it.
func named(text string) (header, bool) {
	shown := undecorated(text)
	plain := strings.ToLower(shown)
	for from, to := range map[string]string{"pre chorus": "prechorus", "post chorus": "postchorus", "middle 8": "middle8", "middle eight": "middle8", "turn around": "turnaround", "pre refrain": "pre-refrain"} {
		plain = strings.ReplaceAll(plain, from, to)
	}
	plain = strings.ReplaceAll(plain, " - ", " ")
	list := strings.FieldsFunc(plain, func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune("()[],.:/+*\"–—&", r)
	})
	if len(list) == 0 || len(list) > 6 {
		return header{}, false
	}
	h := header{name: shown, times: 1}
	for i, w := range list {
		kind := kindOf[w]
		if kind == "" {
			kind = kindOf[strings.TrimRight(w, "0123456789")]
		}
		switch _, err := strconv.Atoi(w); {
		case kind != "" && h.kind == "" && (!beside[w] || i == 0 && w == "v"): // else a number
			h.kind = kind
		case kind != "" && kind != h.kind && !beside[w]:
			h.from = kind
		case err == nil || beside[w] || kind != "":
		default:
			return header{}, false
		}
	}
	if h.kind == "" || short[strings.TrimRight(list[0], "0123456789")] && !abbreviated(text) {
		return header{}, false
	}
	return h, true
}

// short are names of sections that are taken for such only with a colon, a full stop
// or a number: they are words or letters, too.
var short = words("v vs s r ch cho br ref refr rit str instr rf end fin fine fill tag solo break most middle final part")

func abbreviated(text string) bool {
	t := strings.TrimSpace(text)
	return strings.ContainsAny(t, "[(<{:=#*.0123456789") || len(strings.Fields(t)) == 1 && len(t) > 2 && !strings.ContainsAny(t, ",!?")
}
