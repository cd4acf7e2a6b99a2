package calc

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/daytime"
	"cellar.example/mustwatch/domain/must/heat"
	"cellar.example/mustwatch/domain/quantity"
)

// heatFlags are what was typed about heat; empty where nothing was.
type heatFlags struct {
	volume, from, to, density, cp, brix, power, ua, coolant, target, use string
	readings                                                             []string
}

func heatKind() kind {
	var f heatFlags
	return kind{name: "heat", short: "Cooling and warming: energy, time, the hour of a target, drift",
		long: `Three questions, by what is given:

  --volume --from --to        the energy, and the time by --power or by --ua and
                              --coolant
  --reading … --target        the hour at which logged readings meet a target: with
                              --coolant along a curve towards it, else along a line
  --sugar-use --from --to     the drift of a tank that nothing cools, and the hours
                              to its limit`,
		example: `  mustwatch calc heat --volume 104hL --from 13.5C --to 8.5C --density 1.089 --power 25kW
  mustwatch calc heat --volume 104hL --from 13.5C --to 8.5C --brix 21 --ua 2 --coolant 0C
  mustwatch calc heat --reading 20:00=25 --reading 02:00=15 --coolant 2 --target 12
  mustwatch calc heat --sugar-use 2.9 --from 26 --to 30`,
		fields: []field{
			one(&f.volume, "volume", "`volume` of must"),
			one(&f.from, "from", "`temperature` now"),
			one(&f.to, "to", "`temperature` wanted, or the limit"),
			one(&f.density, "density", "`density`, else 1.090"),
			one(&f.cp, "cp", "specific heat in `kJ/(kg·K)`, else by brix, else 3.65"),
			one(&f.brix, "brix", "sugar in `°Brix`, for the specific heat"),
			one(&f.power, "power", "cooling or heating `power`, such as 25kW, 7TR or 85000BTU/h"),
			one(&f.ua, "ua", "UA of the jacket in `kW/K`"),
			one(&f.coolant, "coolant", "`temperature` of the coolant"),
			one(&f.target, "target", "`temperature` to meet"),
			one(&f.use, "sugar-use", "sugar used in `g/L` an hour"),
			many(&f.readings, "reading", "`reading` of the night, such as 20:00=13.5; given again for each, in order"),
		},
		work: func(r *asked) (Answer, error) {
			switch {
			case len(f.readings) > 0 && f.target != "":
				return r.cooling(f)
			case f.use != "" && f.from != "" && f.to != "":
				return r.drift(f)
			case f.volume != "" && f.from != "" && f.to != "":
				return r.energy(f)
			}
			return Answer{},
				missing("heat takes volume, from and to, or reading and target, or sugar-use, from and to.")
		}}
}

// body reads what is cooled or warmed.
func (r *asked) body(a *Answer, f heatFlags) heat.Body {
	b := heat.Body{Volume: r.volume("volume", f.volume), Density: 1.090, Cp: heat.HouseCp}
	a.Given = append(a.Given, r.ofVolume("must", b.Volume))
	if f.density != "" {
		r.read("density", func() (err error) { b.Density, err = r.habit.Density(f.density); return err })
	} else {
		a.Notes = append(a.Notes, "The density was not given: 1.090 is assumed.")
	}
	basis := "specific heat 3.65 kJ/(kg·K), a setting of the house"
	switch {
	case f.cp != "":
		b.Cp, basis = heat.SpecificHeat(r.plain("cp", f.cp, 10)), "specific heat as typed"
	case f.brix != "":
		sugar := r.brix("brix", f.brix)
		r.read("brix", func() (err error) { b.Cp, err = heat.Cp(sugar, 20); return err })
		basis = "specific heat of sucrose by Bubník 1995 (from memory), at 20 °C"
	}
	a.Given = append(a.Given, Figure{"density", float64(b.Density), "kg/L", b.Density.String()}, Figure{"specific heat",
		float64(b.Cp), "kJ/(kg·K)", b.Cp.String()})
	a.Sources = append(a.Sources, basis)
	return b
}

func (r *asked) energy(f heatFlags) (Answer, error) {
	a := Answer{Title: "Heat"}
	b := r.body(&a, f)
	from, to := r.celsius("from", f.from), r.celsius("to", f.to)
	if r.fault != nil {
		return a, nil
	}
	a.Given = append(a.Given, r.ofCelsius("from", from), r.ofCelsius("to", to))
	e, err := heat.Between(b, from, to)
	if err != nil {
		return a, err
	}
	a.dangers = caution.OfMust(from, to)
	a.Working = []string{"energy = volume × density × specific heat × difference"}
	a.Results = []Figure{{"mass", b.Mass().Kilograms(), "kg", plainly(b.Mass().Kilograms(), 0) + " kg"},
		{"energy", e.KWh(), "kWh", e.String()}}
	if f.power != "" {
		var p heat.Power
		r.read("power", func() (err error) { p, err = heat.ParsePower(f.power, r.habit); return err })
		if r.fault != nil {
			return a, nil
		}
		s, err := heat.AtPower(e, p)
		if err != nil {
			return a, err
		}
		a.Given = append(a.Given, Figure{"power", float64(p), "kW", p.String()})
		a.Working = append(a.Working, "time at constant power = energy ÷ power")
		a.put(AtPower, ofHours("at "+p.String(), s))
	}
	if f.ua == "" {
		return a, nil
	}
	if f.coolant == "" {
		return a, missing("ua takes the temperature of the coolant too.")
	}
	ua, coolant := heat.Conductance(r.plain("ua", f.ua, 500, "kW/K")), r.celsius("coolant", f.coolant)
	s, err := heat.ByJacket(b, ua, coolant, from, to)
	if err != nil {
		return a, err
	}
	a.Given = append(a.Given, Figure{"UA", float64(ua), "kW/K", ua.String()}, r.ofCelsius("coolant", coolant))
	a.Working = append(a.Working, "time by jacket = mass × specific heat ÷ UA × ln((from − coolant) ÷ (to − coolant))")
	a.put(ByJacket, ofHours("by the jacket", s))
	return a, nil
}

