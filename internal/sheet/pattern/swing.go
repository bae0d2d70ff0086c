package pattern

import (
	"fmt"
	"strconv"
	"strings"
)

// ParseSwing reads "straight", or long to short such as "2:1", from 1:1 to 4:1.
func ParseSwing(s string) (Swing, error) {
	s = strings.TrimSpace(s)
	if s == "straight" {
		return Swing{}, nil
	}
	swing, ok := ratio(s)
	if !ok {
		return Swing{}, fmt.Errorf("swing %q is neither straight nor long to short from 1:1 to 4:1, such as 2:1", short(s))
	}
	return swing, nil
}

func ratio(s string) (Swing, bool) {
	long, shortPart, colon := strings.Cut(strings.TrimSpace(s), ":")
	l, err1 := strconv.Atoi(long)
	n, err2 := strconv.Atoi(shortPart)
	ok := colon && err1 == nil && err2 == nil && n >= 1 && l >= n && l <= 4*n && l <= 99
	return Swing{l, n}, ok
}

const swingNeeds = "swing needs a grid of eighths or sixteenths in a simple meter"

// swings reports a grid whose notes come in pairs.
func (p *Pattern) swings() bool {
	return (p.Grid == Eighths || p.Grid == Sixteenths) && !p.Meter.Compound()
}

// Swung is the pattern with another swing, or straight. The error is a pattern
// whose grid has no pairs.
func (p *Pattern) Swung(s Swing) (*Pattern, error) {
	if !s.Straight() && !p.swings() {
		return nil, fmt.Errorf("pattern %q cannot be swung, since it counts in %s; %s", p.Name, p.Grid, swingNeeds)
	}
	c := *p
	c.Swing = s
	return &c, nil
}
