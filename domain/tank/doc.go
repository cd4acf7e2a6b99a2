// Package tank turns a dip into a volume. It knows the shapes vessels have (upright
// with flat, conical or dished bottom and conical top, lying cylinder, oval, box,
// tapered tank) and the house's own dip table, the room that is left up to a limit,
// and what a volume would be at 20 °C.
//
// All measures are inside measures and all heights are those of the liquid above
// the lowest inside point. The package must not know which vessel of the house it
// is asked about, what is in it or what it may hold. It reads no clock and keeps no
// state, and no NaN or infinity leaves it.
package tank
