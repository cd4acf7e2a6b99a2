package calc

import (
	"fmt"

	"cellar.example/mustwatch/domain/press"
	"cellar.example/mustwatch/domain/quantity"
)

// yieldFlags are what was typed about a pressing or a racking.
type yieldFlags struct {
	juice, grapes, at, stems, density, pomace string
	from, lees, loss                          string
	to                                        []string
}

func yieldKind() kind {
	var f yieldFlags
	return kind{name: "yield", short: "Juice from grapes, and whether a pressing or a racking adds up",
		example: `  mustwatch calc yield --juice 135.4hL --grapes 18.8t
  mustwatch calc yield --grapes 18.8t --at "5.8 hL/t"
  mustwatch calc yield --juice 135.4hL --grapes 18.8t --stems 0.75t --density 1.090
  mustwatch calc yield --from 214hL --to 165hL --to 33.5hL --lees 14hL --loss 1.5hL`,
		fields: []field{
			one(&f.juice, "juice", "`juice` that came"),
			one(&f.grapes, "grapes", "`mass` of grapes"),
			one(&f.at, "at", "`yield` to expect, such as 7.2hL/t or 172gal/short ton"),
			one(&f.stems, "stems", "`mass` of stems"),
			one(&f.density, "density", "`density` of the juice, for a balance"),
			one(&f.pomace, "pomace", "`mass` of pomace, if it was weighed"),
			one(&f.from, "from", "what was in the tank before a racking, a `volume`"),
			one(&f.lees, "lees", "`volume` of lees"),
			one(&f.loss, "loss", "`volume` that was lost"),
			many(&f.to, "to", "`volume` that arrived; given again for each tank"),
		},
		work: func(r *asked) (Answer, error) {
			switch {
			case f.from != "" && len(f.to) > 0 && f.grapes == "":
				return r.racking(f)
			case f.grapes != "" && f.at != "" && f.juice == "":
				return r.expected(f)
			case f.grapes != "" && f.juice != "":
				return r.pressing(f)
			}
			return Answer{}, missing("yield takes grapes with juice or at, or from and to of a racking.")
		}}
}

func (r *asked) ofMass(name string, m quantity.Mass) Figure {
	return Figure{name, m.Kilograms(), "kg", m.Load(r.sys)}
}

// ofTonnes is a mass to 10 kg.
func ofTonnes(name string, m quantity.Mass) Figure {
	return Figure{name, m.Kilograms(), "kg", digits(m.Tonnes(), 2) + " t"}
}

// ofYield is a yield in both kinds of unit.
func ofYield(y press.Yield) []Figure {
	return []Figure{{"yield", float64(y), "L/t", y.String() + " = " + y.Text(quantity.Metric)},
		{"in US units", y.GalPerShortTon(), "gal/short ton", y.Text(quantity.US)}}
}

func (r *asked) pressing(f yieldFlags) (Answer, error) {
	juice, grapes := r.volume("juice", f.juice), r.grapes("grapes", f.grapes)
	a := Answer{Title: "Yield", Given: []Figure{r.ofVolume("juice", juice), r.ofMass("grapes", grapes)}}
	a.Working = []string{"yield = juice ÷ grapes; gal/short ton = L/t ÷ 4.1727"}
	a.Sources = []string{"exact units (US gallon 3.785411784 L, short ton 907.18474 kg)"}
	if r.fault != nil {
		return a, nil
	}
	y, err := press.Of(juice, grapes)
	if err != nil {
		return a, err
	}
	a.Results = ofYield(y)
	if f.density == "" {
		if f.stems != "" || f.pomace != "" {
			return a, missing("A balance takes the density of the juice too.")
		}
		return a, nil
	}
	p := press.Pressing{Grapes: grapes, Juice: juice}
	r.read("density", func() (err error) { p.Density, err = r.habit.Density(f.density); return err })
	if f.stems != "" {
		p.Stems = r.grapes("stems", f.stems)
		a.Given = append(a.Given, ofTonnes("stems", p.Stems))
	}
	if f.pomace != "" {
		p.Pomace = r.grapes("pomace", f.pomace)
		a.Given = append(a.Given, ofTonnes("pomace weighed", p.Pomace))
	}
	if r.fault != nil {
		return a, nil
	}
	b, err := p.Balance()
	if err != nil {
		return a, err
	}
	a.Given = append(a.Given, Figure{"density", float64(p.Density), "kg/L", p.Density.String()})
	a.Working = append(a.Working, "grapes = stems + juice × density + pomace")
	a.Results = append(a.Results, ofTonnes("juice weighs", b.Juice), ofTonnes("pomace", b.Pomace),
		Figure{"pomace share", float64(b.PomaceShare), "%", digits(float64(b.PomaceShare), 1) + " %"})
	if p.Pomace > 0 {
		a.Results = append(a.Results, ofTonnes("not accounted for", b.Missing))
	} else {
		a.Notes = append(a.Notes, "The pomace was not weighed: it is what is left over.")
	}
	return a, nil
}

func (r *asked) expected(f yieldFlags) (Answer, error) {
	grapes := r.grapes("grapes", f.grapes)
	var y press.Yield
	r.read("at", func() (err error) { y, err = press.ParseYield(f.at, r.habit); return err })
	if r.fault != nil {
		return Answer{}, nil
	}
	v, err := y.From(grapes)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Title: "Juice to expect", Given: append([]Figure{r.ofMass("grapes", grapes)}, ofYield(y)...),
		Working: []string{"juice = grapes × yield"}}
	a.Results = []Figure{r.ofVolume("juice", v)}
	a.Sources = []string{"the yield as typed; exact units"}
	return a, nil
}

func (r *asked) racking(f yieldFlags) (Answer, error) {
	k := press.Racking{From: r.volume("from", f.from)}
	a := Answer{Title: "Racking", Given: []Figure{r.ofVolume("from", k.From)},
		Working: []string{"from = all that arrived + lees + loss + what is missing"},
		Sources: []string{"the values as typed"}}
	for i, s := range f.to {
		v := r.volume("to", s)
		k.To = append(k.To, v)
		a.Given = append(a.Given, r.ofVolume(fmt.Sprintf("to tank %d", i+1), v))
	}
	if f.lees != "" {
		k.Lees = r.volume("lees", f.lees)
		a.Given = append(a.Given, r.ofVolume("lees", k.Lees))
	}
	if f.loss != "" {
		k.Loss = r.volume("loss", f.loss)
		a.Given = append(a.Given, r.ofVolume("loss", k.Loss))
	}
	if r.fault != nil {
		return a, nil
	}
	b, err := k.Balance()
	if err != nil {
		return a, err
	}
	tenth := func(name string, p quantity.Percent) Figure {
		return Figure{name, float64(p), "%", digits(float64(p), 1) + " %"}
	}
	a.Results = []Figure{r.ofVolume("arrived", b.Clear), tenth("arrived share", b.ClearShare), tenth("lees share",
		b.LeesShare), r.ofVolume("missing", b.Missing)}
	if b.Missing != 0 {
		a.Notes = []string{"It does not add up: dip both ends again."}
	}
	return a, nil
}
