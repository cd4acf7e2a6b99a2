package must

import (
	"errors"
	"math"

	"cellar.example/mustwatch/domain/must/strength"
	"cellar.example/mustwatch/domain/quantity"
)

// PKa is the strength of sulphurous acid as an acid; it is printed with every
// result, for other tables go by other values.
type PKa float64

// CautiousPKa is the value that most tables go by, at about 20 °C with little
// alcohol. Alcohol and warmth raise it, and with it the molecular share.
const CautiousPKa PKa = 1.81

// MgL is a concentration in mg/L.
type MgL float64

func checkAcid(ph quantity.PH, pka PKa) error {
	switch {
	case !(ph >= 2.5 && ph <= 4.5):
		return errors.New("Type the pH from 2.5 to 4.5, such as 3.25.")
	case !(pka >= 1.5 && pka <= 3):
		return errors.New("Type the pKa from 1.5 to 3, such as 1.81.")
	}
	return nil
}

// MolecularShare returns the share of free SO2 that is molecular, in per cent:
// 100 / (1 + 10^(pH − pKa)). pH 2.5 to 4.5 and pKa 1.5 to 3; else an error.
func MolecularShare(ph quantity.PH, pka PKa) (quantity.Percent, error) {
	if err := checkAcid(ph, pka); err != nil {
		return 0, err
	}
	return quantity.Percent(100 / (1 + math.Pow(10, float64(ph)-float64(pka)))), nil
}

// Molecular returns the molecular SO2 in a free SO2 of 0 to 1000 mg/L.
func Molecular(free MgL, ph quantity.PH, pka PKa) (MgL, error) {
	share, err := MolecularShare(ph, pka)
	if err == nil && !(free >= 0 && free <= 1000) {
		err = errors.New("Type the free SO2 from 0 to 1000 mg/L, such as 30.")
	}
	if err != nil {
		return 0, err
	}
	return free * MgL(share) / 100, nil
}

// FreeFor returns the free SO2 that holds a molecular SO2 of 0 to 5 mg/L.
func FreeFor(molecular MgL, ph quantity.PH, pka PKa) (MgL, error) {
	share, err := MolecularShare(ph, pka)
	if err == nil && !(molecular >= 0 && molecular <= 5) {
		err = errors.New("Type the molecular SO2 from 0 to 5 mg/L, such as 0.8.")
	}
	if err != nil {
		return 0, err
	}
	return molecular * 100 / MgL(share), nil
}

// pkT are the thermodynamic pK_T at 0, 5, 10 and 15 % vol (rows) and 20, 25, 30, 35
// and 40 °C: OIV-MA-AS323-04C Table I, read.
var pkT = [4][5]float64{
	{1.798, 2.000, 2.219, 2.334, 2.493},
	{1.897, 2.098, 2.299, 2.397, 2.527},
	{1.997, 2.198, 2.394, 2.488, 2.606},
	{2.099, 2.301, 2.503, 2.607, 2.728},
}

// InWine is by how much the acid of must and wine is stronger than the table of pK
// says, for the salts in them (ionic strength about 0.04): from memory.
const InWine PKa = 0.08

// PKaAt returns the thermodynamic pK at a strength of 0 to 15 % vol and 20 to 40
// °C, straight between the rows; outside it is an error. Take InWine off for
// must and wine. Source: OIV-MA-AS323-04C Table I.
func PKaAt(a strength.ABV, t quantity.Celsius) (PKa, error) {
	if !(a >= 0 && a <= 15 && t >= 20 && t <= 40) {
		return 0, errors.New("The table of pK goes from 0 to 15 % vol and from 20 to 40 °C: type values there, or a " +
			"pKa.")
	}
	x, y := float64(a)/5, (float64(t)-20)/5
	i, k := min(int(x), len(pkT)-2), min(int(y), len(pkT[0])-2)
	x, y = x-float64(i), y-float64(k)
	at := func(row int) float64 { return pkT[row][k] + (pkT[row][k+1]-pkT[row][k])*y }
	return PKa(at(i) + (at(i+1)-at(i))*x), nil
}
