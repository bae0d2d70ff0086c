// Package house holds no code. Its tests keep the house in order: which wing may
// import which, and that whatever listens, judges and plays is pure, with all that
// it imports: no clock, no goroutine, no file.
package house
