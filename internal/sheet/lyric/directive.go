package lyric

import (
	"regexp"
	"strings"
)

// environments are the parts that directives open and close, by their short names.
var environments = map[string]string{
	"c": "chorus", "v": "verse", "b": "bridge", "t": "tab", "g": "grid",
}

// environment is what a directive opens, such as "chorus" for start_of_chorus and
// soc, or "end" for what closes one.
func environment(word string) (env string, ends bool) {
	word = strings.ToLower(word)
	if rest, ok := strings.CutPrefix(word, "start_of_"); ok {
		return rest, false
	}
	if strings.HasPrefix(word, "end_of_") {
		return "", true
	}
	if len(word) == 3 && word[1] == 'o' && environments[word[2:]] != "" {
		return map[byte]string{'s': environments[word[2:]]}[word[0]], word[0] == 'e'
	}
	return "", false
}

var label = regexp.MustCompile(`label\s*=\s*"([^"]*)"`)

// direct does what a directive in braces says.
func (s *sheet) direct(r row) {
	m := directive.FindStringSubmatch(r.text)
	word, value := strings.ToLower(m[1]), m[2]
	env, ends := environment(word)
	switch {
	case env == "tab":
		s.inTab = true
	case env != "":
		if l := label.FindStringSubmatch(value); l != nil {
			value = l[1]
		}
		s.environment(env, value, r.num)
	case ends:
		s.inTab = false
		if last := len(s.parts) - 1; last >= 0 {
			s.parts[last].closed = true
		}
	case remark(word):
		if h, ok := sectionName(value, s.allChords); ok && h.rest == "" {
			s.open(h, r.num, true)
		} else if !s.field(value, r.num) {
			s.aside.at(r.num)
		}
	case word == "define", word == "chord":
		s.grips.at(r.num)
	default:
		if h, ok := named(strings.ToUpper(word[:1]) + word[1:]); ok {
			s.open(h, r.num, true)
		} else if !s.field(word+": "+value, r.num) {
			s.orders.at(r.num)
		}
	}
}

// remark reports an instruction that shows a text.
func remark(word string) bool {
	switch strings.ToLower(word) {
	case "comment", "c", "ci", "cb", "comment_italic", "comment_box", "highlight":
		return true
	}
	return false
}

// environment opens the part of a directive.
func (s *sheet) environment(env, value string, line int) {
	h := header{name: strings.Trim(value, decoration), times: 1, kind: kindOf[env]}
	if n, ok := named(value); ok {
		h = n
	}
	if h.kind == "" {
		h.kind = "part"
	}
	if h.name == "" && env != "grid" {
		h.name = strings.ToUpper(env[:1]) + env[1:]
	}
	s.open(h, line, true)
}
