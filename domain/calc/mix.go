package calc

import (
	"errors"
	"fmt"
	"strings"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/must"
	"cellar.example/mustwatch/domain/must/blend"
	"cellar.example/mustwatch/domain/must/strength"
	"cellar.example/mustwatch/domain/quantity"
)

func strengthKind() kind {
	var parts []string
	var to string
	return kind{name: "strength", short: "Strength of alcohol and water poured together", words: "part",
		example: `  mustwatch calc strength 5mL@96% 5mL@0%
  mustwatch calc strength 1L@96% --to 50%`,
		fields: []field{
			many(&parts, "part", "`part` with its strength, such as 5mL@96%; given again for each"),
			one(&to, "to", "also the water that brings the mix down to this `strength`"),
		},
		cautions: []caution.Code{caution.Flammable},
		work: func(r *asked) (Answer, error) {
			if len(parts) == 0 {
				return Answer{},
					missing("strength takes parts, volumes with their strengths, such as 5mL@96%% 5mL@0%%.")
			}
			return r.strength(parts, to)
		}}
}

func (r *asked) strength(args []string, to string) (Answer, error) {
	a := Answer{Title: "Strength of a mix, at 20 °C", Sources: []string{"OIML R22 (1973), general formula"}}
	var parts []strength.Part
	for i, s := range args {
		var p strength.Part
		r.readOne("part", s, func() (err error) { p, err = strength.ParsePart(s, r.habit); return err })
		parts = append(parts, p)
		a.Given = append(a.Given, Figure{fmt.Sprintf("part %d", i+1), float64(p.Volume), "mL",
			fmt.Sprintf("%s mL at %s %% vol", plainly(float64(p.Volume), 2), plainly(float64(p.ABV), 2))})
	}
	if r.fault != nil {
		return a, nil
	}
	m, err := strength.Mix(parts...)
	if err != nil {
		return a, err
	}
	a.Working = []string{"by mass: mass of each part = volume × density at its strength; ethanol and mass are added up",
		"strength = share of ethanol × density of the mix ÷ 789.24"}
	a.Results = []Figure{
		{"strength", float64(m.ABV), "% vol", digits(float64(m.ABV), 1) + " % vol"},
		{"without contraction", float64(m.Naive), "% vol", digits(float64(m.Naive), 1) + " % vol"},
		{"volume", float64(m.Volume), "mL", plainly(float64(m.Volume), 2) + " mL of " + plainly(float64(m.Poured),
			2) + " mL poured"},
		{"contraction", 100 * m.Contraction, "%", digits(100*m.Contraction, 2) + " %"},
	}
	if to != "" {
		target := r.plain("to", to, 100, "% vol", "%")
		water, err := strength.WaterTo(strength.Part{Volume: m.Volume, ABV: m.ABV}, strength.ABV(target))
		if err != nil {
			return a, err
		}
		a.Working = append(a.Working, "water = what the same ethanol weighs at the target, less what the mix weighs")
		a.Results = append(a.Results, Figure{"water to " + plainly(target, 1) + " %", float64(water), "mL",
			plainly(float64(water), 2) + " mL"})
	}
	a.Notes = []string{"With juice in place of water this is an estimate: its sugar is not in the table."}
	if c, known, err := strength.FlashPoint(m.ABV); err == nil && known {
		a.Notes = append(a.Notes, "Flammable: its vapour can catch fire from about "+
			strings.Replace(quantity.Celsius(c).Text(r.sys), ".0 ", " ", 1)+" on. No flame, cap on.")
		a.Sources = append(a.Sources, "flash points: engineering reference table, closed cup")
	}
	return a, nil
}

// so2Flags are what was typed for SO2; empty where nothing was.
type so2Flags struct{ volume, rate, share, solution, ph, free, molecular, pka, abv, temp string }

func so2Kind() kind {
	f := so2Flags{share: "57.6%"}
	return kind{name: "so2", short: "An addition of SO2, or its molecular share",
		example: `  mustwatch calc so2 --volume 100hL --rate 50mg/L --solution "5% SO2"
  mustwatch calc so2 --ph 3.4 --free 30
  mustwatch calc so2 --ph 3.4 --molecular 0.8 --pka 1.77`,
		fields: []field{
			one(&f.volume, "volume", "`juice` to treat"),
			one(&f.rate, "rate", "`dose` of SO2 itself, such as 50mg/L"),
			one(&f.share, "share", "SO2 in the metabisulphite, a setting of the house: `57.6%` in theory, 57% for "+
				"powder that has stood"),
			one(&f.solution, "solution", "`strength` of a solution, such as 150g/L, '5% SO2' or '10% salt' (of "+
				"metabisulphite); per cent are w/v"),
			one(&f.ph, "ph", "`pH` of the must"),
			one(&f.free, "free", "free SO2 in `mg/L`"),
			one(&f.molecular, "molecular", "molecular SO2 wanted in `mg/L`"),
			one(&f.pka, "pka", "`pKa` to go by, else 1.81"),
			one(&f.abv, "abv", "`strength` for a pKa out of the table; with temp"),
			one(&f.temp, "temp", "`temperature` for a pKa out of the table, 20 to 40 °C; with abv"),
		},
		cautions: []caution.Code{caution.Sulphite},
		work: func(r *asked) (Answer, error) {
			switch {
			case f.volume != "" && f.rate != "" && f.ph == "":
				return r.sulphite(f)
			case f.ph != "" && f.volume == "" && (f.free == "" || f.molecular == ""):
				return r.molecular(f)
			}
			return Answer{}, missing("so2 takes a volume and a rate, or a ph with free or molecular.")
		}}
}

