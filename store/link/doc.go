// Package link lets further screens of one machine take part in a journal that a
// board has open. The board serves it on a socket beside the file; a screen that
// joins gets a cellar.Journal that asks the board for everything, so that one
// program alone touches the file.
//
//	screen ── read, watch, append ──▶ socket ──▶ Server ──▶ the board's journal
//	screen ◀─ records, beats ───────── socket ◀── Server ◀── the board's heartbeat
//
// Each request has a connection of its own: a request, then frames until its end.
// A screen that is frozen fills its own socket and is let go after a while; the
// board never waits for it. A screen that hears no beat knows for how long.
//
// The socket belongs to the person who runs the board, like the journal itself. It
// is no way in over a network.
package link
