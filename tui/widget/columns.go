package widget

import (
	"strings"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/layout"
)

// Column is one column of a table: a fixed width, or a weight in what the fixed
// ones leave. Right puts figures under figures.
type Column struct {
	Width  int
	Weight int
	Right  bool
}

// Columns are the columns of a table with a gap of empty cells between them.
type Columns struct {
	Cols []Column
	Gap  int
}

// Spread fixes the widths of weighted columns for a table of total cells. Do it
// once a frame, not once a row.
func (c Columns) Spread(total int) Columns {
	parts := make([]layout.Part, len(c.Cols))
	for i, col := range c.Cols {
		parts[i] = layout.Fixed(col.Width)
		if col.Weight > 0 {
			parts[i] = layout.Fill(col.Weight)
		}
	}
	room := total - c.Gap*max(len(c.Cols)-1, 0)
	out := Columns{Cols: make([]Column, len(c.Cols)), Gap: c.Gap}
	for i, box := range layout.Cols(layout.Box{W: room, H: 1}, parts...) {
		out.Cols[i] = Column{Width: box.W, Right: c.Cols[i].Right}
	}
	return out
}

// Width is the number of cells of a row.
func (c Columns) Width() int {
	w := c.Gap * max(len(c.Cols)-1, 0)
	for _, col := range c.Cols {
		w += max(col.Width, 0)
	}
	return w
}

// Row puts one text into each column, cut or padded to its width; a missing text
// is blank, a surplus one is dropped. Texts may be painted.
func (c Columns) Row(texts ...string) string {
	var out strings.Builder
	for i, col := range c.Cols {
		if i > 0 {
			out.WriteString(cell.Blank(c.Gap))
		}
		text := ""
		if i < len(texts) {
			text = texts[i]
		}
		if col.Right {
			out.WriteString(cell.FitLeft(text, col.Width))
		} else {
			out.WriteString(cell.Fit(text, col.Width))
		}
	}
	return out.String()
}
