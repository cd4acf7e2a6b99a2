package layout

// Box is a place of W cells by H lines. Negative sizes count as zero.
type Box struct{ W, H int }

// Part asks for a share of a box: a fixed number of cells, or a weight in what
// the fixed parts leave over.
type Part struct {
	cells, weight int
}

// Fixed asks for n cells or lines. Where there are fewer, earlier parts are
// served first and later ones get what is left.
func Fixed(n int) Part { return Part{cells: max(n, 0)} }

// Fill asks for a share of what the fixed parts leave, by weight. A weight
// below one counts as one.
func Fill(weight int) Part { return Part{weight: max(weight, 1)} }

// Rows divides box from top to bottom, one box a part, each of the full width.
// With at least one Fill the heights add up to the box; never to more.
func Rows(box Box, parts ...Part) []Box {
	out := make([]Box, len(parts))
	for i, h := range divide(box.H, parts) {
		out[i] = Box{W: max(box.W, 0), H: h}
	}
	return out
}

// Cols divides box from left to right, one box a part, each of the full height.
// With at least one Fill the widths add up to the box; never to more.
func Cols(box Box, parts ...Part) []Box {
	out := make([]Box, len(parts))
	for i, w := range divide(box.W, parts) {
		out[i] = Box{W: w, H: max(box.H, 0)}
	}
	return out
}

// divide gives each part its whole number of cells. What does not divide evenly
// goes one by one to the first Fill parts, so a frame does not jitter between
// two drawings of the same size.
func divide(total int, parts []Part) []int {
	left := max(total, 0)
	sizes := make([]int, len(parts))
	weights := 0
	for i, p := range parts {
		sizes[i] = min(p.cells, left)
		left -= sizes[i]
		weights += p.weight
	}
	if weights == 0 {
		return sizes
	}
	spare := left
	for i, p := range parts {
		share := left * p.weight / weights
		sizes[i] += share
		spare -= share
	}
	for i, p := range parts {
		if spare == 0 {
			break
		}
		if p.weight > 0 {
			sizes[i]++
			spare--
		}
	}
	return sizes
}