// anyDay is the day that clock times without a date begin on: any will do, for only
// differences count.
var anyDay = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// clocks reads "20:00=13.5" in the order of the night: a time earlier than the one
// before it is on the next day.
func (r *asked) clocks(field string, typed []string) []heat.Logged {
	var out []heat.Logged
	for _, s := range typed {
		clock, temp, _ := strings.Cut(s, "=")
		at := r.clock(field, clock)
		for len(out) > 0 && at.Before(out[len(out)-1].At) {
			at = at.Add(24 * time.Hour)
		}
		out = append(out, heat.Logged{At: at, T: r.celsius(field, temp)})
	}
	return out
}

// clock reads "20:00" or "2000" on the first day.
func (r *asked) clock(field, s string) (at time.Time) {
	r.read(field, func() error {
		h, m, err := daytime.Parse(s)
		if err != nil {
			return errors.New("Type a time of the clock, such as 20:00 or 2000, and for a reading its temperature, " +
				"such as 20:00=13.5.")
		}
		at = anyDay.Add(time.Duration(h)*time.Hour + time.Duration(m)*time.Minute)
		return nil
	})
	return at
}

// hour writes an instant of the night: "02:15", "02:15 (2 days on)".
func hour(at, from time.Time) string {
	days := int(at.Truncate(24*time.Hour).Sub(from.Truncate(24*time.Hour)).Hours() / 24)
	s := at.Round(time.Minute).Format("15:04")
	switch {
	case days == 1:
		s += " next day"
	case days != 0:
		s += fmt.Sprintf(" (%+d days)", days)
	}
	return s
}

func (r *asked) cooling(f heatFlags) (Answer, error) {
	a := Answer{Title: "The hour of a target"}
	rs, target := r.clocks("reading", f.readings), r.celsius("target", f.target)
	for _, one := range rs {
		a.Given = append(a.Given, r.ofCelsius(one.At.Format("15:04"), one.T))
	}
	fit := func() (heat.Curve, error) { return heat.FitStraight(rs) }
	a.Working = []string{"least squares of T = begin + slope × h through the readings"}
	a.Notes = []string{"Without the temperature of the coolant a line is drawn: real cooling slows down, so this is " +
		"the earliest it can be."}
	if f.coolant != "" {
		coolant := r.celsius("coolant", f.coolant)
		a.Given = append(a.Given, r.ofCelsius("coolant", coolant))
		fit = func() (heat.Curve, error) { return heat.FitTowards(rs, coolant) }
		a.Working = []string{"least squares of T = coolant + (begin − coolant) × e^(−k h) through the readings"}
		a.Notes = nil
	}
	a.Given = append(a.Given, r.ofCelsius("target", target))
	if r.fault != nil {
		return a, nil
	}
	c, err := fit()
	if err != nil {
		return a, err
	}
	a.dangers = caution.OfMust(c.Last.T, target)
	at, err := c.Meets(target)
	if err != nil {
		return a, err
	}
	left := at.Sub(c.Last.At)
	a.Results = []Figure{{"meets " + target.Text(r.sys), at.Sub(c.Start).Hours(), "h", hour(at, c.Start)}}
	a.put(SinceReading, Figure{"after the last reading", left.Hours(), "h",
		quantity.Span(left.Round(time.Minute)).String()})
	a.Results = append(a.Results, Figure{"pace", c.PerHour, pace(c), plainly(c.PerHour, 4) + " " + pace(c)},
		Figure{"farthest reading", c.Worst, "K", digits(c.Worst, 1) + " K off the curve"})
	if left < 0 {
		a.Notes = append(a.Notes, "By these readings the target was met already.")
	}
	a.Sources = []string{"Newton's law of cooling, or a straight line; no table"}
	return a, nil
}

func pace(c heat.Curve) string {
	if c.Straight {
		return "K/h"
	}
	return "1/h"
}

func (r *asked) drift(f heatFlags) (Answer, error) {
	use := r.plain("sugar-use", f.use, 100, "g/L/h", "g/L")
	from, to := r.celsius("from", f.from), r.celsius("to", f.to)
	if r.fault != nil {
		return Answer{}, nil
	}
	d, err := heat.Drift(use)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Title: "Drift without cooling", Given: []Figure{{"sugar used", use, "g/L/h",
		plainly(use, 2) + " g/L an hour"}, r.ofCelsius("now", from), r.ofCelsius("limit", to)}}
	s, err := heat.UntilLimit(from, to, d)
	if err != nil {
		return a, err
	}
	a.dangers = caution.OfMust(from, to)
	a.Working = []string{"drift = sugar used × 0.55 kJ/g ÷ 3.9 kJ/(L·K)", "time = (limit − now) ÷ drift"}
	a.Results = []Figure{{"drift", d, "K/h", digits(d, 2) + " K/h"}, ofHours("to the limit", s)}
	a.Sources = []string{"heat of fermentation about 0.55 kJ a gram of sugar (24 kcal/mol, read)"}
	return a, nil
}
