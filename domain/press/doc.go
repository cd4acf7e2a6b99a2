// Package press calculates yields and balances: how much juice grapes give, in the
// units of two kinds of house; whether what went into a press or out of a tank is
// all accounted for; and how long filling, pressing and pumping take.
//
// It must not know a press, a load or a tank of the house: masses, volumes and
// times are given to it. It reads no clock and keeps no state, and no NaN or
// infinity leaves it.
package press
