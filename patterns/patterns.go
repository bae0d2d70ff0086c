// Package patterns carries the shipped pattern files inside the program.
package patterns

import "embed"

// Files holds every shipped pattern, one text file each.
//
//go:embed *.pattern
var Files embed.FS
