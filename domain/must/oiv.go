package must

import "math"

// baumeModulus is the modulus of °Bé used throughout; others (144, 144.3, 146.78)
// give up to 0.14 °Bé more or less at 20 °Brix.
const baumeModulus = 145.0

// gravity is the SG 20/20 of a reading on one of the scales of density.
func gravity(r Reading) float64 {
	switch r.Scale {
	case Density:
		return r.Value / water20
	case Oechsle:
		return 1 + r.Value/1000
	case Baume:
		return baumeModulus / (baumeModulus - r.Value)
	case KMW:
		return 1 + r.Value*(0.022*r.Value+4.54)/1000
	}
	return r.Value
}

// kmwOf is °KMW at °Oe: °Oe = KMW × (0.022 × KMW + 4.54), solved.
func kmwOf(oe float64) float64 {
	return (-4.54 + math.Sqrt(4.54*4.54+0.088*max(oe, -200))) / 0.044
}

// column is one column of the table of must.
type column int

const (
	columnBrix column = iota
	columnDensity
	columnSugar
	columnMass
	columnIndex
)

func (r oivRow) at(c column) float64 {
	return [...]float64{r.brix, r.density, r.sugar, r.mass, r.index}[c]
}

// smooth is each column as a short polynomial of °Brix, fitted to the table. It
// only says how the column goes on beyond its ends.
var smooth = [...][]float64{
	columnBrix:    {0, 1},
	columnDensity: {1.000647, 3.624223e-3, 2.156422e-5},
	columnSugar:   {-20.18082, 9.871403, 0.03659877},
	columnMass:    {-20.64418, 10.02613, -4.343741e-3, -9.484832e-5},
	columnIndex:   {1.333109, 1.407837e-3, 6.441544e-6},
}

func (c column) smooth(b float64) float64 {
	x := 0.0
	for i := len(smooth[c]) - 1; i >= 0; i-- {
		x = x*b + smooth[c][i]
	}
	return x
}

// value is a column at a °Brix: the table inside its range, straight between its
// rows; outside, its last row carried on by the polynomial.
func (c column) value(b float64) float64 {
	first, last := oivTable[0], oivTable[len(oivTable)-1]
	switch {
	case b < first.brix:
		return first.at(c) + c.smooth(b) - c.smooth(first.brix)
	case b >= last.brix:
		return last.at(c) + c.smooth(b) - c.smooth(last.brix)
	}
	at := (b - first.brix) * 10
	i := min(int(at+1e-9), len(oivTable)-2)
	share := max(at-float64(i), 0)
	return oivTable[i].at(c) + (oivTable[i+1].at(c)-oivTable[i].at(c))*share
}

func reach() (low, high float64) {
	return oivTable[0].brix - beyond, oivTable[len(oivTable)-1].brix + beyond
}

// tabled is a column as a figure, not Known where no table stands.
func tabled(c column, b float64) Figure {
	low, high := reach()
	if !(b >= low && b <= high) {
		return Figure{Basis: outside}
	}
	out := b < low+beyond-1e-9 || b > high-beyond+1e-9
	return Figure{Value: c.value(b), Known: true, Extrapolated: out, Basis: byOIV}
}

// backFrom reads the table backwards: the °Brix at which a column has a value.
func backFrom(c column, x float64) (b float64, ok bool) {
	low, high := reach()
	if !(x >= c.value(low)-1e-9 && x <= c.value(high)+1e-9) {
		return 0, false
	}
	return solve(low, high, x, c.value), true
}
