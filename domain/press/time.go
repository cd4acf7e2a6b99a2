package press

import (
	"errors"
	"math"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// Cycle is the time a press takes after it is filled.
type Cycle struct {
	Programme quantity.Span
	Stops     quantity.Span // stood still
	Empty     quantity.Span
	Rinse     quantity.Span
	Waiting   quantity.Span // for pomace trailer, person or repair
}

// Ends returns when the juice stops, and when the press is free for the next
// load: fill end + programme + stops, + empty + rinse + waiting.
func (c Cycle) Ends(filled time.Time) (pressed, free time.Time, err error) {
	for _, s := range []quantity.Span{c.Programme, c.Stops, c.Empty, c.Rinse, c.Waiting} {
		if s < 0 || s.Duration() > 7*24*time.Hour {
			return time.Time{}, time.Time{}, errors.New("Type the parts of a press cycle as times of zero or more, " +
				"such as 2h and 20 min.")
		}
	}
	pressed = filled.Add((c.Programme + c.Stops).Duration())
	return pressed, pressed.Add((c.Empty + c.Rinse + c.Waiting).Duration()), nil
}

// PumpTime returns how long a pump takes for a volume at so much in an hour, to
// the second.
func PumpTime(v, perHour quantity.Volume) (quantity.Span, error) {
	if v < 0 || perHour <= 0 {
		return 0, errors.New("Type the volume and what the pump moves in an hour, such as 198.5 hL and 180 hL.")
	}
	hours := v.HL() / perHour.HL()
	if hours > 366*24 {
		return 0, errors.New("That would take more than a year: check the volume and the pump.")
	}
	return quantity.Span(math.Round(hours*3600)) * quantity.Span(time.Second), nil
}

// Turning returns how many tanks of a usable volume must turn round in a cycle to
// take the juice of a day's grapes: (t × yield) / usable × cycle / 24 h.
func Turning(perDay quantity.Mass, y Yield, usable quantity.Volume, cycle quantity.Span) (float64, error) {
	juice, err := y.From(perDay)
	switch {
	case err != nil:
		return 0, err
	case usable <= 0 || cycle <= 0 || cycle.Duration() > 90*24*time.Hour:
		return 0, errors.New("Type the usable volume of a tank and its cycle, such as 230 hL and 20h.")
	}
	return juice.HL() / usable.HL() * cycle.Duration().Hours() / 24, nil
}
