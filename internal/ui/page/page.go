// Package page makes files of HTML that print well from any browser: engraved
// pages, and sheets of a chart's words, bars and outline. A file needs nothing
// beside it, and the same music gives the same bytes.
package page

import (
	"fmt"
	"html"
	"regexp"
	"strings"
)

// Paper is a size by its name in CSS and in millimetres.
type Paper struct {
	Name          string
	Width, Height float64
}

// The papers.
var (
	A4     = Paper{"A4", 210, 297}
	Letter = Paper{"letter", 215.9, 279.4}
)

// document is a whole file.
func document(title string, p Paper, margin, css, body string) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n<title>%s</title>\n", html.EscapeString(title))
	fmt.Fprintf(&b, "<style>\n@page { size: %s portrait; margin: %s; }\n%s</style>\n</head>\n<body>\n%s</body>\n</html>\n", p.Name, margin, css, body)
	return []byte(b.String())
}

// fonts are the rules of an SVG that bring a font along.
var fonts = regexp.MustCompile(`(?s)<style type="text/css">(@font-face.*?)</style>\n?`)

// Engraved is a file of engraved pages, each an SVG with a viewBox.
func Engraved(title string, p Paper, pages []string) []byte {
	css := fmt.Sprintf(`body { margin: 0; background: #e4e4e4; }
.page { width: %gmm; height: %gmm; margin: 6mm auto; background: white; overflow: hidden; }
.page svg { width: 100%%; height: 100%%; }
@media print {
  body { background: none; }
  .page { margin: 0; break-after: page; }
  .page:last-child { break-after: auto; }
}
`, p.Width, p.Height)
	known := map[string]bool{}
	body := ""
	for _, svg := range pages {
		for _, m := range fonts.FindAllStringSubmatch(svg, -1) {
			if !known[m[1]] { // each font once for all pages
				known[m[1]] = true
				css += m[1] + "\n"
			}
		}
		body += "<div class=\"page\">\n" + fonts.ReplaceAllString(svg, "") + "</div>\n"
	}
	return document(title, p, "0", css, body)
}
