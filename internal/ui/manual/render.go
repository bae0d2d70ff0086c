package manual

import (
	"regexp"
	"strings"

	"undersong/internal/text/wording"
)

// What the pages use of Markdown, each at the beginning of a line:
//
//	# Heading       of any depth
//	- item          its further lines indented by two
//	| cell | cell |  a table; \| within a cell
//	```             examples, to the next such line
//	<!-- -->        remarks for the tests of the pages; one line each
//
// and anything else in paragraphs. In a line there are `code` and [links](to.md).

// indent stands before all but headings, and once more before examples.
const indent = "  "

// render draws a page.
func render(page string, width int) string {
	var out []string
	lines := strings.Split(strings.TrimSpace(page), "\n")
	for len(lines) > 0 {
		n, block := next(lines, width-len(indent))
		lines = lines[n:]
		if len(block) > 0 {
			if len(out) > 0 {
				out = append(out, "")
			}
			out = append(out, block...)
		}
	}
	return strings.Join(out, "\n") + "\n"
}

// next draws the block that lines begin with, and tells how many lines it has.
// Empty lines and remarks are blocks that draw nothing.
func next(lines []string, width int) (n int, block []string) {
	first := lines[0]
	switch {
	case strings.TrimSpace(first) == "", strings.HasPrefix(first, remark):
		return 1, nil
	case strings.HasPrefix(first, "#"):
		return 1, []string{inline(strings.TrimLeft(first, "# "))}
	case strings.HasPrefix(first, fence):
		n = 1 + run(lines[1:], func(l string) bool { return !strings.HasPrefix(l, fence) })
		return min(n+1, len(lines)), indented(indented(lines[1:n]))
	case strings.HasPrefix(first, row):
		n = run(lines, func(l string) bool { return strings.HasPrefix(l, row) })
		return n, indented(table(lines[:n], width))
	case strings.HasPrefix(first, item):
		n = run(lines, func(l string) bool { return strings.HasPrefix(l, item) || strings.HasPrefix(l, "  ") })
		return n, indented(list(lines[:n], width))
	}
	n = 1 + run(lines[1:], func(l string) bool { return strings.TrimSpace(l) != "" && !other.MatchString(l) })
	return n, indented(wording.Wrap(inline(strings.Join(lines[:n], " ")), width))
}

// What blocks begin with that are no paragraphs.
const (
	remark = "<!--"
	fence  = "```"
	row    = "|"
	item   = "- "
)

var other = regexp.MustCompile("^(#|- |\\||<!--|```)")

// run is how many lines there are before the first that is not like that.
func run(lines []string, like func(string) bool) int {
	for i, l := range lines {
		if !like(l) {
			return i
		}
	}
	return len(lines)
}

func indented(lines []string) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = strings.TrimRight(indent+l, " ")
	}
	return out
}

// list draws items, their further lines under the first.
func list(lines []string, width int) []string {
	var out []string
	for len(lines) > 0 {
		n := 1 + run(lines[1:], func(l string) bool { return !strings.HasPrefix(l, item) })
		text := inline(strings.Join(lines[:n], " ")[len(item):])
		for i, l := range wording.Wrap(text, width-len(item)) {
			mark := item
			if i > 0 {
				mark = "  "
			}
			out = append(out, mark+l)
		}
		lines = lines[n:]
	}
	return out
}

var (
	link = regexp.MustCompile(`\[([^\]]*)\]\([^)]*\)`)
	code = regexp.MustCompile("`([^`]*)`")
)

// inline drops the marks within a line: of a link its words stay.
func inline(s string) string {
	return code.ReplaceAllString(link.ReplaceAllString(s, "$1"), "$1")
}

// gap is between the columns of a table.
const gap = "  "

// table draws rows as columns: the widest are made narrower until all fit. The
// second row is Markdown's line of dashes.
func table(rows []string, width int) []string {
	var cells [][]string
	for i, row := range rows {
		if i != 1 {
			cells = append(cells, split(row))
		}
	}
	if strings.Join(cells[0], "") == "" { // a table without a heading
		cells = cells[1:]
	}
	widths := fit(cells, width)
	var out []string
	for _, row := range cells {
		out = append(out, drawRow(row, widths)...)
	}
	return out
}

// split takes a row apart.
func split(row string) []string {
	const bar = "\x00"
	row = strings.Trim(strings.ReplaceAll(strings.TrimSpace(row), `\|`, bar), "|")
	var cells []string
	for _, c := range strings.Split(row, "|") {
		cells = append(cells, inline(strings.TrimSpace(strings.ReplaceAll(c, bar, "|"))))
	}
	return cells
}

// leastColumn is how narrow a column of a table may become.
const leastColumn = 8

// fit chooses the columns' widths.
func fit(cells [][]string, width int) []int {
	widths := make([]int, len(cells[0]))
	sum := len(gap) * (len(widths) - 1)
	for i := range widths {
		for _, row := range cells {
			if i < len(row) {
				widths[i] = max(widths[i], wording.Width(row[i]))
			}
		}
		sum += widths[i]
	}
	for ; sum > width; sum-- {
		widest := 0
		for i := range widths {
			if widths[i] > widths[widest] {
				widest = i
			}
		}
		if widths[widest] <= leastColumn {
			break
		}
		widths[widest]--
	}
	return widths
}

// drawRow draws a row, of as many lines as its longest cell has.
func drawRow(row []string, widths []int) []string {
	var out []string
	wrapped := make([][]string, len(widths))
	for i := range widths {
		if i < len(row) {
			wrapped[i] = wording.Wrap(row[i], widths[i])
		}
	}
	for n, more := 0, true; more; n++ {
		line := ""
		more = false
		for i, cell := range wrapped {
			part := ""
			if n < len(cell) {
				part = cell[n]
			}
			more = more || n+1 < len(cell)
			line += part + strings.Repeat(" ", max(0, widths[i]-wording.Width(part))) + gap
		}
		out = append(out, strings.TrimRight(line, " "))
	}
	return out
}
