// Package must calculates what a cellar knows of its must by its figures: the sugar
// scales and the alcohol they promise, the correction of a reading to 20 °C, the
// molecular share of SO2, what it swells to when it is hot and the gas it gives off.
// Beneath it lie must/heat (cooling and warming), must/strength (alcohol and water)
// and must/blend (what comes of lots put together).
//
// Must is not sucrose. From °Brix to density, sugar and back the package goes by
// the OIV table of must; where that table ends it says "extrapolated" for two
// degrees more, and then that no table stands. What is true by definition (SG,
// °Oe, °Bé, °KMW) needs no table and is given wherever it is defined.
//
// The package must not know a vessel, a lot or a limit of the house. It reads no
// clock and no file, keeps no state, and no NaN or infinity leaves it.
package must
