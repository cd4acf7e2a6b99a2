// Package document is the state of a cellar as plain values for other programs:
// what each vessel and press holds, the clocks, and the balance.
//
// It knows nothing of the cellar's rules, which fill it in, and makes no sentences:
// codes, whole millilitres, instants in UTC. Its fields are documented in the README;
// a field that changes its meaning or goes away makes another Format.
package document
