// Package cell is the one rule by which the program measures, cuts, pads and
// cleans text. A terminal is a grid: if two packages disagree by one cell about
// how wide a line is, the frame tears, and it tears in the middle of the night
// with somebody's accented name in it. So nobody else counts.
//
// It knows nothing of colours, screens, vessels or keys. It takes strings,
// coloured or not, and gives strings back.
package cell
