// Package entry makes the forms in which everything is written: a dose, a
// reading, a check, a move and the rest. A form is opened on what the cursor is
// on, proposes what the cellar's state makes likely, calculates while somebody
// types, and turns what was typed into one command of package cellar.
//
// It writes nothing and decides nothing: the command is decided by whoever
// opened the form, and a refusal goes back to the field it names. State and time
// move on while a form is open, so nothing is kept of them; every calculation
// looks again.
package entry
