package engraver

import (
	"context"
	"fmt"
	"strings"
)

// Paper is the size of a page.
type Paper struct {
	Name          string // as in CSS
	Width, Height int    // tenths of a millimetre
}

// The papers.
var (
	A4     = Paper{"A4", 2100, 2970}
	Letter = Paper{"letter", 2159, 2794}
)

// look are the options of verovio for a page: a staff of 6 mm, the text font of
// known widths, systems that end with the lines of the chart where they are full
// enough, and names that do not depend on chance.
func look(p Paper) map[string]any {
	return map[string]any{
		"pageWidth": p.Width, "pageHeight": p.Height, "scale": 100, "unit": 7.6,
		"pageMarginTop": 100, "pageMarginBottom": 80, "pageMarginLeft": 130, "pageMarginRight": 130,
		"breaks": "smart", "breaksSmartSb": 0.55, "breaksNoWidow": true, "minLastJustification": 0.6,
		"header": "auto", "footer": "none", "condense": "none",
		"fontTextLiberation": true, "lyricWordSpace": 2.5, "lyricSize": 4.6, "lyricTopMinMargin": 4, "lyricVerseCollapse": true,
		"spacingSystem": 5, "spacingStaff": 10, "spacingBraceGroup": 9, "bottomMarginHeader": 6,
		"mnumInterval": 0, "svgViewBox": true, "svgRemoveXlink": true, "xmlIdSeed": 1, "outputIndent": 1,
	}
}

// Pages draws MusicXML on paper: one SVG a page.
func (e *Engraver) Pages(ctx context.Context, src []byte, p Paper) ([]string, error) {
	if err := e.read(ctx, src, p); err != nil {
		return nil, err
	}
	n, err := e.call(ctx, pageCount, e.toolkit)
	if err != nil {
		return nil, err
	}
	var all []string
	for i := range n {
		svg, err := e.text(e.call(ctx, renderPage, e.toolkit, i+1, 0))
		if err != nil {
			return nil, err
		}
		all = append(all, finished(svg, p, i == 0))
	}
	return all, nil
}

// read lays the music out.
func (e *Engraver) read(ctx context.Context, src []byte, p Paper) error {
	if err := e.set(ctx, look(p)); err != nil {
		return err
	}
	if _, err := e.call(ctx, seed, e.toolkit, 1); err != nil {
		return err
	}
	ok, err := e.with(ctx, load, string(src))
	if err == nil && ok&1 == 0 {
		log, _ := e.text(e.call(ctx, readLog, e.toolkit))
		err = fmt.Errorf("the engraver does not read this: %s", strings.TrimSpace(log))
	}
	return err
}

// Timemap is verovio's own list of what sounds when, as JSON.
func (e *Engraver) Timemap(ctx context.Context, src []byte) (string, error) {
	if err := e.read(ctx, src, A4); err != nil {
		return "", err
	}
	at, err := e.with(ctx, timemap, `{"includeMeasures":true}`)
	return e.text(at, err)
}
