package pattern

import (
	"fmt"
	"io/fs"
	"sort"
	"strings"

	"undersong/internal/text/source"
)

// FileSuffix ends the name of every pattern file.
const FileSuffix = ".pattern"

// Catalogue is a set of patterns by name.
type Catalogue struct {
	byName map[string]*Pattern
	names  []string
}

// Load reads every pattern file at the root of files.
func Load(files fs.FS) (*Catalogue, error) {
	paths, err := fs.Glob(files, "*"+FileSuffix)
	if err != nil {
		return nil, err
	}
	c := &Catalogue{byName: map[string]*Pattern{}}
	for _, path := range paths {
		src, err := fs.ReadFile(files, path)
		if err != nil {
			return nil, err
		}
		p, err := Parse(src, path)
		if err != nil {
			return nil, err
		}
		if p.Name+FileSuffix != path {
			return nil, &source.Error{File: path, Reason: fmt.Sprintf("the pattern calls itself %q", p.Name), Hint: "a pattern's file bears its name"}
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

// Find takes a pattern's name, or the path of a pattern file, which ends in
// .pattern or holds a slash.
func (c *Catalogue) Find(nameOrPath string) (*Pattern, error) {
	if strings.HasSuffix(nameOrPath, FileSuffix) || strings.ContainsAny(nameOrPath, `/\`) {
		return ReadFile(nameOrPath)
	}
	if p, ok := c.byName[nameOrPath]; ok {
		return p, nil
	}
	hint := `"undersong patterns" lists them; a file of your own is named with its ending, as in mine.pattern`
	if near := source.Nearest(nameOrPath, c.names); near != "" {
		hint = fmt.Sprintf("did you mean %q? ", near) + hint
	}
	return nil, fmt.Errorf("there is no pattern %q; %s", nameOrPath, hint)
}

// ReadFile reads a pattern file from disk.
func ReadFile(path string) (*Pattern, error) {
	src, err := source.ReadFile(path, MaxSize)
	if err != nil {
		return nil, err
	}
	return Parse(src, path)
}
