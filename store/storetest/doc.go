// Package storetest is the contract of cellar.Journal as tests: every
// implementation runs the same suite, so that whatever is tested above the port
// with one of them holds with the others.
//
// It also makes the records that the tests of the stores are written with. It
// must not know any implementation, nor anything that the port does not promise.
package storetest
