package contact

import (
	"iter"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// worthShowing is the difference from which the model's due is shown beside the
// card's.
const worthShowing = 15 * time.Minute

// Deadline is when to test, and why.
//
// Due is Start plus the card's row at the lowest temperature since the start;
// HasDue is false where the card cannot tell, and OnCard with it: off since Off it
// has been colder than the card says anything of. When it is warm enough again, Due
// is Start plus the coldest row, and as long again as it was off the card. Model is
// what the model forecast, which decides nothing, and ModelWhy says why it did not.
// Cold and Hot say that the last reading is under the card's floor or over its
// ceiling. Basis says what Due rests on.
type Deadline struct {
	Due      time.Time
	HasDue   bool
	Row      Row
	OnCard   bool
	Off      time.Time
	Lowest   quantity.Celsius
	Model    time.Time
	HasModel bool
	ModelWhy Why
	Cold     bool
	Hot      bool
	Basis    text.Say
}

// What a deadline rests on.
var (
	notStarted    = text.New("contact-not-started", "not started")
	noTemperature = text.New("contact-no-temperature", "no temperature")
	cardRow       = text.New("card-row", "card row {band}, {wait}")
	cardRowAndOff = text.New("card-row-and-off", "card row {band}, {wait}, and {lost} off the card")
	noCard        = text.New("no-card", "no card")
	isOffCard     = text.New("is-off-card", "{temp} is off the card")
	lowestOffCard = text.New("lowest-off-card", "off the card ({temp})")
)

// Deadline returns the deadline as it was known at an instant, from the readings
// taken up to then. Lowest counts the readings since the start and the last one
// before it, which is what held at the start.
func (r Run) Deadline(at time.Time) Deadline {
	var d Deadline
	d.Model, d.HasModel, d.ModelWhy = r.ModelDue(at)
	known := r.known(at)
	switch {
	case r.Start.IsZero():
		d.Basis = notStarted.Say()
		return d
	case len(known) == 0:
		d.ModelWhy = NoTemperature
		d.Basis = noTemperature.Say()
		return d
	}
	w := walk{run: r}
	for _, x := range known {
		w.take(x)
	}
	w.says(&d)
	return d
}

// Told returns what the card says by readings in the order of their times, up to an
// instant, and the time of the last that counts; the forecast is left out, and the
// readings of the run do not count. What is read once the test is due moves it no
// more, so that it depends on no order in which they were written.
func (r Run) Told(read iter.Seq[Reading], until time.Time) (d Deadline, end time.Time) {
	w := walk{run: r}
	for x := range read {
		if w.any && x.At.After(r.Start) {
			if _, due, ok := w.due(); ok && !due.After(x.At) || x.At.After(until) {
				break
			}
		}
		w.take(x)
		end = x.At
	}
	switch {
	case r.Start.IsZero():
		d.Basis = notStarted.Say()
	case !w.any:
		d.Basis = noTemperature.Say()
	default:
		w.says(&d)
	}
	return d, end
}

// walk goes over the readings of a run in the order of their times.
type walk struct {
	run  Run
	any  bool
	low  quantity.Celsius
	last quantity.Celsius
	off  time.Time     // since when it has been off the card, zero while it is on it
	lost time.Duration // for how long it was off it, before
}

func (w *walk) take(x Reading) {
	if !x.At.After(w.run.Start) { // what held when it began
		*w = walk{run: w.run, any: true, low: x.T}
		x.At = w.run.Start
	}
	w.last = x.T
	if !w.any || x.T < w.low {
		w.any, w.low = true, x.T
	}
	switch on := w.run.Card.tells(x.T); {
	case on && !w.off.IsZero():
		w.lost += x.At.Sub(w.off)
		w.off = time.Time{}
	case !on && w.off.IsZero():
		w.off = x.At
	}
}

// due is what the card says by what was taken; ok is false where it cannot tell.
func (w *walk) due() (row Row, due time.Time, ok bool) {
	if !w.any || !w.off.IsZero() || len(w.run.Card.Rows) == 0 {
		return row, due, false
	}
	if row, ok = w.run.Card.RowFor(w.low); w.lost > 0 || !ok {
		row = w.run.Card.sorted()[0]
	}
	return row, w.run.Start.Add(row.Wait.Duration() + w.lost), row.Wait > 0
}

// says puts what the card says into a deadline.
func (w *walk) says(d *Deadline) {
	card, units := w.run.Card, w.run.Units
	d.Cold = w.last < card.Floor
	d.Hot = card.Ceiling != 0 && w.last > card.Ceiling
	d.Lowest, d.Off = w.low, w.off
	d.Row, d.Due, d.HasDue = w.due()
	d.OnCard = d.HasDue
	switch {
	case d.HasDue:
		d.Basis = cardRow.Say(d.Row.band(units), d.Row.Wait)
		if w.lost > 0 {
			d.Basis = cardRowAndOff.Say(d.Row.band(units), d.Row.Wait, Wait(w.lost.Round(time.Minute)))
		}
	case len(card.Rows) == 0:
		d.Basis, d.Off = noCard.Say(), time.Time{}
	case !d.Off.IsZero():
		d.Basis = isOffCard.Say(w.last)
	default:
		d.Basis = lowestOffCard.Say(d.Lowest)
	}
}

// ModelDiffers says whether the model's due is to be shown beside the card's:
// both are there and lie more than 15 min apart.
func (d Deadline) ModelDiffers() bool {
	if !d.HasDue || !d.HasModel {
		return false
	}
	return d.Model.Sub(d.Due).Abs() > worthShowing
}
