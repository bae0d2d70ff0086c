package musicxml

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"

	"undersong/internal/sheet/song"
)

// reader takes a score apart into parts and measures.
type reader struct {
	notices
	p      *parser
	text   []byte // of the whole document
	file   string
	packed bool

	head  header
	parts []*part
	byID  map[string]*part
	flow  []flow // by measure
	n     int    // measures of the longest part
	at    string // number of the measure that is being read
}

// part is one <part> while it is read and after.
type part struct {
	id, name string
	measures []*measure

	state // of what is being read
}

func newReader(src []byte, file string) *reader {
	r := &reader{file: file, byID: map[string]*part{}}
	text, ok := toUTF8(src)
	if ok {
		r.p, r.text = newParser(text), text
	}
	return r
}

// score reads the document.
func (r *reader) score() error {
	if r.p == nil {
		return r.failure(1, "the score is in an encoding that is not known here", "save it as UTF-8")
	}
	if at := crowded(r.text); at >= 0 {
		return r.failure(1+bytes.Count(r.text[:at], []byte("\n")), fmt.Sprintf("an element has more than %d attributes", mostAttributes), "")
	}
	root, err := r.p.open("")
	if err == nil {
		err = r.root(root)
	}
	return r.placed(err)
}

func (r *reader) root(root *node) error {
	var err error
	switch root.name {
	case "score-partwise":
		err = r.children("score-partwise", r.partwise)
	case "score-timewise":
		err = r.children("score-timewise", r.timewise)
	case "opus":
		return r.failure(root.line, "this is an opus: it names scores, and is none", "give one of the scores that it names")
	case "container":
		return r.failure(root.line, "this is the container of a compressed score, and no score", "give the .mxl file itself")
	default:
		return r.failure(root.line, fmt.Sprintf("this is XML, but no MusicXML score: it begins with <%s>", brief(root.name)), "a score begins with <score-partwise> or <score-timewise>")
	}
	switch {
	case err != nil:
		return err
	case len(r.parts) == 0:
		return r.failure(root.line, "the score has no part", "")
	case r.n == 0:
		return r.failure(root.line, "the score has no measure", "")
	}
	return nil
}

// placed gives what went wrong its place.
func (r *reader) placed(err error) error {
	var syntax *xml.SyntaxError
	where := ""
	if r.at != "" {
		where = "measure " + brief(r.at) + ": "
	}
	switch {
	case err == nil:
		return nil
	case errors.As(err, &syntax):
		return r.failure(syntax.Line, where+"this is no well-formed XML: "+syntax.Msg, "")
	case errors.Is(err, io.EOF):
		return r.failure(r.p.line(), where+"the file ends before the score does", "is it whole?")
	}
	var bad *fault
	if errors.As(err, &bad) {
		return r.failure(bad.line, where+bad.reason, "")
	}
	if _, told := err.(interface{ Show() string }); told {
		return err
	}
	return r.failure(r.p.line(), where+err.Error(), "")
}

// fault is something wrong at a line of the document.
type fault struct {
	line   int
	reason string
}

func (f *fault) Error() string { return f.reason }

func wrong(n *node, format string, args ...any) error {
	return &fault{n.line, fmt.Sprintf(format, args...)}
}

// children gives each element in one that is open to take, which reads it to its
// end.
func (r *reader) children(around string, take func(*node) error) error {
	for {
		n, err := r.p.open(around)
		if err == errEnd {
			return nil
		}
		if err == nil {
			err = take(n)
		}
		if err != nil {
			return err
		}
	}
}

// partwise takes a child of <score-partwise>.
func (r *reader) partwise(n *node) error {
	if n.name != "part" {
		return r.header(n)
	}
	p, err := r.part(n)
	if err != nil {
		return err
	}
	return r.children("part", func(m *node) error {
		r.enter(m, len(p.measures))
		if err := r.p.rest(m); err != nil || m.name != "measure" {
			return err
		}
		return r.measure(p, m, m, len(p.measures))
	})
}

// timewise takes a child of <score-timewise>.
func (r *reader) timewise(n *node) error {
	if n.name != "measure" {
		return r.header(n)
	}
	index := r.n
	r.enter(n, index)
	return r.children("measure", func(m *node) error {
		if err := r.p.rest(m); err != nil || m.name != "part" {
			return err
		}
		p, err := r.part(m)
		if err != nil {
			return err
		}
		return r.measure(p, n, m, index)
	})
}

// mostParts is more than any orchestra has.
const mostParts = 200

// part is the part of an id, made where it is new.
func (r *reader) part(n *node) (*part, error) {
	id := n.at("id")
	if p := r.byID[id]; p != nil {
		return p, nil
	}
	if len(r.parts) == mostParts {
		return nil, wrong(n, "the score has more than %d parts", mostParts)
	}
	p := &part{id: id, name: r.head.names[id], state: newState()}
	r.parts = append(r.parts, p)
	r.byID[id] = p
	return p, nil
}

// enter notes which measure is read.
func (r *reader) enter(m *node, index int) {
	if r.at = m.at("number"); r.at == "" {
		r.at = fmt.Sprint(index + 1)
	}
}

// measure reads one part's measure: frame has its number, inner its music.
func (r *reader) measure(p *part, frame, inner *node, index int) error {
	if index >= song.MostBars {
		return wrong(frame, "the score is longer than %d measures", song.MostBars)
	}
	m := &measure{number: frame.at("number"), implicit: frame.at("implicit") == "yes", line: frame.line}
	for len(p.measures) < index { // the part has nothing there
		p.measures = append(p.measures, &measure{})
	}
	p.measures = append(p.measures, m)
	for len(r.flow) <= index {
		r.flow = append(r.flow, flow{})
	}
	r.n = max(r.n, index+1)
	w := &walker{r: r, p: p, m: m, f: &r.flow[index]}
	return w.music(inner)
}
