// Package cellar holds the rules of the night: vessels, presses, loads, product
// lots, clocks, checks, notes and holds, the commands a person may give, the
// facts that follow, and the fold that turns facts into the state every face
// shows.
//
// It is pure. It knows nothing of files, screens or the time of day: the
// instant of a decision is handed to Decide, and what it returns is handed to a
// Journal, the one port of this package, whose implementations live elsewhere.
package cellar
