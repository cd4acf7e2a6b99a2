// Package clocks calculates the house's time from the three clocks of a machine: the
// wall, which people set; the time since the machine started, which counts its
// sleep; and the same without sleep. Where the last two part the machine slept;
// where the wall parts from the first two somebody or something set it.
//
// While a board runs, and from one board to the next on a machine that was not
// started again between them, the house goes by elapsed time: a wall that is set
// makes no clock ring early or late. How much of a night has passed is then known
// whatever the wall says, so both readings are shown and a person is asked which
// is right. Where elapsed time is not known (another start of the machine, or a
// machine that does not count its sleep) the later of the two readings counts,
// so that what is due is raised at the earlier.
//
// The package is pure. It reads no clock and knows nothing of the cellar; the
// samples come from outside.
package clocks
