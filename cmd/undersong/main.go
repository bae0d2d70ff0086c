// Undersong is a teacher's listening ear for piano practice at home.
package main

import (
	"os"

	"undersong/internal/ui/cli"
)

func main() { os.Exit(cli.Main(os.Args[1:])) }
