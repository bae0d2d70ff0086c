package lyric

import "regexp"

var (
	// talk is what people write over a song that they send: a greeting, what is quoted,
	// a sentence.
	talk = regexp.MustCompile(`(?i:^\W*(?:hi|hello|hey|dear|hallo|lieber?|moin|hola|ciao|bonjour|salut)\b.*[,!]$|\b(?:wrote|writes|schrieb|escribió|écrit|scritto)\s?:$)|` +
		`^\s*>|^(?:\S+\s+){5,}\S+[.:;,]$|^(?:\S+\s+){3,}\w{3,}[.?!] [A-Z]\w*(?: \w+){2,}`)
	// farewell begins the end of a letter (common practice, no source); two dashes begin
	// the signature of a mail (RFC 3676, section 4.3).
	farewell = regexp.MustCompile(`(?i)^\W*(?:cheers|(?:best|kind|warm)? ?(?:regards|wishes)|all the best|(?:many )?thanks|thank you|enjoy|have fun|(?:viele|liebe|beste) grüße|lg|mfg|gruß|saludos|un abrazo|cordialement|saluti)(?:,? \w+)?\W*$|^--$`)
)

// farewells passes over the end of a letter or a page below the song: no chords follow it.
func (s *sheet) farewells() {
	at := len(s.kinds)
	for i := len(s.kinds) - 1; i > 0 && s.kinds[i] != chordRow && s.kinds[i] != inlineRow; i-- {
		if s.kinds[i-1] == blank && farewell.MatchString(s.rows[i].text) || chrome.MatchString(s.rows[i].text) {
			at = i
		}
	}
	for i := at; i < len(s.kinds); i++ {
		if s.kinds[i] != blank {
			s.kinds[i] = asideRow
		}
	}
}
