// Package memory is the journal without a disk: for tests of everything above
// the port, and for trying things out.
//
// It keeps the same bytes as the journal on disk and passes the same suite
// (store/storetest), so that what works on it works there too. On top it can be
// told to fail or to hold an append, which a disk does only at bad moments.
//
// It must not offer anything beyond the port that the program could come to
// depend on outside of tests.
package memory
