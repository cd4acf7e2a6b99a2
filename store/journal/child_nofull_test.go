//go:build !linux && !darwin

package journal

// childFull has no counterpart: there is no limit here that a process can set on
// its own files.
func childFull(string) {}
