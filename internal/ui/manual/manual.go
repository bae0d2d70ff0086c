// Package manual is the program's manual: a page of Markdown for each thing that
// a musician looks for, read in the repository as it is, and in a terminal as
// plain text.
package manual

import (
	"embed"
	"strings"
)

//go:embed *.md
var files embed.FS

// names are the topics, in the order in which a musician meets them.
var names = strings.Fields("practising mistakes by-ear basses patterns sounding printing hearing reviewing " +
	"song-sheets charts tunes writing-patterns capturing keyboards caution accuracy json installing")

// Topic is one page.
type Topic struct {
	Name    string // what one asks for, such as "by-ear"
	Summary string // what it is about: the page's first paragraph, one line
	page    string // Markdown
}

// Topics are all pages, in the order in which a musician meets them.
func Topics() []Topic {
	var all []Topic
	for _, name := range names {
		t, _ := Find(name)
		all = append(all, t)
	}
	return all
}

// Find is the page of that name.
func Find(name string) (Topic, bool) {
	page, err := files.ReadFile(name + ".md")
	if err != nil {
		return Topic{}, false
	}
	paragraphs := strings.SplitN(string(page), "\n\n", 3)
	return Topic{Name: name, Summary: inline(paragraphs[1]), page: string(page)}, true
}

// Text is the page as plain text, in lines of at most width columns but where a
// word or an example is longer.
func (t Topic) Text(width int) string { return render(t.page, width) }
