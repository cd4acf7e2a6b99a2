package layout

// Box is a place of W cells by H lines. Negative sizes count as zero.
type Box struct{ W, H int }
