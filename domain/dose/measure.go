package dose

import (
	"fmt"
	"math/big"

	"cellar.example/mustwatch/domain/quantity"
)

// Step is how finely an amount is measured, so that from 0.2 g or mL on no rounding is
// more than a fortieth of it: powder to 0.1 g, below 2 g to 0.01 g; a liquid to 10 mL in a jug, below
// 1 L to 1 mL in a cylinder, below 20 mL to 0.1 mL and below 2 mL to 0.01 mL in a
// pipette.
func Step(a quantity.Amount) quantity.Amount {
	if a.Liquid() {
		return quantity.Amount{Volume: quantity.Volume(step(int64(a.Volume), true))}
	}
	return quantity.Amount{Mass: quantity.Mass(step(int64(a.Mass), false))}
}

// step is a Step in thousandths of a gram or of a millilitre.
func step(milli int64, liquid bool) int64 {
	switch {
	case milli < 2_000:
		return 10
	case !liquid || milli < 20_000:
		return 100
	case milli < 1_000_000:
		return 1_000
	}
	return 10_000
}

// least is what a scale and a pipette of a cellar still tell from nothing, in
// thousandths of a gram or of a millilitre (common practice, no source).
const least = 50

// pour and weigh round thousandths of a millilitre, or of a gram, to a Step, halves up.
func pour(x *big.Rat) quantity.Volume {
	return quantity.Volume(nearest(x, step(nearest(x, 1), true)))
}

func weigh(x *big.Rat) quantity.Mass {
	return quantity.Mass(nearest(x, step(nearest(x, 1), false)))
}

// tooLittle refuses what cannot be measured, in thousandths; nil when it can.
func tooLittle(x *big.Rat, liquid bool) error {
	if x.Cmp(big.NewRat(least, 1)) >= 0 {
		return nil
	}
	milli, _ := x.Float64()
	if liquid {
		return fmt.Errorf("That comes to %.2g mL; less than 0.05 mL cannot be measured: dilute the product first, "+
			"or check the dose and the volume.", milli/1000)
	}
	return fmt.Errorf("That comes to %.2g g; less than 0.05 g cannot be weighed: make a solution first, or check "+
		"the dose and the volume or the mass.", milli/1000)
}
