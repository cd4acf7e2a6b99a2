package clarity

import (
	"errors"

	"cellar.example/mustwatch/domain/quantity"
)

// Ring is how far clear liquid runs ahead of the solids on filter paper.
type Ring string

// The rings, from released to still bound.
const (
	WideRing   Ring = "wide ring"
	NarrowRing Ring = "narrow ring"
	NoRing     Ring = "no ring"
)

// PaperMethod is what a house means by a paper drop test. There is no published
// standard for grape juice, and no limit.
type PaperMethod string

// The methods: a drop of juice, the ring round the flocs of a fining trial, and a
// timed run through folded paper.
const (
	PaperDrop   PaperMethod = "a"
	PaperFining PaperMethod = "b"
	PaperRun    PaperMethod = "c"
)

// HouseMethod stands beside every paper drop: it supports a verdict and never
// makes one.
const HouseMethod = "house method, no published limit"

// Say puts the method into words; empty for one that is none.
func (m PaperMethod) Say() string {
	return map[PaperMethod]string{PaperDrop: "drop of juice", PaperFining: "ring round a fining trial",
		PaperRun: "timed run through paper"}[m]
}

// Known reports whether it is one of the three rings.
func (r Ring) Known() bool { return r == WideRing || r == NarrowRing || r == NoRing }

// Gain returns how much more ran free of the treated mash than of the untreated
// one beside it, in per cent of the untreated: (treated − untreated) / untreated.
// It is negative when less ran. An untreated run of nothing, and a negative
// volume, are errors.
func Gain(treated, untreated quantity.Volume) (percent float64, err error) {
	if untreated <= 0 || treated < 0 {
		return 0, errors.New("Type how much ran of the untreated must, more than zero.")
	}
	return 100 * float64(treated-untreated) / float64(untreated), nil
}
