// Package heat calculates what it takes to cool or warm must and how long: energy,
// time at constant power, time through a jacket, the curve through logged
// readings and the hour at which it meets a target, and the drift of a tank that
// nothing cools.
//
// It must not know a vessel, a house or a clock: instants and limits are given to
// it. It keeps no state, and no NaN or infinity leaves it.
package heat
