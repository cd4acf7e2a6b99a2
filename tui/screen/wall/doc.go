// Package wall is the face for reading from far away: what is due in figures
// several rows high, and below it the holds, the standing caution, the last gas
// reading, the time and a sign that the board is alive. It is for people who
// stand at a tank with wet gloves and ear defenders on, so nothing on it
// scrolls, jumps or waits for a key.
//
// The board shows the time and the beat, and more cannot be had in one process:
// a program that hangs cannot say that it does. A clock that stands still and a
// sign that has stopped moving are how a frozen board is known.
package wall
