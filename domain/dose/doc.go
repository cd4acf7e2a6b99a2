// Package dose calculates how much of a product goes into a lot: the amount for a
// rate, the water or stock solution it takes, and what share of a tub, of the
// juice or of the intended weight that is.
//
// It must not know which product it is, what the label or the house allows, or
// what is already in the vessel: it multiplies and rounds. It keeps no state,
// reads no clock, and no NaN or infinity leaves it.
package dose
