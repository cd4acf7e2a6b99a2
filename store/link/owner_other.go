//go:build !unix

package link

// trusted has nothing to ask where files do not say whose they are by a number: the
// folder of a person's data is theirs alone there.
func trusted(string) error { return nil }
