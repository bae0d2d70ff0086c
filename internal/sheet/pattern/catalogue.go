package pattern

import (
	"fmt"
	"maps"
	"slices"
	"sort"

	"undersong/internal/text/source"
)

// FileSuffix ends the name of every pattern file.
const FileSuffix = ".pattern"

// Catalogue is a set of patterns by name.
type Catalogue struct {
	byName map[string]*Pattern
	names  []string
}

// Load reads the texts of pattern files, which are given by the files' names.
func Load(texts map[string]string) (*Catalogue, error) {
	c := &Catalogue{byName: map[string]*Pattern{}}
	for _, file := range slices.Sorted(maps.Keys(texts)) {
		p, err := Parse([]byte(texts[file]), file)
		if err != nil {
			return nil, err
		}
		if p.Name+FileSuffix != file {
			return nil, &source.Error{File: file, Reason: fmt.Sprintf("the pattern calls itself %q", p.Name), Hint: "a pattern's file bears its name"}
		}
		c.byName[p.Name] = p
		c.names = append(c.names, p.Name)
	}
	sort.Strings(c.names)
	return c, nil
}

// All lists the patterns by name.
func (c *Catalogue) All() []*Pattern {
	all := make([]*Pattern, len(c.names))
	for i, n := range c.names {
		all[i] = c.byName[n]
	}
	return all
}

// Of lists the patterns for a part of a piece by name.
func (c *Catalogue) Of(part Part) []*Pattern {
	var all []*Pattern
	for _, p := range c.All() {
		if p.Part == part {
			all = append(all, p)
		}
	}
	return all
}

// Find finds a pattern by its name.
func (c *Catalogue) Find(name string) (*Pattern, error) {
	if p, ok := c.byName[name]; ok {
		return p, nil
	}
	hint := `"undersong patterns" lists them; a file of your own is named with its ending, as in mine.pattern`
	if near := source.Nearest(name, c.names); near != "" {
		hint = fmt.Sprintf("did you mean %q? ", near) + hint
	}
	return nil, fmt.Errorf("there is no pattern %q; %s", name, hint)
}