func (r *asked) sulphite(f so2Flags) (Answer, error) {
	volume, rate := r.volume("volume", f.volume), r.rate("rate", f.rate)
	share, strong := r.so2Share("share", f.share), dose.Strength{}
	if f.solution != "" {
		r.read("solution", func() (err error) { strong, err = dose.ParseStrength(f.solution, r.habit); return err })
		strong = strong.Solution()
	}
	if r.fault != nil {
		return Answer{}, nil
	}
	s, err := dose.Sulphite(volume, rate, share, strong.Value)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Title: "SO2", Given: []Figure{r.ofVolume("juice", volume), r.ofRate("SO2", rate),
		ofShare("share in the powder", 100*share)}}
	a.Working = []string{"SO2 = juice × rate", "metabisulphite = SO2 ÷ share"}
	a.Results = []Figure{r.ofAmount("as gas", quantity.Amount{Mass: s.Gas}), r.ofAmount("as metabisulphite",
		quantity.Amount{Mass: s.Powder})}
	if s.Solution > 0 {
		a.Given = append(a.Given, Figure{"solution", strong.Value, "g/L", strong.String() + " of SO2"})
		a.Working = append(a.Working, "solution = SO2 ÷ strength")
		a.Results = append(a.Results, r.ofAmount("as solution", quantity.Amount{Volume: s.Solution}))
	}
	a.Notes = []string{"Give one of the forms, not all."}
	if says := strong.BelowCodex(); says != "" {
		a.Notes = append(a.Notes, says)
	}
	a.Sources = []string{"potassium metabisulphite: 2 × 64.06 ÷ 222.32 = 57.6 % SO2; the share is a setting of the " +
		"house"}
	return a, nil
}

// so2Share reads the share of SO2 in a powder. The field says of what it is, so a per cent
// needs no more words; but 100 % is asked, for it may be pure gas or pure salt.
func (r *asked) so2Share(field, s string) (share float64) {
	r.read(field, func() error {
		text := strings.TrimSpace(s)
		if number, ok := strings.CutSuffix(text, "%"); ok && strings.Trim(number, " ") != "100" {
			text += " SO2"
		}
		if x, err := r.habit.Number(text, 0, 100); err == nil {
			if x <= 1 {
				x *= 100
			}
			return fmt.Errorf("\"%s\" has no unit: type %s %% if that is what it means.", text, plainly(x, 4))
		}
		got, err := dose.ParseStrength(text, r.habit)
		if err == nil && got.Poured() {
			err = errors.New("Type the SO2 in the powder as 57.6 % SO2; g/L is for a solution.")
		}
		share = got.Value / 100
		return err
	})
	return share
}

