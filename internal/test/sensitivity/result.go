package main

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// result is what came of one number moved one way.
type result struct {
	base    string // of the table before, see nameOfRows
	number  string
	from    string
	to      string
	better  float64 // points in a hundred, of all rows that went up together
	worse   float64 // of all that went down, above 0
	most    string  // the row that changed most
	heldBy  string  // the test that fails, where no row changed
	trouble string  // why there are no rows: it does not build, or does not end well
}

func (r *result) unchanged() bool { return r.trouble == "" && r.better == 0 && r.worse == 0 }

// idle reports a number that nothing holds.
func (r *result) idle() bool { return r.unchanged() && r.heldBy == "" }

// compare fills in how rows differ.
func (r *result) compare(before, after []row) {
	known := map[string]row{}
	for _, x := range before {
		known[x.name] = x
	}
	most := 0.0
	for _, x := range after {
		d := 100 * (x.share() - known[x.name].share())
		delete(known, x.name)
		if d > 0 {
			r.better += d
		} else {
			r.worse -= d
		}
		if math.Abs(d) > most {
			most, r.most = math.Abs(d), fmt.Sprintf("%s %+.3f", x.name, d)
		}
	}
	for name := range known {
		r.trouble = "no row " + name
	}
}

// String is what is told of a result.
func (r *result) String() string {
	switch {
	case r.trouble != "":
		return r.trouble
	case r.unchanged() && r.heldBy != "":
		return "no row, but " + r.heldBy
	case r.unchanged():
		return "nothing"
	}
	return fmt.Sprintf("better %.3f, worse %.3f (%s)", r.better, r.worse, r.most)
}

// store keeps results in a file, so that a run that was broken off goes on.
type store struct {
	path string
	have map[string]result
}

func key(base, number, from, to string) string {
	return strings.Join([]string{base, number, from, to}, "\t")
}

func openStore(path string) (*store, error) {
	s := &store{path: path, have: map[string]result{}}
	f, err := os.Open(path)
	if os.IsNotExist(err) {
		return s, os.MkdirAll(filepath.Dir(path), 0o755)
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		if r, ok := parseResult(lines.Text()); ok {
			s.have[key(r.base, r.number, r.from, r.to)] = r
		}
	}
	return s, lines.Err()
}

// parseResult reads a line back; one that was cut short is no result.
func parseResult(line string) (result, bool) {
	f := strings.Split(line, "\t")
	if len(f) != 8 {
		return result{}, false
	}
	better, err1 := strconv.ParseFloat(f[4], 64)
	worse, err2 := strconv.ParseFloat(f[5], 64)
	r := result{f[0], f[1], f[2], f[3], better, worse, f[6], f[7], ""}
	return r, err1 == nil && err2 == nil
}

func (r *result) line() string {
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	return strings.Join([]string{r.base, r.number, r.from, r.to, number(r.better), number(r.worse), r.most, r.heldBy}, "\t")
}

// put keeps a result. Trouble is told again the next time.
func (s *store) put(r result) error {
	s.have[key(r.base, r.number, r.from, r.to)] = r
	if r.trouble != "" {
		return nil
	}
	f, err := os.OpenFile(s.path, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	_, err = f.WriteString(r.line() + "\n")
	if bad := f.Close(); err == nil {
		err = bad
	}
	return err
}
