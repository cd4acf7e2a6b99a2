// Package ledger keeps lines that were said about places at their true times, and
// what each place holds after each of them.
//
// A line knows which places it touches and how it changes them. Lines stand in the
// order of their true time, then of a rank within the second, then of their
// sequence; in which order they were saved makes no difference. A line that comes
// late, goes or is replaced is folded from its own instant on, through every place
// that it reaches by what flowed on from there, and the fold stops where a place is
// again what it was.
//
// The package knows nothing of juice, tanks or people: what a place holds is a type
// of the caller's.
package ledger
