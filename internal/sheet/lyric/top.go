package lyric

import (
	"regexp"
	"strings"
)

var (
	byLine   = regexp.MustCompile(`(?i)^\W*(?:by|written by|words and music by|words & music by|music by|from the singing of)\s+(.+)$`)
	byName   = regexp.MustCompile(`(?i)^(?:trad\b|traditional|anon\b|volkslied|folk ?song|anonymous).*$`)
	inParens = regexp.MustCompile(`(?i)^(.{2,}?)\s*\((?:by\s+(.+)|(trad[^)]*))\)$`)
	titled   = regexp.MustCompile(`(?i)^(.{2,}?)\s+(?:[-–—|:]\s+|by\s+)(.+)$`)
	suffix   = regexp.MustCompile(`(?i)[\s(\[-]+(?:(?:guitar )?(?:chords?|tabs?|lyrics|akkorde|acordes|accords|acorde)(?:\s*(?:and|&|,)\s*)?)+[)\]]?$`)
	keyIn    = regexp.MustCompile(`^(.{2,}?\S) (?:in|en) ([A-Ha-h](?:is|es|s|#|b|♯|♭)?[ -](?i:dur|moll|major|minor|majeur|mineur|mayor|menor)|[A-H][#b♯♭]?m?)$`)
	timeAt   = regexp.MustCompile(`^(.*\pL)\s+(\d{1,2}/[248])$`)
	capoIn   = regexp.MustCompile(`(?i)[\s(\[-]*\bcapo\b[^)\]]*[)\]]?`)
)

// top reads the rows above the song: its title, who made it, and fields.
func (s *sheet) top(first int) {
	last := 0 // the row of the title
	for i, r := range s.rows[:first] {
		switch s.kinds[i] {
		case blank:
		case directiveRow:
			s.direct(r)
		case tabRow:
			s.tabs.at(r.num)
		case gripRow:
			s.grips.at(r.num)
		default:
			if s.field(r.text, r.num) {
				continue
			}
			if s.kinds[i] == asideRow || !s.titleOrBy(r, &last) {
				s.aside.at(r.num)
			}
		}
	}
	s.parts = nil
}

// longTitle is how many characters a title or a name has at most.
const longTitle = 80

func (s *sheet) titleOrBy(r row, last *int) bool {
	if talk.MatchString(r.text) {
		return false
	}
	text := undecorated(r.text)
	if m := capoIn.FindString(text); m != "" && s.heading.field(strings.Trim(m, " ([-])"), r.num) {
		text = strings.TrimSpace(strings.Replace(text, m, "", 1))
	}
	if m := inParen.FindStringSubmatchIndex(text); m != nil && m[0] > 0 && m[1] == len(text) && s.heading.field(text[m[2]:m[3]], r.num) {
		text = strings.TrimSpace(text[:m[0]])
	}
	if m := keyIn.FindStringSubmatch(text); m != nil && s.title == "" && s.heading.setKey(m[2]) {
		text = m[1]
	}
	if m := timeAt.FindStringSubmatch(text); m != nil && s.heading.setMeter(m[2]) {
		text = m[1]
	}
	text = suffix.ReplaceAllString(text, "")
	if text == "" || columns(text) > longTitle {
		return false
	}
	if m := byLine.FindStringSubmatch(text); m != nil {
		return set(&s.by, m[1])
	}
	switch {
	case s.title == "":
		*last = r.num
		if m := inParens.FindStringSubmatch(text); m != nil {
			set(&s.by, m[2]+m[3])
			text = m[1]
		}
		if m := titled.FindStringSubmatch(text); m != nil {
			set(&s.by, suffix.ReplaceAllString(m[2], ""))
			text = suffix.ReplaceAllString(m[1], "")
		}
		return set(&s.title, text)
	case s.by == "" && (byName.MatchString(text) || !strings.Contains(r.text, ":") && r.num-*last <= 2 && *last > 0 && len(strings.Fields(text)) <= 5):
		return set(&s.by, text)
	}
	return false
}
