// Package sheet is the handover sheet as plain values: what an outgoing lead
// hands to the incoming one, already in the words, units and clock of the house.
//
// It knows nothing of the cellar's rules and nothing of paper. The rules fill it
// in and a face lays it out, so that the sheet on the wall, the one on the
// screen and the one in the file cannot say different things.
package sheet
