// Package quantity holds the measured things of a cellar as types: volume,
// mass, temperature, density, spans of time, dose rates and the few plain
// numbers read off a meter. It parses what a tired hand types, converts between
// the metric and the US house, and writes each quantity in two ways: an exact
// canonical text for the journal and a rounded one for the screen.
//
// Volume and mass are whole numbers (millilitres, milligrams), so sums never
// drift. Ambiguous input is never guessed at: it comes back as an *AskError
// with the readings it could have.
//
// The package must not know what a quantity is for: no vessel, product, stage
// or limit of a house. It reads no clock and no file, and it lets no NaN and no
// infinity out.
package quantity
