//go:build !linux

package machine

import "cellar.example/mustwatch/domain/clocks"

// Clocks looks at the wall clock and at the time the program has run.
func Clocks() clocks.Sample { return awakeOnly() }

// CountsSleep reports whether time asleep can be told from a clock that was set.
func CountsSleep() bool { return false }
