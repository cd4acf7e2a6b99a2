// Package quiet keeps the program from asking the terminal for its colours.
//
// The screen library asks for the background in an init of its own, before main
// runs, and waits five seconds for a terminal that never answers: a serial line,
// a bare console, a printer's hook. Here the answer is given first. Dark or light
// is a setting of the person, never a guess.
//
// It works because Go initialises packages that are ready in the order of their
// import paths, and this path sorts before those it has to be ahead of. The
// package must import nothing but lipgloss, or it would no longer be ready first.
package quiet

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
