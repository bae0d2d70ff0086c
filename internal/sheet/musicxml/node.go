package musicxml

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// Bounds of a document, far beyond any score's.
const (
	mostDeep     = 64
	mostElements = 600_000
	mostInOne    = 150_000 // in a measure
)

// node is an element with all that is in it.
type node struct {
	name string
	attr []xml.Attr
	text string // trimmed; of an element without elements
	line int
	kids []*node
}

// child is the first element of a name, or nil.
func (n *node) child(name string) *node {
	if n != nil {
		for _, k := range n.kids {
			if k.name == name {
				return k
			}
		}
	}
	return nil
}

// has reports an element of a name.
func (n *node) has(name string) bool { return n.child(name) != nil }

// all are the elements of a name.
func (n *node) all(name string) (found []*node) {
	if n != nil {
		for _, k := range n.kids {
			if k.name == name {
				found = append(found, k)
			}
		}
	}
	return found
}

// get is the text of the first element of a name, or "".
func (n *node) get(name string) string {
	if k := n.child(name); k != nil {
		return k.text
	}
	return ""
}

// at is an attribute, or "".
func (n *node) at(name string) string {
	if n != nil {
		for _, a := range n.attr {
			if a.Name.Local == name {
				return strings.TrimSpace(a.Value)
			}
		}
	}
	return ""
}

// number is the text of an element as a number, of which the standard allows
// decimals.
func (n *node) number(name string) (float64, bool) {
	v, err := strconv.ParseFloat(n.get(name), 64)
	return v, err == nil && math.Abs(v) < 1e9
}

// whole is the text of an element as a whole number.
func (n *node) whole(name string) (int, bool) {
	v, ok := n.number(name)
	return int(math.Round(v)), ok
}

// parser reads elements one by one.
type parser struct {
	d        *xml.Decoder
	elements int
	depth    int
}

func newParser(text []byte) *parser {
	d := xml.NewDecoder(bytes.NewReader(text))
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil } // it is UTF-8 by now
	return &parser{d: d}
}

func (p *parser) line() int {
	line, _ := p.d.InputPos()
	return line
}

var (
	errEnd  = errors.New("the element ends")
	errDeep = fmt.Errorf("elements stand in one another more than %d deep", mostDeep)
	errMany = fmt.Errorf("there are more than %d elements", mostElements)
	errFull = fmt.Errorf("one measure has more than %d elements", mostInOne)
)

// mostAttributes is more than any element of a score has.
const mostAttributes = 200

// crowded finds a tag with more attributes than that, before a decoder makes room
// for them: the offset of its end, or -1.
func crowded(text []byte) int {
	attributes, quote, tag := 0, byte(0), false
	for i, c := range text {
		switch {
		case !tag:
			tag = c == '<' && i+1 < len(text) && text[i+1] != '!' && text[i+1] != '?'
			attributes = 0
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '>':
			tag = false
		case c == '=':
			if attributes++; attributes > mostAttributes {
				return i
			}
		}
	}
	return -1
}

// open reads to where the next element begins; errEnd where the one around ends
// first.
func (p *parser) open(around string) (*node, error) {
	for {
		t, err := p.d.RawToken()
		if err != nil {
			return nil, err
		}
		switch t := t.(type) {
		case xml.StartElement:
			return p.begin(t)
		case xml.EndElement:
			return nil, p.end(around, t)
		}
	}
}

func (p *parser) begin(t xml.StartElement) (*node, error) {
	p.depth++
	p.elements++
	switch {
	case p.depth > mostDeep:
		return nil, errDeep
	case p.elements > mostElements:
		return nil, errMany
	}
	return &node{name: t.Name.Local, attr: t.Attr, line: p.line()}, nil
}

// end is errEnd, or what is wrong with an end.
func (p *parser) end(around string, t xml.EndElement) error {
	if t.Name.Local != around {
		return fmt.Errorf("<%s> is ended by </%s>", brief(around), brief(t.Name.Local))
	}
	p.depth--
	return errEnd
}

// rest reads all that is in an element that has been opened.
func (p *parser) rest(n *node) error {
	from := p.elements
	return p.inside(n, from)
}

func (p *parser) inside(n *node, from int) error {
	var text []byte
	for {
		t, err := p.d.RawToken()
		if err != nil {
			return err
		}
		switch t := t.(type) {
		case xml.CharData:
			text = append(text, t...)
		case xml.EndElement:
			if n.kids == nil {
				n.text = strings.TrimSpace(string(text))
			}
			if err := p.end(n.name, t); err != errEnd {
				return err
			}
			return nil
		case xml.StartElement:
			k, err := p.begin(t)
			if err == nil && p.elements-from > mostInOne {
				err = errFull
			}
			if err == nil {
				err = p.inside(k, from)
			}
			if err != nil {
				return err
			}
			n.kids, text = append(n.kids, k), text[:0]
		}
	}
}
