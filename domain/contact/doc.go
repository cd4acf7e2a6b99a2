// Package contact holds the card of an enzyme lot (hours by temperature, as its
// label says) and the clock that runs by it: the deadline from the card's row at
// the lowest temperature seen, and beside it a model of the progress.
//
// The clock only says when to test; the test decides. The package must not know
// the vessel, the product or the dose, and it reads no clock: the instant is
// handed to it. No NaN and no infinity leaves it.
package contact
