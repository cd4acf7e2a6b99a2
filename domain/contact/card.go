package contact

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"

	"cellar.example/mustwatch/domain/quantity"
)

// defaultEa is the activation energy in kJ/mol used below the coldest band when
// the house sets none: that of a published endo-polygalacturonase, one of four
// published values from 9.2 to 80.3. It is a judgement, not a measurement in
// must.
const defaultEa = 41.8

// The span in which a house may set its own activation energy, kJ/mol.
const lowestEa, highestEa = 9.0, 80.0

// Row is one band of a card: from From to To (°C) the label asks for Wait.
type Row struct {
	From quantity.Celsius `json:"from" toml:"from"`
	To   quantity.Celsius `json:"to" toml:"to"`
	Wait Wait             `json:"wait" toml:"wait"`
}

// middle is the temperature for which the model takes the hours of the band, °C.
func (r Row) middle() float64 { return (float64(r.From) + float64(r.To)) / 2 }

// Card is what the house typed in from the label of its own lot. Rows may stand
// in any order. Under Floor the contact counts as cold, over Ceiling as hot; a
// Ceiling of 0 is none. Ea is the least slope of the model below the coldest
// band in kJ/mol, 0 for 41.8. A card without rows starts no clock.
type Card struct {
	Rows    []Row            `json:"rows" toml:"rows"`
	Floor   quantity.Celsius `json:"floor" toml:"floor"`
	Ceiling quantity.Celsius `json:"ceiling" toml:"ceiling"`
	Ea      float64          `json:"ea,omitempty" toml:"ea,omitempty"`
}

// Validate refuses a card that cannot be read in one way: a band that ends
// before it begins, a wait of zero, bands that overlap, waits that rise with
// the temperature, a ceiling under the warmest band or the floor, and an Ea
// outside 9 to 80 kJ/mol. The error is a sentence for whoever types the card.
func (c Card) Validate() error {
	if !finite(float64(c.Floor), float64(c.Ceiling), c.Ea) {
		return errors.New("Type the floor and the ceiling of the card as temperatures, such as 10 and 45 °C.")
	}
	rows := c.sorted()
	for i, r := range rows {
		switch {
		case !finite(float64(r.From), float64(r.To)) || r.From >= r.To:
			return fmt.Errorf("The band %s must run from the colder to the warmer temperature, such as 12–15 °C.",
				r.band(quantity.Metric))
		case r.Wait <= 0:
			return fmt.Errorf("The band %s needs a waiting time, such as 3h.", r.band(quantity.Metric))
		case i > 0 && r.From < rows[i-1].To:
			return fmt.Errorf("The bands %s and %s overlap: let one end where the next begins.",
				rows[i-1].band(quantity.Metric), r.band(quantity.Metric))
		case i > 0 && r.Wait > rows[i-1].Wait:
			return fmt.Errorf("The warmer band %s waits longer than %s: a warmer band needs the same time or less.",
				r.band(quantity.Metric), rows[i-1].band(quantity.Metric))
		}
	}
	if c.Ceiling != 0 && c.Floor >= c.Ceiling {
		return errors.New("The floor of the card must be colder than its ceiling, such as 10 and 45 °C.")
	}
	if n := len(rows); n > 0 && c.Ceiling != 0 && rows[n-1].To > c.Ceiling {
		return fmt.Errorf("The band %s is warmer than the ceiling: raise the ceiling to %s or more.",
			rows[n-1].band(quantity.Metric), rows[n-1].To)
	}
	if c.Ea != 0 && (c.Ea < lowestEa || c.Ea > highestEa) {
		return errors.New("The activation energy is from 9 to 80 kJ/mol, or 0 for 41.8.")
	}
	return nil
}

// RowFor returns the row that holds at t (°C). An edge and a gap belong to the
// colder row; above the warmest band the warmest row holds. Below the coldest
// band there is none.
func (c Card) RowFor(t quantity.Celsius) (Row, bool) {
	rows := c.sorted()
	if len(rows) == 0 || !finite(float64(t)) {
		return Row{}, false
	}
	if t < rows[0].From {
		return Row{}, false
	}
	row := rows[0]
	for _, r := range rows {
		if t > row.To && t >= r.From {
			row = r
		}
	}
	return row, true
}

// tells reports whether the card says anything of t (°C): below its floor and its
// coldest band it does not.
func (c Card) tells(t quantity.Celsius) bool {
	_, on := c.RowFor(t)
	return on && t >= c.Floor
}

// sorted returns the rows from cold to warm, in a slice of its own.
func (c Card) sorted() []Row {
	rows := slices.Clone(c.Rows)
	slices.SortStableFunc(rows, func(a, b Row) int {
		switch {
		case a.From < b.From:
			return -1
		case a.From > b.From:
			return 1
		}
		return 0
	})
	return rows
}

// band writes the edges of a row: "12–15 °C".
func (r Row) band(sys quantity.System) string {
	if sys == quantity.US {
		return degrees(r.From*9/5+32) + "–" + degrees(r.To*9/5+32) + " °F"
	}
	return degrees(r.From) + "–" + degrees(r.To) + " °C"
}

func degrees(t quantity.Celsius) string {
	if !finite(float64(t)) {
		return "?"
	}
	return strconv.FormatFloat(math.Round(float64(t)*10)/10, 'f', -1, 64)
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
