package engraver

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"time"
)

// ErrNoPDF is a machine without a program that makes PDF.
var ErrNoPDF = errors.New("neither Chromium, Chrome or Edge nor rsvg-convert is here to make a PDF")

// browsers are those that print to PDF, by the names of their programs.
var browsers = strings.Fields("chromium chromium-browser google-chrome google-chrome-stable microsoft-edge")

// converter makes PDF of SVG.
const converter = "rsvg-convert"

// patience is how long a program may take.
const patience = 2 * time.Minute

// PDF has a file of HTML printed by a browser, which takes the fonts that come with
// it; without one the pages, where there are any, by rsvg-convert. The time at which
// it is made is left out, so that the same pages give the same bytes.
func PDF(ctx context.Context, html []byte, pages []string) ([]byte, error) {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	dir, err := os.MkdirTemp("", "undersong-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	out := filepath.Join(dir, "out.pdf")
	for _, name := range browsers {
		if path, err := exec.LookPath(name); err == nil {
			return printed(ctx, path, dir, out, html)
		}
	}
	path, err := exec.LookPath(converter)
	if err != nil || len(pages) == 0 {
		return nil, ErrNoPDF
	}
	return converted(ctx, path, dir, out, pages)
}

func printed(ctx context.Context, browser, dir, out string, html []byte) ([]byte, error) {
	src := filepath.Join(dir, "in.html")
	if err := os.WriteFile(src, html, 0o600); err != nil {
		return nil, err
	}
	args := []string{"--headless", "--disable-gpu", "--no-pdf-header-footer", "--user-data-dir=" + filepath.Join(dir, "profile"), "--print-to-pdf=" + out}
	if os.Geteuid() == 0 {
		args = append(args, "--no-sandbox") // which it refuses to make for root
	}
	return made(exec.CommandContext(ctx, browser, append(args, "file://"+filepath.ToSlash(src))...), out)
}

func converted(ctx context.Context, path, dir, out string, pages []string) ([]byte, error) {
	args := []string{"-f", "pdf", "-o", out}
	for i, svg := range pages {
		src := filepath.Join(dir, fmt.Sprintf("%d.svg", i))
		if err := os.WriteFile(src, []byte(svg), 0o600); err != nil {
			return nil, err
		}
		args = append(args, src)
	}
	return made(exec.CommandContext(ctx, path, args...), out)
}

// times are those that a PDF says it was made at.
var times = regexp.MustCompile(`D:\d{14}`)

// made runs a program and reads what it makes.
func made(c *exec.Cmd, out string) ([]byte, error) {
	said, err := c.CombinedOutput()
	if err != nil {
		first, _, _ := strings.Cut(strings.TrimSpace(string(said)), "\n")
		return nil, fmt.Errorf("%s: %w: %s", filepath.Base(c.Path), err, first)
	}
	pdf, err := os.ReadFile(out)
	if err != nil {
		return nil, fmt.Errorf("%s made no PDF: %w", filepath.Base(c.Path), err)
	}
	return times.ReplaceAll(pdf, []byte("D:20000101000000")), nil
}
