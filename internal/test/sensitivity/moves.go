package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"regexp"
	"strings"
	"time"
)

// room moves every number of a room both ways, and tells what came of it.
func (b *bench) room(r room, o options, only *regexp.Regexp, deadline time.Time) error {
	numbers, err := numbersIn(b.tuned(r))
	if err != nil {
		return err
	}
	folder := filepath.Join(b.root, ".cache", "sensitivity")
	name := strings.ReplaceAll(r.name, "/", "-")
	quick, err := openStore(filepath.Join(folder, name+".tsv"))
	if err != nil {
		return err
	}
	kept := quick
	if o.by > 0 || o.seeds > 0 {
		if kept, err = openStore(filepath.Join(folder, fmt.Sprintf("%s-by%d-seeds%d.tsv", name, o.by, o.seeds))); err != nil {
			return err
		}
	}
	before, err := b.rows(r, nil, "")
	if err != nil {
		return err
	}
	base := nameOfRows(before)
	fmt.Printf("%s: %d numbers, %d rows (table %s)\n", r.name, len(numbers), len(before), base)
	t := tally{}
	for _, n := range numbers {
		if !only.MatchString(n.name) || o.idle && !quick.idle(n) {
			continue
		}
		both, err := b.bothWays(r, n, before, kept, deadline)
		if err != nil {
			return err
		}
		t.add(both)
		if len(both) == 2 {
			fmt.Printf("  %-34s %8s   to %s: %s\n  %-34s %8s   to %s: %s\n", n.name, n.text, both[0].to, &both[0], "", "", both[1].to, &both[1])
		}
	}
	fmt.Println(t.String())
	return nil
}

// bothWays moves a number up and down; less than two results say that the time
// is over.
func (b *bench) bothWays(r room, n number, before []row, kept *store, deadline time.Time) ([]result, error) {
	var both []result
	for _, up := range []bool{true, false} {
		to := n.moved(up)
		got, ok := kept.have[key(nameOfRows(before), n.name, n.text, to)]
		if !ok {
			if !deadline.IsZero() && time.Now().After(deadline) {
				return both, nil
			}
			var err error
			if got, err = b.move(r, n, to, before); err != nil {
				return nil, err
			}
			if err := kept.put(got); err != nil {
				return nil, err
			}
		}
		both = append(both, got)
	}
	return both, nil
}

// move measures one number moved one way.
func (b *bench) move(r room, n number, to string, before []row) (result, error) {
	got := result{base: nameOfRows(before), number: n.name, from: n.text, to: to}
	after, err := b.rows(r, &n, to)
	if err != nil {
		got.trouble = err.Error()
		if !errors.Is(err, errBuild) {
			fmt.Printf("  %s to %s: %v\n", n.name, to, err)
		}
		return got, nil
	}
	got.compare(before, after)
	if got.unchanged() {
		got.heldBy, err = b.heldBy(r, n, to)
	}
	return got, err
}

// idle reports that nothing held a number either way, whatever the table was.
func (s *store) idle(n number) bool {
	ways := map[string]bool{}
	for _, r := range s.have {
		if r.number == n.name && r.from == n.text && r.idle() {
			ways[r.to] = true
		}
	}
	return ways[n.moved(true)] && ways[n.moved(false)]
}

// tally counts numbers by what a move does.
type tally struct{ idle, tests, worse, better, open int }

func (t *tally) add(both []result) {
	if len(both) < 2 {
		t.open++
		return
	}
	up, down := &both[0], &both[1]
	switch {
	case up.idle() && down.idle():
		t.idle++
	case up.unchanged() && down.unchanged():
		t.tests++
	case up.onlyBetter() || down.onlyBetter():
		t.better++
	default:
		t.worse++
	}
}

// onlyBetter reports a move that no row was worse for.
func (r *result) onlyBetter() bool { return r.trouble == "" && r.better > 0 && r.worse == 0 }

func (t *tally) String() string {
	return fmt.Sprintf("  change nothing either way: %d; no row, but a test holds them: %d; only better one way: %d; the rest: %d; not moved yet: %d",
		t.idle, t.tests, t.better, t.worse, t.open)
}
