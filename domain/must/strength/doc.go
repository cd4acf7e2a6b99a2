// Package strength calculates alcohol and water by OIML R22: the density of a mix, the
// strength and the volume of what is poured together, contraction included, and
// the water that brings an alcohol down.
//
// It must not know what the mix is for: the alcohol test and its recipe are
// elsewhere. Sugar is beyond it, for R22 knows ethanol and water alone. It keeps no
// state, and no NaN or infinity leaves it.
package strength
