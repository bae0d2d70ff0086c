package lyric

import (
	"regexp"
	"strconv"
	"strings"

	"undersong/internal/music/meter"
	"undersong/internal/music/pitch"
)

// heading is what a sheet says of the whole song.
type heading struct {
	title, by string
	key       *pitch.Key
	meter     meter.Meter // zero where the sheet says none
	tempo     meter.Tempo // 0 where the sheet says none
	capo      int
	capoLine  int
}

// fields are the lines that say something of the song, by what they begin with.
var fields = []struct {
	is *regexp.Regexp
	to func(h *heading, value string) bool
}{
	{field(`capo(?:taste|daster)?|kapo(?:daster)?|cejilla|capodastre|capotasto`, ``), (*heading).setCapo},
	{field(`(?:original |song |in the |in )?key(?: of| sig(?:nature)?)?|tonart|tono|tonalidad|tonalité|tonalit[àa]`, ``), (*heading).setKey},
	{field(`tempo|bpm|speed|♩\s*=|q\s*=`, ``), (*heading).setTempo},
	{field(`time(?: signature| sig)?|meter|metre|metrum|takt|compás|mesure|signature`, ``), (*heading).setMeter},
	{field(`rhythm|ritmo|rhythmus|rythme|feel|style`, `:`), (*heading).setFeel},
	{field(`title|song(?: title)?|titel|título|titre|titolo|t`, `:`), func(h *heading, v string) bool { return set(&h.title, v) }},
	{field(`artist|by|author|composer|words and music(?: by)?|written by|music(?: by)?|words(?: by)?|lyrics(?: by)?|text(?: und musik)?|musik|worte|letra(?: y música)?|música|paroles|musique|auteur|autore|lyricist|interpret|autor|subtitle|st|su`, `:`),
		func(h *heading, v string) bool { return set(&h.by, v) }},
}

func field(names, colon string) *regexp.Regexp {
	if colon == "" {
		colon = `\s*[:=-]?`
	} else {
		colon = `\s*` + colon
	}
	return regexp.MustCompile(`(?i)^[\s*_#(\[{-]*(?:` + names + `)` + colon + `(?:\s+|$|\b)(.*?)[\s*_)\]}]*$`)
}

func set(to *string, v string) bool {
	v = strings.Trim(v, " *_\"“”")
	if v == "" {
		return false
	}
	if strings.Count(v, "(") > strings.Count(v, ")") {
		v += ")"
	}
	if *to == "" {
		*to = v
	}
	return true
}

// field reads a line of fields: one, or several with signs between, the first of
// which may be the title.
func (h *heading) field(text string, num int) bool {
	parts := between.Split(padded.ReplaceAllString(dashedField.ReplaceAllString(text, "$1: "), "$1: "), -1)
	found, first := false, false
	for i, p := range parts {
		for _, f := range fields {
			m := f.is.FindStringSubmatch(p)
			if m == nil || !f.to(h, m[1]) {
				continue
			}
			found = true
			if h.capo > 0 && h.capoLine == 0 {
				h.capoLine = num
			}
			break
		}
		found = h.alone(p) || found
		first = first || found && i == 0
	}
	if found && !first && h.title == "" {
		set(&h.title, undecorated(parts[0]))
	}
	return found
}

var (
	between = regexp.MustCompile(`\s*[;|,•·]\s*|\s{2,}|\s[-–—/]\s`)
	// "Title - Aura Lee"
	dashedField = regexp.MustCompile(`(?i)^\s*(title|artist|author|composer|tempo|capo|(?:key|time)(?: sig(?:nature)?)?)\s+[-–—]\s+`)
	padded      = regexp.MustCompile(`(\pL)\s+:\s*`) // "Title   : Aura Lee"
	digits      = regexp.MustCompile(`\d{1,3}(?:\.\d+)?`)
	inKey       = regexp.MustCompile(`^\s*(?i:in(?: the key of)?) ([A-H](?:is|es|s|#|b|♯|♭)?(?:m|[ -](?i:minor|major|moll|dur))?)\s*$`)
	fraction    = regexp.MustCompile(`(\d{1,2})\s*/\s*(\d{1,2})`)
	onlyTime    = regexp.MustCompile(`(?i)^[\s(]*(\d{1,2}\s*/\s*[248])(?:\s*(?:time|takt))?[\s)]*$`)
	onlyBPM     = regexp.MustCompile(`(?i)^[\s(]*(\d{2,3})\s*bpm[\s)]*$|^\s*♩\s*=\s*(\d{2,3})\s*$`)
	waltz       = regexp.MustCompile(`(?i)^[\s(]*(?:(?:a|slow|fast|gentle) )?(?:waltz|walzer|vals|valse|valzer)(?: time|takt)?[\s)]*$`)
	syllabic    = regexp.MustCompile(`(?i)^(do|r[eé]|mi|fa|sol|la|si)\b ?(#|♯|sostenido|dièse|diesis|b\b|♭|bemolle|bemol|bémol)?`)
	roman       = regexp.MustCompile(`^[IVX]{1,4}\b`)
	keyName     = regexp.MustCompile(`^([A-Ha-h](?:is|es|s|#|b|♯|♭)?)(?:[\s-]*((?i:m|min|minor|moll|menor|mineur|minore|maj|major|dur|mayor|majeur|maggiore)))?\b`)
)

