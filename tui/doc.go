// Package tui is the faces: the one program on the terminal, which routes keys
// to screens, forms and overlays, sends entries to the journal and draws the
// fold of it. It knows no journal but the port, and no rule of the cellar.
package tui
