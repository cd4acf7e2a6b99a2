// Package vessel is the screen of one vessel: what is in it and where it came
// from, what was added, read and tested, which clocks run, and what stops it
// from moving. It shows the state and writes nothing.
package vessel
