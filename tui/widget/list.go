package widget

import (
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/layout"
)

// List is a cursor over rows that somebody else keeps. The zero List is empty.
type List struct {
	cursor, top, n int
}

// SetLen says how many rows there are. The cursor stays where it was as far as
// it can.
func (l *List) SetLen(n int) {
	l.n = max(n, 0)
	l.cursor = min(max(l.cursor, 0), max(l.n-1, 0))
}

// Len is the number of rows.
func (l *List) Len() int { return l.n }

// Cursor is the row the cursor is on, -1 in an empty list.
func (l *List) Cursor() int {
	if l.n == 0 {
		return -1
	}
	return l.cursor
}

// Go puts the cursor on a row, the nearest one if there is no such row.
func (l *List) Go(row int) { l.cursor = min(max(row, 0), max(l.n-1, 0)) }

// Handle moves the cursor; it reports false for intents that mean nothing to a
// list. height is the number of rows in view: a page, and what the window is
// kept to. The cursor stops at the ends, so a finger left on the key cannot
// carry it round.
func (l *List) Handle(in intent.Intent, height int) bool {
	switch in := in.(type) {
	case intent.Move:
		if in.DY == 0 {
			return false
		}
		l.Go(l.cursor + in.DY)
	case intent.PageMove:
		l.Go(l.cursor + in.Dir*max(height-1, 1)) // one row stays in view
	case intent.First:
		l.Go(0)
	case intent.Last:
		l.Go(l.n - 1)
	default:
		return false
	}
	l.top = layout.Window(l.n, l.cursor, height, l.top)
	return true
}

// View draws the rows around the cursor as exactly box.H lines of exactly box.W
// cells. row gives the text of one row, painted or plain; the mark in front of
// it is the list's.
func (l *List) View(box layout.Box, row func(i int, selected bool) string) []string {
	top := layout.Window(l.n, l.cursor, box.H, l.top)
	lines := make([]string, 0, max(box.H, 0))
	for i := top; i < l.n && len(lines) < box.H; i++ {
		mark := noMark
		if i == l.cursor {
			mark = focusMark
		}
		lines = append(lines, mark+row(i, i == l.cursor))
	}
	return layout.Lines(lines, box)
}
