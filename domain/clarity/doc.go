// Package clarity judges the alcohol test for pectin: which recipe was used, what
// the tube and its control looked like and when, and so whether the juice may go
// on. The verdict is calculated, never typed, and every doubt means "not yet".
//
// It must not know the vessel, the dose, the stage the juice wants to go to, or
// who is asking. It reads no clock: all instants are handed to it.
package clarity
