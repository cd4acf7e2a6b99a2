// Package machine is what the program asks of the machine it runs on: its clocks,
// and that it does not fall asleep while a board is up. Both do what the system
// allows and say where it does not; neither ever holds up a start.
package machine
