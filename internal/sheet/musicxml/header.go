package musicxml

import (
	"slices"
	"strconv"
	"strings"
)

// header is what stands before the music.
type header struct {
	work, movement string
	creators       [][2]string // type and name
	credits        []credit
	names          map[string]string // of parts by their id
	fields         map[string]string // <miscellaneous-field> by name
}

// credit is text on the first page.
type credit struct {
	kinds []string // <credit-type>
	text  string
	size  float64
	right bool
}

// header takes an element before the music.
func (r *reader) header(n *node) error {
	if err := r.p.rest(n); err != nil {
		return err
	}
	h := &r.head
	switch n.name {
	case "work":
		h.work = oneLine(n.get("work-title"))
	case "movement-title":
		h.movement = oneLine(n.text)
	case "identification":
		for _, c := range n.all("creator") {
			h.creators = append(h.creators, [2]string{strings.ToLower(c.at("type")), oneLine(c.text)})
		}
		h.fields = map[string]string{}
		for _, f := range n.child("miscellaneous").all("miscellaneous-field") {
			h.fields[f.at("name")] = f.text
		}
	case "credit":
		h.credit(n)
	case "part-list":
		h.names = map[string]string{}
		for _, p := range n.all("score-part") {
			h.names[p.at("id")] = oneLine(p.get("part-name"))
		}
	}
	return nil
}

// oneLine takes line ends out of a text.
func oneLine(s string) string {
	return strings.TrimSpace(strings.NewReplacer("\r", " ", "\n", " ", "\t", " ").Replace(s))
}

func (h *header) credit(n *node) {
	if page := n.at("page"); page != "" && page != "1" {
		return
	}
	var c credit
	for _, k := range n.all("credit-type") {
		c.kinds = append(c.kinds, strings.ToLower(k.text))
	}
	for i, w := range n.all("credit-words") {
		c.text = strings.TrimSpace(c.text + " " + oneLine(w.text))
		if i == 0 {
			c.size, _ = strconv.ParseFloat(w.at("font-size"), 64)
			c.right = w.at("justify") == "right" || w.at("halign") == "right"
		}
	}
	if c.text != "" {
		h.credits = append(h.credits, c)
	}
}

// title is the work's and the movement's title, or what is printed as one.
func (h *header) title() string {
	switch {
	case h.work != "" && h.movement != "" && h.work != h.movement:
		return h.work + ": " + h.movement
	case h.work+h.movement != "":
		return max(h.work, h.movement)
	}
	largest := credit{}
	for _, c := range h.credits {
		if slices.Contains(c.kinds, "title") {
			return c.text
		}
		if len(c.kinds) == 0 && !c.right && c.size > largest.size {
			largest = c
		}
	}
	return largest.text
}

// authors are the <creator type="..."> that a song is by, the first that is there.
var authors = []string{"composer", "lyricist", "poet", "arranger", ""}

// by is who made the song.
func (h *header) by() string {
	for _, kind := range authors {
		for _, c := range h.creators {
			if c[0] == kind && c[1] != "" {
				return c[1]
			}
		}
	}
	for _, c := range h.credits {
		if slices.Contains(c.kinds, "composer") || len(c.kinds) == 0 && c.right {
			return c.text
		}
	}
	for _, c := range h.creators {
		if c[1] != "" {
			return c[1]
		}
	}
	return ""
}
