// Command sensitivity tells which tuned numbers matter: it moves each number of
// a room's tuned.go by a fifth up and down, and sees what becomes of the rows of
// the room's accuracy table. Each move is a build of its own, with the moved
// table laid over the written one, so that the program keeps plain constants.
//
// Results are kept below .cache/sensitivity; a run that was broken off goes on
// where it was, as long as the room's table is the same.
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"
)

func main() {
	o := options{}
	flag.DurationVar(&o.most, "for", 0, "stop after this `time`, for instance 10m; call again to go on")
	flag.StringVar(&o.only, "only", "", "move numbers whose name matches this `expression` alone")
	flag.IntVar(&o.by, "by", 0, "measure so many `times` less than make accuracy does; 1 for all of it")
	flag.IntVar(&o.seeds, "seeds", 0, "seeds for the tables that take them")
	flag.BoolVar(&o.idle, "idle", false, "move those alone that changed nothing in an earlier run of less")
	flag.Usage = func() {
		fmt.Fprintf(flag.CommandLine.Output(), "usage: sensitivity [flags] [room ...]\nrooms: %s\n", strings.Join(roomNames(), " "))
		flag.PrintDefaults()
	}
	flag.Parse()
	chosen, unknown := roomsOf(flag.Args())
	if unknown != "" {
		fmt.Fprintf(os.Stderr, "no room %q has a table of tuned numbers: %s\n", unknown, strings.Join(roomNames(), ", "))
		os.Exit(2)
	}
	if err := run(o, chosen); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

type options struct {
	most      time.Duration
	only      string
	by, seeds int
	idle      bool
}

func run(o options, chosen []room) error {
	root, err := filepath.Abs(".")
	if err != nil {
		return err
	}
	if _, err := os.Stat(filepath.Join(root, "go.mod")); err != nil {
		return errors.New("call it at the top of the project, where go.mod is")
	}
	only, err := regexp.Compile(o.only)
	if err != nil {
		return fmt.Errorf("-only: %w", err)
	}
	b, err := newBench(root)
	if err != nil {
		return err
	}
	defer b.close()
	b.by, b.seeds = o.by, o.seeds
	deadline := time.Time{}
	if o.most > 0 {
		deadline = time.Now().Add(o.most)
	}
	for _, r := range chosen {
		if err := b.room(r, o, only, deadline); err != nil {
			return err
		}
	}
	return nil
}
