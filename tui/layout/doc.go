// Package layout divides a screen into boxes and joins lines back into frames
// that are exactly as large as they were asked to be. The renderer below us
// drops the top of a frame that is too tall and cuts one that is too wide, so
// "about right" loses the line that matters most.
//
// A parent hands a child its box; a child never asks how large the terminal is.
// The package knows no screen, no colour and no time.
package layout
