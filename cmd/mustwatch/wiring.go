package main

import "cellar.example/mustwatch/tui"

// The faces this program shows. They are variables so that a test can see what
// they are given, without a terminal.
var (
	runBoard   = tui.Run
	printBoard = tui.Print
	printWall  = tui.PrintWall
)
