// Package blend calculates what comes of lots put together, for the properties that
// add up by volume, and refuses those that do not: pH, turbidity and colour.
//
// It must not know which lots or vessels they are, or whether they may be put
// together. It keeps no state, and no NaN or infinity leaves it.
package blend
