package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"undersong/internal/ui/engraver"
	"undersong/internal/ui/page"
)

// engraverVariable names another engraving module, as --engraver does.
const engraverVariable = "UNDERSONG_ENGRAVER"

// engraved draws notes and writes the pages.
func (a *App) engraved(ctx context.Context, o *printOptions, title string, src []byte) error {
	pages, err := a.drawn(ctx, o, src)
	if err != nil {
		return err
	}
	if o.kind() == ".svg" {
		return a.writeSVG(o, pages)
	}
	if title == "" {
		title = titleOf(o.piece.chart)
	}
	return a.printHTML(ctx, o, page.Engraved(title, o.size(), pages), pages)
}

// drawn are the pages as SVG.
func (a *App) drawn(ctx context.Context, o *printOptions, src []byte) ([]string, error) {
	module, err := a.module(o.engraver)
	if err != nil {
		return nil, err
	}
	e, err := engraver.Open(ctx, engraver.Options{Module: module, Cache: a.CacheDir(), Progress: func() {
		fmt.Fprintln(a.Err, "making the engraver ready, once: this takes up to half a minute")
	}})
	if err != nil {
		return nil, err
	}
	paper := engraver.A4
	if o.paper == "letter" {
		paper = engraver.Letter
	}
	pages, err := e.Pages(ctx, src, paper)
	return pages, errors.Join(err, e.Close(ctx))
}

// module is the engraving module that the user names; nil for the one built in.
func (a *App) module(flag string) ([]byte, error) {
	path, what := flag, "--engraver"
	if path == "" {
		path, what = a.Getenv(engraverVariable), engraverVariable
	}
	if path == "" {
		return nil, nil
	}
	module, err := os.ReadFile(path)
	if err != nil {
		return nil, errorf("%s: %w", what, err)
	}
	return module, nil
}

// writeSVG writes the first page as it was named, and the others with their numbers.
func (a *App) writeSVG(o *printOptions, pages []string) error {
	var files []string
	for i := range pages {
		name := o.out
		if i > 0 {
			name = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(o.out, filepath.Ext(o.out)), i+1, filepath.Ext(o.out))
			if err := free("the page", name, o.force); err != nil {
				return err
			}
		}
		files = append(files, name)
	}
	for i, name := range files {
		if err := save("the page", name, pages[i], o.force); err != nil {
			return err
		}
	}
	return a.writeLine("written: " + strings.Join(files, ", "))
}

// printHTML writes a file of HTML, or has it printed to PDF.
func (a *App) printHTML(ctx context.Context, o *printOptions, html []byte, pages []string) error {
	if o.kind() == ".html" {
		return a.written(o, string(html))
	}
	pdf, err := engraver.PDF(ctx, html, pages)
	if errors.Is(err, engraver.ErrNoPDF) {
		return a.asHTML(o, html, err)
	}
	if err != nil {
		return err
	}
	return a.written(o, string(pdf))
}

// asHTML writes the page as HTML where a PDF cannot be made.
func (a *App) asHTML(o *printOptions, html []byte, why error) error {
	name := strings.TrimSuffix(o.out, filepath.Ext(o.out)) + ".html"
	if err := save("the page", name, string(html), o.force); err != nil {
		return err
	}
	return errorf("%w; %s is written instead: open it in any browser and print it from there, to a PDF too", why, name)
}