func (r *asked) molecular(f so2Flags) (Answer, error) {
	var ph quantity.PH
	r.read("ph", func() error { return ph.ReadTyped(f.ph, r.habit) })
	pka, source := must.CautiousPKa, "pKa 1.81: fits the table of Enology Briefs I(1), University of California, "+
		"1982; the cautious side at 12 % vol"
	switch {
	case f.pka != "" && f.abv == "" && f.temp == "":
		pka, source = must.PKa(r.plain("pka", f.pka, 14)), "the pKa as typed"
	case f.abv != "" && f.temp != "" && f.pka == "":
		strong := strength.ABV(r.plain("abv", f.abv, 100, "% vol", "%"))
		t := r.celsius("temp", f.temp)
		r.read("abv", func() (err error) { pka, err = must.PKaAt(strong, t); return err })
		pka -= must.InWine
		source = "pK of OIV-MA-AS323-04C Table I, less 0.08 for the salts of wine (that shift from memory)"
	case f.pka != "" || f.abv != "" || f.temp != "":
		return Answer{}, missing("A pKa comes from pka, or from abv and temp together.")
	}
	if r.fault != nil {
		return Answer{}, nil
	}
	share, err := must.MolecularShare(ph, pka)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Title: "Molecular SO2", Given: []Figure{{"pH", float64(ph), "", ph.String()}, {"pKa", float64(pka), "",
		plainly(float64(pka), 3)}}}
	a.Working = []string{"share = 1 ÷ (1 + 10^(pH − pKa))"}
	a.Results = []Figure{{"molecular share", float64(share), "%", digits(float64(share), 2) + " %"}}
	switch {
	case f.free != "":
		free := must.MgL(r.plain("free", f.free, 1000, "mg/L", "ppm"))
		m, err := must.Molecular(free, ph, pka)
		if err != nil {
			return a, err
		}
		a.Given = append(a.Given, Figure{"free", float64(free), "mg/L", plainly(float64(free), 1) + " mg/L"})
		a.Results = append(a.Results, Figure{"molecular", float64(m), "mg/L", digits(float64(m), 2) + " mg/L"})
	case f.molecular != "":
		want := must.MgL(r.plain("molecular", f.molecular, 100, "mg/L", "ppm"))
		free, err := must.FreeFor(want, ph, pka)
		if err != nil {
			return a, err
		}
		a.Given = append(a.Given, Figure{"molecular", float64(want), "mg/L", plainly(float64(want), 2) + " mg/L"})
		a.Results = append(a.Results, Figure{"free", float64(free), "mg/L", digits(float64(free), 0) + " mg/L"})
	}
	a.Sources = []string{source}
	return a, nil
}

func blendKind() kind {
	what := "sugar"
	var lots []string
	return kind{name: "blend", short: "What comes of lots put together", words: "lot",
		example: `  mustwatch calc blend --what sugar 79hL@210g/L 74hL@21.5brix
  mustwatch calc blend --what so2 79hL@50mg/L 74hL@3g/hL`,
		fields: []field{
			one(&what, "what", "`property` to blend: sugar, acidity, density, oe, temperature, so2, nitrogen or dose"),
			many(&lots, "lot", "`lot` with its value, such as 79hL@210g/L or 79hL@21.5brix; given again for each"),
		},
		work: func(r *asked) (Answer, error) {
			if len(lots) == 0 {
				return Answer{}, missing("blend takes lots, such as 79hL@210g/L 74hL@21.5brix.")
			}
			return r.blend(what, lots)
		}}
}

func (r *asked) blend(what string, args []string) (Answer, error) {
	var p blend.Property
	r.read("what", func() (err error) { p, err = blend.ParseProperty(what); return err })
	a := Answer{Title: "Blend, " + string(p), Working: []string{"value = Σ (volume × value) ÷ Σ volume"},
		Sources: []string{"additive by volume"}}
	var lots []blend.Lot
	for i, s := range args {
		amount, value, ok := strings.Cut(s, "@")
		if !ok {
			return a, errors.New("Type each lot with its volume and its value, such as 79hL@210g/L or 79hL@21.5brix.")
		}
		var l blend.Lot
		var from string
		r.readOne("lot", s, func() (err error) {
			if l.Volume, err = r.habit.Volume(amount); err == nil {
				l.Value, from, err = p.Read(value, r.habit)
			}
			return err
		})
		lots = append(lots, l)
		text := l.Volume.Text(r.sys) + " at " + p.Text(l.Value, r.sys)
		if from != "" {
			text += " (" + from + ")"
		}
		a.Given = append(a.Given, Figure{fmt.Sprintf("lot %d", i+1), l.Volume.HL(), "hL", text})
	}
	if r.fault != nil {
		return a, nil
	}
	b, err := blend.Mix(p, lots...)
	if err != nil {
		return a, err
	}
	a.Results = []Figure{{string(p), b.Value, p.Unit(), p.Text(b.Value, r.sys)}, r.ofVolume("volume", b.Volume)}
	if p == blend.SugarGL {
		r.asBrix(&a, b.Value)
	}
	for i, s := range b.Shares {
		a.Results = append(a.Results, Figure{fmt.Sprintf("share of lot %d", i+1), float64(s), "%", digits(float64(s),
			1) + " %"})
	}
	if b.Rough {
		a.Notes = []string{"Temperatures add up by heat, not quite by volume: an estimate."}
	}
	return a, nil
}

// asBrix puts a sugar in g/L beside what a refractometer shows, for the two numbers
// lie so far apart that one taken for the other is seen.
func (r *asked) asBrix(a *Answer, sugar float64) {
	s, err := must.Convert(must.Reading{Value: sugar, Scale: must.Sugar})
	if err != nil || !s.Brix.Known {
		return
	}
	text := digits(s.Brix.Value, 1) + " °Brix"
	if s.Brix.Extrapolated {
		text += "  extrapolated, outside the table"
	}
	a.Results = append(a.Results, Figure{"refractometer", s.Brix.Value, "°Brix", text})
	a.Sources = append(a.Sources, s.Brix.Basis)
}
