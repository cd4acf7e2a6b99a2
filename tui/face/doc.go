// Package face is what all faces share: what they are drawn from, what they
// point at, and how an instant, an age or a due is put into words.
//
// It knows the cellar's state, which it only reads, and no particular screen.
package face
