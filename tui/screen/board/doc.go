// Package board is the desk's screen: what is due, and which vessel may move,
// without a key pressed. Juice runs downhill in a cellar, so the stages are
// bands from the yard down to what is handed to fermentation, and a vessel has
// its fixed place in its band.
//
// It shows the state and points at things. It writes nothing.
package board
