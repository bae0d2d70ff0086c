// Package patterns carries the shipped pattern files inside the program.
package patterns

import (
	"embed"
	"fmt"
)

//go:embed *.pattern
var files embed.FS

// Texts are the shipped patterns, one text file each, by the files' names.
func Texts() map[string]string {
	entries, err := files.ReadDir(".")
	if err != nil {
		panic(fmt.Sprintf("the patterns in the program: %v", err))
	}
	texts := map[string]string{}
	for _, e := range entries {
		text, err := files.ReadFile(e.Name())
		if err != nil {
			panic(fmt.Sprintf("the patterns in the program: %v", err))
		}
		texts[e.Name()] = string(text)
	}
	return texts
}
