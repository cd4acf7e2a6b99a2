package calc

import (
	"errors"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// contactFlags are what was typed about an enzyme's contact.
type contactFlags struct {
	rows, readings            []string
	floor, ceiling, start, at string
}

func contactKind() kind {
	f := contactFlags{floor: "0"}
	return kind{name: "contact", short: "When an enzyme is due for its test",
		long: `The deadline by the rows of the card (from the label of the lot), at the lowest
temperature since the start, and beside it the model that follows the readings.
The clock only says when to test; the test decides.`,
		example: `  mustwatch calc contact --row 10-12=4h --row 12-15=3h --row 15-20=2h --floor 10 --ceiling 45 --start 19:15 --reading 19:15=13.5
  mustwatch calc contact --row 12-15=3h --start 20:00 --reading 20:00=12.5 --reading 22:00=16.5 --at 22:00`,
		fields: []field{
			many(&f.rows, "row", "`row` of the card, such as 12-15=3h; given again for each"),
			many(&f.readings, "reading", "`reading` of the vessel, such as 19:15=13.5; given again for each, in order"),
			one(&f.floor, "floor", "`temperature` under which the contact is cold"),
			one(&f.ceiling, "ceiling", "`temperature` over which the contact is hot, else none"),
			one(&f.start, "start", "`time` of the last dose, or of the last untreated juice in"),
			one(&f.at, "at", "`time` now, else that of the last reading"),
		},
		work: func(r *asked) (Answer, error) { return r.contact(f) }}
}

func (r *asked) contact(f contactFlags) (Answer, error) {
	if len(f.rows) == 0 || len(f.readings) == 0 || f.start == "" {
		return Answer{}, missing("contact takes row, start and reading.")
	}
	run := contact.Run{Card: r.card(f), Start: r.clock("start", f.start), Units: r.sys}
	logged := r.clocks("reading", f.readings)
	if r.fault != nil {
		return Answer{}, nil
	}
	// Readings past midnight belong to a start before it, and the other way round.
	switch gap := logged[0].At.Sub(run.Start); {
	case gap > 12*time.Hour:
		run.Start = run.Start.Add(24 * time.Hour)
	case gap < -12*time.Hour:
		for i := range logged {
			logged[i].At = logged[i].At.Add(24 * time.Hour)
		}
	}
	at := logged[len(logged)-1].At
	if at.Before(run.Start) {
		at = run.Start
	}
	if f.at != "" {
		for at = r.clock("at", f.at); at.Before(run.Start); {
			at = at.Add(24 * time.Hour)
		}
	}
	a := Answer{Title: "Contact", Given: []Figure{{"start", 0, "h", hour(run.Start, run.Start)}}}
	for _, one := range logged {
		run.Readings = append(run.Readings, contact.Reading{At: one.At, T: one.T})
		a.Given = append(a.Given, r.ofCelsius(hour(one.At, run.Start), one.T))
	}
	if err := run.Card.Validate(); err != nil {
		return a, slip("row", "", err)
	}
	if r.fault == nil {
		r.due(&a, run, at)
	}
	return a, nil
}

// due puts what the card and the model say among the results.
func (r *asked) due(a *Answer, run contact.Run, at time.Time) {
	d := run.Deadline(at)
	since := func(t time.Time) float64 { return t.Sub(run.Start).Hours() }
	a.Given = append(a.Given, Figure{"now", since(at), "h", hour(at, run.Start)})
	a.Working = []string{"due = start + the card's row at the lowest temperature since the start; an edge belongs " +
		"to the colder row",
		"model: progress = ∫ dt ÷ hours of the card at the temperature, ln hours straight over 1/T between the " +
			"middles of the rows"}
	a.Notes = append(a.Notes, "Basis of the due: "+d.Basis.In(text.Units(run.Units))+".")
	if d.HasDue {
		a.put(Due, Figure{"due", since(d.Due), "h", hour(d.Due, run.Start)})
	} else {
		a.Notes = append(a.Notes, "There is no due.")
	}
	p := run.Progress(at)
	a.Results = append(a.Results, Figure{"progress", p, "", plainly(p*100, 0) + " %"})
	switch {
	case d.HasModel:
		a.Results = append(a.Results, Figure{"by the model", since(d.Model), "h", hour(d.Model, run.Start)})
	case d.ModelWhy != "":
		a.Notes = append(a.Notes, "The model has no due: "+string(d.ModelWhy)+".")
	}
	if early, late, ok := run.Spread(at); ok {
		a.Results = append(a.Results, Figure{"earliest", since(early), "h", hour(early, run.Start)}, Figure{"latest",
			since(late), "h", hour(late, run.Start)})
		a.Notes = append(a.Notes, "Earliest and latest of three: the model, and the row by the lowest and by the "+
			"highest published activation energy, "+
			"9.2 and 80.3 kJ/mol.")
	}
	if d.Cold {
		a.Notes = append(a.Notes, "Cold: the last reading is under the floor of the card.")
	}
	if d.Hot {
		a.Notes = append(a.Notes, "Hot: the last reading is over the ceiling of the card.")
	}
	a.Sources = []string{"the card of the lot; the model stands beside it and decides nothing"}
}

// card reads the rows, "12-15=3h".
func (r *asked) card(f contactFlags) contact.Card {
	var c contact.Card
	for _, s := range f.rows {
		band, wait, _ := strings.Cut(s, "=")
		from, to, ok := strings.Cut(strings.NewReplacer("–", "-", "°C", "", "..", "-").Replace(band), "-")
		if !ok && r.fault == nil {
			r.fault = slip("row", "",
				errors.New("Type a row of the card with its band and its wait, such as 12-15=3h."))
		}
		c.Rows = append(c.Rows, contact.Row{From: r.celsius("row", from), To: r.celsius("row", to), Wait: r.wait("row",
			wait)})
	}
	c.Floor = r.celsius("floor", f.floor)
	if r.sys == quantity.US && f.floor == "0" {
		c.Floor = 0
	}
	if f.ceiling != "" {
		c.Ceiling = r.celsius("ceiling", f.ceiling)
	}
	return c
}
