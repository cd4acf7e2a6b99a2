// Package tuitest is what tests of the faces share: goldens of a drawn frame, a
// way to write key presses as one string, and plain text out of coloured text.
// Nothing outside tests may import it.
package tuitest
