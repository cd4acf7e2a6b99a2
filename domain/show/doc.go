// Package show puts the cellar into the document for other programs: it reads the state
// and writes nothing.
package show
