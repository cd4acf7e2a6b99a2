// Package overlay holds what lies over a face for a moment: a text to read, a
// question with one or two fields, and the answer to rules that stand in the
// way. The clocks go on above it, and Esc takes it away without loss.
package overlay
