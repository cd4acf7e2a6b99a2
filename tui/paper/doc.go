// Package paper lays the handover sheet out as text for a printer, a noticeboard
// and a plain file: ASCII, 78 columns, pages of 62 lines, black on white.
//
// Every line of every block is laid on the same grid, when | where | who | what,
// so that a tired reader learns it once and a vessel's code is always found in
// the same column. What does not fit on the front goes to the back in a fixed
// order, and the front says so; safety, holds, what is due and what has no home
// are never cut, a second front page is begun instead.
package paper