// alone reads "3/4 time", "waltz", "in Em" and "96 bpm".
func (h *heading) alone(text string) bool {
	if m := onlyTime.FindStringSubmatch(text); m != nil {
		return h.setMeter(m[1])
	}
	if m := inKey.FindStringSubmatch(text); m != nil {
		return h.setKey(m[1])
	}
	if m := onlyBPM.FindStringSubmatch(text); m != nil {
		return h.setTempo(m[1] + m[2])
	}
	return h.setFeel(text)
}

// setFeel reads the name of a dance that says its meter.
func (h *heading) setFeel(v string) bool {
	if !waltz.MatchString(v) {
		return false
	}
	if h.meter.Num == 0 {
		h.meter = meter.Meter{Num: 3, Den: 4}
	}
	return true
}

func (h *heading) setCapo(v string) bool {
	if m := digits.FindString(v); m != "" {
		n, err := strconv.Atoi(m)
		if err != nil || n > 11 {
			return false
		}
		h.capo = n
		return true
	}
	if r := roman.FindString(strings.ToUpper(strings.TrimPrefix(v, "on "))); r != "" {
		h.capo = map[string]int{"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7, "VIII": 8, "IX": 9, "X": 10, "XI": 11}[r]
		return h.capo > 0
	}
	v = strings.ToLower(v)
	return v == "" || strings.HasPrefix(v, "no") || strings.Contains(v, "fret")
}

func (h *heading) setKey(v string) bool {
	m := keyName.FindStringSubmatch(lettersOfKey(strings.TrimLeft(v, " :[(")))
	if m == nil {
		return false
	}
	mode := strings.ToLower(m[2])
	german := mode == "dur" || mode == "moll" || m[1][0] == 'H' || m[1][0] == 'h'
	n, ok := dialect{german: german, lower: true}.note(m[1])
	if !ok {
		return false
	}
	small := n[0] >= 'a'
	k, err := pitch.ParseKey(strings.ToUpper(n[:1]) + n[1:])
	if err != nil {
		return false
	}
	switch {
	case mode == "":
		k.Minor = small
	case strings.HasPrefix(mode, "m") && !strings.HasPrefix(mode, "maj") && mode != "mayor" && mode != "maggiore":
		k.Minor = true
	}
	k = k.Simplest()
	h.key = &k
	return true
}

// lettersOfKey writes a key named by its syllable, such as "Sol menor", in letters.
func lettersOfKey(v string) string {
	m := syllabic.FindStringSubmatch(v)
	if m == nil {
		return v
	}
	sign := ""
	switch strings.ToLower(m[2]) {
	case "#", "♯", "sostenido", "dièse", "diesis":
		sign = "#"
	case "b", "♭", "bemol", "bemolle", "bémol":
		sign = "b"
	}
	return letterOf.Replace(strings.ToUpper(m[1])) + sign + v[len(m[0]):]
}

func (h *heading) setTempo(v string) bool {
	t, err := meter.ParseTempo(digits.FindString(v))
	if err != nil {
		return false
	}
	h.tempo = t
	return true
}

func (h *heading) setMeter(v string) bool {
	m, err := meter.Parse(strings.Join(strings.Fields(fraction.FindString(v)), ""))
	if err != nil {
		return false
	}
	h.meter = m
	return true
}
