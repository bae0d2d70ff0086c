package cli

import (
	"errors"
	"fmt"
	"os"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"undersong/internal/text/shell"
	"undersong/internal/text/source"
	"undersong/internal/text/visible"
)

// flagError says in plain words what is wrong with a flag.
func flagError(c *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	var bare *pflag.ValueRequiredError
	var invalid *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		return unknownFlag(c, unknown)
	case errors.As(err, &bare):
		return usagef("--%s wants %s after it (%s --help shows how)", bare.GetFlag().Name, wanted(bare.GetFlag()), c.CommandPath())
	case errors.As(err, &invalid):
		f := invalid.GetFlag()
		return usagef("--%s %q is not %s", f.Name, invalid.GetValue(), valueWords(f))
	}
	return asUsage(err)
}

func unknownFlag(c *cobra.Command, e *pflag.NotExistError) error {
	if letters := e.GetSpecifiedShortnames(); letters != "" {
		letter, _ := utf8.DecodeRuneInString(letters) // pflag's own name for it is a byte
		return usagef("there is no flag -%c%s (%s --help lists what there is)", letter, fileHint("-"+letters), c.CommandPath())
	}
	names := []string{"help"}
	if c.Version != "" {
		names = append(names, "version")
	}
	c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	text := "there is no flag --" + visible.Name(e.GetSpecifiedName())
	if near := source.Nearest(e.GetSpecifiedName(), names); near != "" {
		text += fmt.Sprintf("; did you mean --%s?", near)
	}
	return usagef("%s%s (%s --help lists what there is)", text, fileHint("--"+e.GetSpecifiedName()), c.CommandPath())
}

// fileHint says how a file is named that begins as flags do; it is empty where
// there is none.
func fileHint(name string) string {
	if _, err := os.Stat(name); err != nil {
		return ""
	}
	return "; the file of that name is written " + shell.File(name)
}

// valueWords say what a flag's value is.
func valueWords(f *pflag.Flag) string {
	switch f.Value.Type() {
	case "int":
		return "a whole number"
	case "uint64":
		return "a whole number from 0 up"
	case "bool":
		return "true or false; the flag alone is enough"
	}
	return wanted(f)
}

// wanted is what a flag's help calls its value.
func wanted(f *pflag.Flag) string {
	name, _ := pflag.UnquoteUsage(f)
	return name
}

// noEmptyFlag refuses flags with nothing after them, which a script with an
// empty variable writes.
func noEmptyFlag(c *cobra.Command) error {
	var err error
	c.Flags().Visit(func(f *pflag.Flag) {
		if err == nil && f.Value.Type() == "string" && f.Value.String() == "" {
			err = usagef("--%s is empty: it wants %s, or leave it out", f.Name, wanted(f))
		}
	})
	return err
}
