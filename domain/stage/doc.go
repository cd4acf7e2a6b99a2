// Package stage is what stands in a vessel and what it is on its way to: the stages
// with their legal steps, the substances, the uses of vessels, and what may flow where.
// It holds tables and knows no cellar.
package stage
