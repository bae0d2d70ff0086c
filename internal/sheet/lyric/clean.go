package lyric

import (
	"regexp"
	"strings"
	"unicode"
)

// row is a line of the sheet, made clean: spaces of one kind, tabs expanded, nothing
// that is not seen.
type row struct {
	num  int    // in the file, from 1
	text string // without spaces at its end
}

func (r row) blank() bool { return r.text == "" }

// tabStop is the distance of tab stops, in characters.
const tabStop = 8

// markup are the tags that pages leave in what is copied from their source; they take
// no room where they are shown.
var (
	markup = regexp.MustCompile(`</?(?:b|i|u|em|strong|span|pre|p|div|br|font|sup|a|tt|code|h[1-6]|hr|img|small|big|center)\b[^<>]{0,200}>|\[/?(?:ch|tab|url|code)\]`)
	styles = regexp.MustCompile(`\[/?[biu]\]`) // where one of them is closed: else [b] may be a chord
)

// entities are the signs that pages spell out, as the HTML standard names them.
var entities = strings.NewReplacer("&nbsp;", " ", "&#160;", " ", "&amp;", "&", "&lt;", "<", "&gt;", ">", "&quot;", `"`,
	"&#39;", "'", "&apos;", "'", "&lsquo;", "‘", "&rsquo;", "’", "&ldquo;", "“", "&rdquo;", "”", "&ndash;", "–", "&mdash;", "—",
	"&hellip;", "…", "&sharp;", "♯", "&flat;", "♭")

// clean makes the rows of a text, counting those that are too long for a song. Where all its lines are quoted or set apart by
// blank ones, as mail programs and browsers leave them, that is taken away.
func clean(text string, prose *tally) []row {
	lines := strings.Split(text, "\n")
	rows := make([]row, len(lines))
	for i, l := range lines {
		if len(l) > mostInLine {
			prose.at(i + 1)
			l = ""
		}
		rows[i] = row{i + 1, cleanLine(l)}
	}
	unquote(rows)
	untimed(rows)
	rows = parted(rows)
	return singleSpaced(rows)
}

func cleanLine(l string) string {
	if strings.ContainsAny(l, "<[") {
		l = markup.ReplaceAllString(l, "")
	}
	if strings.Contains(l, "[/") {
		l = styles.ReplaceAllString(l, "")
	}
	if strings.Contains(l, "&") {
		l = entities.Replace(l)
	}
	l = strings.ReplaceAll(l, `\[`, "[")
	var b strings.Builder
	col := 0
	for _, r := range l {
		switch {
		case r == '\t':
			n := tabStop - col%tabStop
			b.WriteString(strings.Repeat(" ", n))
			col += n
		case unicode.Is(unicode.Zs, r):
			b.WriteByte(' ')
			col++
		case r == '\u00AD' || unicode.Is(unicode.Cf, r) || unicode.IsControl(r):
		default:
			b.WriteRune(r)
			if !unicode.Is(unicode.M, r) {
				col++
			}
		}
	}
	return strings.TrimRight(b.String(), " ")
}

// columns is how many characters a text has: marks count with the letters they stand on.
func columns(s string) int {
	n := 0
	for _, r := range s {
		if !unicode.Is(unicode.M, r) {
			n++
		}
	}
	return n
}

// offset is the byte where the character at a column begins, or the end.
func offset(s string, col int) int {
	n := 0
	for i, r := range s {
		if unicode.Is(unicode.M, r) {
			continue
		}
		if n == col {
			return i
		}
		n++
	}
	return len(s)
}

// quotedRows is how many rows in a row bear "> " where a sheet is quoted.
const quotedRows = 4

// unquote takes "> " off rows that bear it all.
func unquote(rows []row) {
	for from := 0; from < len(rows); from++ {
		to := from
		for to < len(rows) && strings.HasPrefix(rows[to].text, ">") {
			to++
		}
		if to-from >= quotedRows || to-from == len(rows) {
			bare(rows[from:to])
		}
		from = to
	}
}

func bare(rows []row) {
	for i, r := range rows {
		if t, ok := strings.CutPrefix(r.text, "> "); ok {
			rows[i].text = t
		} else {
			rows[i].text = strings.TrimPrefix(r.text, ">")
		}
	}
}

var timed = regexp.MustCompile(`^\s*(?:\[\d{1,2}:\d\d(?:[.:]\d{1,3})?\]|\d{1,2}:\d\d(?:\s+|$))`)

// untimed takes the times of a recording off where several rows begin with one; those
// without brackets leave their room.
func untimed(rows []row) {
	n := 0
	for _, r := range rows {
		if timed.MatchString(r.text) {
			n++
		}
	}
	if n < 2 {
		return
	}
	for i, r := range rows {
		m := timed.FindString(r.text)
		rows[i].text = r.text[len(m):]
		if m != "" && !strings.Contains(m, "[") && rows[i].text != "" {
			rows[i].text = strings.Repeat(" ", len(m)) + rows[i].text
		}
	}
}

var several = regexp.MustCompile(`^\s*\{[A-Za-z_]+(?::[^{}]*)?\}(?:\s*\{[A-Za-z_]+(?::[^{}]*)?\})+$`)

// parted gives each instruction in braces a row of its own.
func parted(rows []row) []row {
	var out []row
	for _, r := range rows {
		if !several.MatchString(r.text) {
			out = append(out, r)
			continue
		}
		for _, d := range strings.SplitAfter(r.text, "}") {
			if d != "" {
				out = append(out, row{r.num, d})
			}
		}
	}
	return out
}

// singleSpaced takes one blank row of each gap where nearly every row has one below.
func singleSpaced(rows []row) []row {
	gaps, all := 0, 0
	for i, r := range rows[:len(rows)-1] {
		if !r.blank() {
			all++
			if rows[i+1].blank() {
				gaps++
			}
		}
	}
	if all < 6 || gaps*10 < all*9 {
		return rows
	}
	var out []row
	for i, r := range rows {
		if !r.blank() || i > 0 && rows[i-1].blank() {
			out = append(out, r)
		}
	}
	return out
}
