// Package mxml is the elements of MusicXML as scores are written with them: note
// values, ties, tuplets and beams out of ticks, accidentals, chords, signatures,
// barlines and words. What it makes is valid in MusicXML 3.0 and later; comments
// name the standard's elements.
package mxml

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"

	"undersong/internal/music/meter"
)

// Divisions is the <divisions> of what is written: durations are ticks.
const Divisions = int(meter.Quarter)

// Element is an element with either text or elements in it.
type Element struct {
	Name string
	Attr []string // names and values in turn
	Text string
	Kids []Element
}

// Leaf is an element with text, or empty.
func Leaf(name, text string) Element { return Element{Name: name, Text: text} }

// Number is an element with a whole number.
func Number[T ~int](name string, n T) Element { return Leaf(name, strconv.Itoa(int(n))) }

// Group is an element with elements in it.
func Group(name string, kids ...Element) Element { return Element{Name: name, Kids: kids} }

// With is the element with another attribute.
func (e Element) With(name, value string) Element {
	e.Attr = append(e.Attr[:len(e.Attr):len(e.Attr)], name, value)
	return e
}

// Add puts elements into it, behind those that are there.
func (e *Element) Add(kids ...Element) { e.Kids = append(e.Kids, kids...) }

// doctype is that of version 3.0, which readers of any age know.
const doctype = `<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 3.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">`

// Document is the text of a <score-partwise>.
func Document(root Element) []byte {
	var w bytes.Buffer
	w.WriteString(`<?xml version="1.0" encoding="UTF-8"?>` + "\n" + doctype + "\n")
	root.write(&w, 0)
	return w.Bytes()
}

func (e Element) write(w *bytes.Buffer, depth int) {
	indent := strings.Repeat("  ", depth)
	w.WriteString(indent + "<" + e.Name)
	for i := 0; i+1 < len(e.Attr); i += 2 {
		w.WriteString(" " + e.Attr[i] + `="`)
		xml.EscapeText(w, []byte(e.Attr[i+1])) // a buffer takes all
		w.WriteString(`"`)
	}
	switch {
	case len(e.Kids) > 0:
		w.WriteString(">\n")
		for _, k := range e.Kids {
			k.write(w, depth+1)
		}
		w.WriteString(indent + "</" + e.Name + ">\n")
	case e.Text != "":
		w.WriteString(">")
		xml.EscapeText(w, []byte(e.Text))
		w.WriteString("</" + e.Name + ">\n")
	default:
		w.WriteString("/>\n")
	}
}
