// Lesson judges the lessons that come in and writes what the engine knows of
// them: the part of the wasm tests that is built as WebAssembly.
package main

import (
	"fmt"
	"os"

	"undersong/internal/test/wasm"
)

func main() {
	if err := wasm.Judge(os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
