package contact

import (
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// worthShowing is the difference from which the model's due is shown beside the
// card's.
const worthShowing = 15 * time.Minute

// Deadline is when to test, and why.
//
// Due is Start plus the card's row at the lowest temperature since the start, or
// the model's due when that temperature is not on the card (OnCard is false);
// HasDue is false when there is neither. Model is what the model forecast, and
// ModelWhy says why it did not. Cold and Hot say that the last reading is under
// the card's floor or over its ceiling. Basis says in words what Due rests on.
type Deadline struct {
	Due      time.Time
	HasDue   bool
	Row      Row
	OnCard   bool
	Lowest   quantity.Celsius
	Model    time.Time
	HasModel bool
	ModelWhy Why
	Cold     bool
	Hot      bool
	Basis    string
}

// Deadline returns the deadline as it was known at an instant, from the readings
// taken up to then. Lowest counts the readings since the start and the last one
// before it, which is what held at the start.
func (r Run) Deadline(at time.Time) Deadline {
	var d Deadline
	d.Model, d.HasModel, d.ModelWhy = r.ModelDue(at)
	known := r.known(at)
	switch {
	case r.Start.IsZero():
		d.Basis = "not started"
		return d
	case len(known) == 0:
		d.ModelWhy = NoTemperature
		d.Basis = string(NoTemperature)
		return d
	}
	d.Lowest = lowest(known, r.Start)
	last := known[len(known)-1].T
	d.Cold = last < r.Card.Floor
	d.Hot = r.Card.Ceiling != 0 && last > r.Card.Ceiling
	d.Row, d.OnCard = r.Card.RowFor(d.Lowest)
	switch {
	case d.OnCard && d.Row.Wait > 0:
		d.Due, d.HasDue = r.Start.Add(d.Row.Wait.Duration()), true
		d.Basis = "card row " + d.Row.band(r.Units) + ", " + d.Row.Wait.String()
	case len(r.Card.Rows) == 0:
		d.Basis = "no card"
	case d.HasModel:
		d.Due, d.HasDue = d.Model, true
		d.Basis = "off the card (" + d.Lowest.Text(r.Units) + "): model"
	default:
		d.Basis = "off the card (" + d.Lowest.Text(r.Units) + "): " + string(d.ModelWhy)
	}
	return d
}

// ModelDiffers says whether the model's due is to be shown beside the card's:
// both are there and lie more than 15 min apart.
func (d Deadline) ModelDiffers() bool {
	if !d.HasDue || !d.HasModel {
		return false
	}
	return d.Model.Sub(d.Due).Abs() > worthShowing
}

// lowest returns the lowest reading from start on, with the last one before it.
func lowest(readings []Reading, start time.Time) quantity.Celsius {
	first := 0
	for i, x := range readings {
		if !x.At.After(start) {
			first = i
		}
	}
	low := readings[first].T
	for _, x := range readings[first:] {
		low = min(low, x.T)
	}
	return low
}
