// Package rooms holds no code. Its test keeps the house in order: which package
// may import which, and that the listening core reads no clock, starts no
// goroutine and opens no file.
package house
