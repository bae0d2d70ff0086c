// Package house keeps the house in order, by tests alone: which wing may import
// which, that each room says what it is for, that who listens and judges leaves
// English and flags to the faces, and that whatever listens, judges and plays is
// pure, with all that it imports: no clock, no goroutine, no file.
package house
