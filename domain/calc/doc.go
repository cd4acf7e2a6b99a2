// Package calc works out one figure a cellar hand needs at night, from what was
// typed, and shows how: what went in, the formula in words, what came out, and
// the table behind it. It is the one place where typed text becomes a calculation:
// the command line and the forms of the board ask it with the same names and get
// the same answer.
//
// It knows the small packages that calculate and no cellar, no screen and no flags.
package calc
