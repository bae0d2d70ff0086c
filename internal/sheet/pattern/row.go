package pattern

import (
	"errors"
	"fmt"
	"strings"

	"undersong/internal/text/source"
)

func (p *parser) readRow(h Hand) error {
	pt := p.p
	text := p.lines[p.line]
	start := strings.IndexByte(text, ':') + 1
	want := 1
	if !pt.AnyMeter() {
		want = pt.CellsPerBar(pt.Meter)
	}
	bars := 0
	for offset := start; offset <= len(text); {
		end := strings.IndexByte(text[offset:], '|')
		if end < 0 {
			end = len(text)
		} else {
			end += offset
		}
		if err := p.readBar(h, offset, end, want); err != nil {
			return err
		}
		bars++
		offset = end + 1
	}
	if bars > MaxLength {
		return p.fail(start, fmt.Sprintf("a row of %d bars is too long", bars), fmt.Sprintf("a pattern has at most %d bars", MaxLength))
	}
	if pt.Length != 0 && pt.Length != bars {
		return p.fail(start, fmt.Sprintf("this hand has %d bars, the other %d", bars, pt.Length), "give both hands the same number of bars")
	}
	pt.Length = bars
	return nil
}

func (p *parser) readBar(h Hand, from, to, want int) error {
	words := source.Words(p.lines[p.line][from:to])
	for _, w := range words {
		c, err := parseCell(w.Text)
		var ce *cellError
		if errors.As(err, &ce) {
			return p.fail(from+w.Offset+ce.offset, ce.reason, formsFor(w.Text))
		}
		p.p.Rows[h] = append(p.p.Rows[h], c)
	}
	if len(words) == want {
		return nil
	}
	at := from
	if len(words) > want {
		at += words[want].Offset
	} else if len(words) > 0 {
		last := words[len(words)-1]
		at += last.Offset + len(last.Text)
	}
	unit := fmt.Sprintf("a bar of %s in %s", p.p.Meter, p.p.Grid)
	if p.p.AnyMeter() {
		unit = "a pattern for any meter"
	}
	return p.fail(at, fmt.Sprintf("%s has %d cells, here stand %d", unit, want, len(words)), "write . for a rest and - for a hold")
}

func (p *parser) checkRows() error {
	strikes := false
	for h, row := range p.p.Rows {
		for i, c := range row {
			strikes = strikes || c.Strikes()
			if err := p.checkGoOn(Hand(h), i, c); err != nil {
				return err
			}
			if err := p.checkTune(Hand(h), i, c); err != nil {
				return err
			}
			if c.Shape == Spread && !p.p.shares(Hand(h), i) {
				return p.failCell(Hand(h), i, "chs is one voicing for both hands", fmt.Sprintf("write chs at the same place of the %s hand, too, or cho for one hand", Hand(h).Other()))
			}
			if c.Kind == Hold && (i == 0 || row[i-1].Kind == GoOn) && !p.p.AnyMeter() && !p.heldOver(Hand(h)) {
				return p.failFirst(Hand(h), i)
			}
		}
	}
	if !strikes {
		return &source.Error{File: p.file, Reason: "the pattern strikes no note", Hint: `give a hand something to play, as in "left: 1 . 5 ."`}
	}
	return nil
}

// failFirst is a first cell that holds.
func (p *parser) failFirst(h Hand, i int) error {
	const reason, hint = "the first cell holds, but nothing was struck before it", "begin with a note or a rest"
	if i > 0 {
		return p.failCell(h, i, reason, hint)
	}
	p.line = p.seen[h.String()]
	return p.fail(0, reason, hint)
}

// failCell is a mistake in a hand's i-th cell.
func (p *parser) failCell(h Hand, i int, reason, hint string) error {
	p.line = p.seen[h.String()]
	text := p.lines[p.line]
	start := strings.IndexByte(text, ':') + 1
	words := source.Words(strings.ReplaceAll(text[start:], "|", " "))
	return p.fail(start+words[i].Offset, reason, hint)
}

// heldOver reports a row whose last cell sounds on, so that the first may hold
// it over the barline.
func (p *parser) heldOver(h Hand) bool {
	if p.p.Part != Accompaniment {
		return false // it is played once
	}
	row := p.p.Rows[h]
	for i := len(row) - 1; i > 0; i-- {
		if row[i].Kind != Hold {
			return row[i].Strikes()
		}
	}
	return false
}
