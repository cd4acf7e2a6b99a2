// Package gate is the mechanism behind every "may I": a table of rules, what
// they find, and how findings are answered.
//
// It knows nothing of vessels or juice. What a rule looks at is a type
// parameter; the cellar's own rules stand in a table for each kind of attempt.
package gate
