package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/must"
	"cellar.example/mustwatch/domain/must/blend"
	"cellar.example/mustwatch/domain/must/strength"
	"cellar.example/mustwatch/domain/quantity"
)

func (r *reckoner) strengthCommand() *cobra.Command {
	var to string
	cmd := &cobra.Command{
		Use:   "strength PART...",
		Short: "Strength of alcohol and water poured together",
		Example: `  mustwatch reckon strength 5mL@96% 5mL@0%
  mustwatch reckon strength 1L@96% --to 50%`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage("strength takes volumes with their strengths, such as 5mL@96%% 5mL@0%%.")
			}
			return nil
		},
		RunE: r.answers(func(args []string) (reckoned, error) { return r.strength(args, to) }),
	}
	cmd.Flags().StringVar(&to, "to", "", "also the water that brings the mix down to this `strength`")
	return cmd
}

func (r *reckoner) strength(args []string, to string) (reckoned, error) {
	a := reckoned{Title: "Strength of a mix, at 20 °C", Sources: []string{"OIML R22 (1973), general formula"}}
	var parts []strength.Part
	for i, s := range args {
		var p strength.Part
		r.read(s, func() (err error) { p, err = strength.ParsePart(s, r.sys); return err })
		parts = append(parts, p)
		a.Given = append(a.Given, figure{fmt.Sprintf("part %d", i+1), float64(p.Volume), "mL", fmt.Sprintf("%s mL at %s %% vol", plainly(float64(p.Volume), 2), plainly(float64(p.ABV), 2))})
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
	a.Results = []figure{
		{"strength", float64(m.ABV), "% vol", digits(float64(m.ABV), 1) + " % vol"},
		{"without contraction", float64(m.Naive), "% vol", digits(float64(m.Naive), 1) + " % vol"},
		{"volume", float64(m.Volume), "mL", plainly(float64(m.Volume), 2) + " mL of " + plainly(float64(m.Poured), 2) + " mL poured"},
		{"contraction", 100 * m.Contraction, "%", digits(100*m.Contraction, 2) + " %"},
	}
	if to != "" {
		target := r.plain("--to", to, "% vol", "%")
		water, err := strength.WaterTo(strength.Part{Volume: m.Volume, ABV: m.ABV}, strength.ABV(target))
		if err != nil {
			return a, err
		}
		a.Working = append(a.Working, "water = what the same ethanol weighs at the target, less what the mix weighs")
		a.Results = append(a.Results, figure{"water to " + plainly(target, 1) + " %", float64(water), "mL", plainly(float64(water), 2) + " mL"})
	}
	a.Notes = []string{"With juice in place of water this is an estimate: its sugar is not in the table."}
	return a, nil
}

// so2Flags are what was typed for SO2; empty where nothing was.
type so2Flags struct{ volume, rate, share, solution, ph, free, molecular, pka, abv, temp string }

func (r *reckoner) so2Command() *cobra.Command {
	var f so2Flags
	cmd := &cobra.Command{
		Use:   "so2",
		Short: "An addition of SO2, or its molecular share",
		Example: `  mustwatch reckon so2 --volume 100hL --rate 50mg/L --solution 5%
  mustwatch reckon so2 --ph 3.4 --free 30
  mustwatch reckon so2 --ph 3.4 --molecular 0.8 --pka 1.77`,
		Args: noArguments,
		RunE: r.answers(func([]string) (reckoned, error) {
			switch {
			case f.volume != "" && f.rate != "" && f.ph == "":
				return r.sulphite(f)
			case f.ph != "" && f.volume == "" && (f.free == "" || f.molecular == ""):
				return r.molecular(f)
			}
			return reckoned{}, usage("so2 takes --volume and --rate, or --ph with --free or --molecular.")
		}),
	}
	cmd.Flags().StringVar(&f.volume, "volume", "", "`juice` to treat")
	cmd.Flags().StringVar(&f.rate, "rate", "", "`dose` of SO2 itself, such as 50mg/L")
	cmd.Flags().StringVar(&f.share, "share", "57.6%", "SO2 in the metabisulphite, a setting of the house: `57.6%` in theory, 57% for powder that has stood")
	cmd.Flags().StringVar(&f.solution, "solution", "", "`strength` of a solution, such as 5% (w/v) or 150g/L")
	cmd.Flags().StringVar(&f.ph, "ph", "", "`pH` of the must")
	cmd.Flags().StringVar(&f.free, "free", "", "free SO2 in `mg/L`")
	cmd.Flags().StringVar(&f.molecular, "molecular", "", "molecular SO2 wanted in `mg/L`")
	cmd.Flags().StringVar(&f.pka, "pka", "", "`pKa` to go by, else 1.81")
	cmd.Flags().StringVar(&f.abv, "abv", "", "`strength` for a pKa out of the table; with --temp")
	cmd.Flags().StringVar(&f.temp, "temp", "", "`temperature` for a pKa out of the table, 20 to 40 °C; with --abv")
	return cmd
}

func (r *reckoner) sulphite(f so2Flags) (reckoned, error) {
	volume, rate := r.volume("--volume", f.volume), r.rate("--rate", f.rate)
	share := r.plain("--share", f.share, "%")
	if strings.HasSuffix(strings.TrimSpace(f.share), "%") || share > 1 {
		share /= 100
	}
	strong := 0.0
	if f.solution != "" {
		strong = r.gramsPerLitre("--solution", f.solution)
	}
	if r.fault != nil {
		return reckoned{}, nil
	}
	s, err := dose.Sulphite(volume, rate, share, strong)
	if err != nil {
		return reckoned{}, err
	}
	a := reckoned{Title: "SO2", Given: []figure{r.ofVolume("juice", volume), r.ofRate("SO2", rate), ofShare("share in the powder", 100*share)}}
	a.Working = []string{"SO2 = juice × rate", "metabisulphite = SO2 ÷ share"}
	a.Results = []figure{r.ofAmount("as gas", quantity.Amount{Mass: s.Gas}), r.ofAmount("as metabisulphite", quantity.Amount{Mass: s.Powder})}
	if s.Solution > 0 {
		a.Given = append(a.Given, figure{"solution", strong, "g/L", plainly(strong, 1) + " g/L"})
		a.Working = append(a.Working, "solution = SO2 ÷ strength")
		a.Results = append(a.Results, r.ofAmount("as solution", quantity.Amount{Volume: s.Solution}))
	}
	a.Notes = []string{"Give one of the forms, not all."}
	a.Sources = []string{"potassium metabisulphite: 2 × 64.06 ÷ 222.32 = 57.6 % SO2; the share is a setting of the house"}
	return a, nil
}

func (r *reckoner) molecular(f so2Flags) (reckoned, error) {
	var ph quantity.PH
	r.read("--ph", func() error { return ph.UnmarshalText([]byte(f.ph)) })
	pka, source := must.CautiousPKa, "pKa 1.81: fits the table of Enology Briefs I(1), University of California, 1982; the cautious side at 12 % vol"
	switch {
	case f.pka != "" && f.abv == "" && f.temp == "":
		pka, source = must.PKa(r.plain("--pka", f.pka)), "the pKa as typed"
	case f.abv != "" && f.temp != "" && f.pka == "":
		strong := strength.ABV(r.plain("--abv", f.abv, "% vol", "%"))
		t := r.celsius("--temp", f.temp)
		r.read("--abv", func() (err error) { pka, err = must.PKaAt(strong, t); return err })
		pka -= must.InWine
		source = "pK of OIV-MA-AS323-04C Table I, less 0.08 for the salts of wine (that shift from memory)"
	case f.pka != "" || f.abv != "" || f.temp != "":
		return reckoned{}, usage("A pKa comes from --pka, or from --abv and --temp together.")
	}
	if r.fault != nil {
		return reckoned{}, nil
	}
	share, err := must.MolecularShare(ph, pka)
	if err != nil {
		return reckoned{}, err
	}
	a := reckoned{Title: "Molecular SO2", Given: []figure{{"pH", float64(ph), "", ph.String()}, {"pKa", float64(pka), "", plainly(float64(pka), 3)}}}
	a.Working = []string{"share = 1 ÷ (1 + 10^(pH − pKa))"}
	a.Results = []figure{{"molecular share", float64(share), "%", digits(float64(share), 2) + " %"}}
	switch {
	case f.free != "":
		free := must.MgL(r.plain("--free", f.free, "mg/L", "ppm"))
		m, err := must.Molecular(free, ph, pka)
		if err != nil {
			return a, err
		}
		a.Given = append(a.Given, figure{"free", float64(free), "mg/L", plainly(float64(free), 1) + " mg/L"})
		a.Results = append(a.Results, figure{"molecular", float64(m), "mg/L", digits(float64(m), 2) + " mg/L"})
	case f.molecular != "":
		want := must.MgL(r.plain("--molecular", f.molecular, "mg/L", "ppm"))
		free, err := must.FreeFor(want, ph, pka)
		if err != nil {
			return a, err
		}
		a.Given = append(a.Given, figure{"molecular", float64(want), "mg/L", plainly(float64(want), 2) + " mg/L"})
		a.Results = append(a.Results, figure{"free", float64(free), "mg/L", digits(float64(free), 0) + " mg/L"})
	}
	a.Sources = []string{source}
	return a, nil
}

func (r *reckoner) blendCommand() *cobra.Command {
	var what string
	cmd := &cobra.Command{
		Use:     "blend LOT...",
		Short:   "What comes of lots put together",
		Example: `  mustwatch reckon blend --what sugar 79hL@210 74hL@200`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage("blend takes lots, such as 79hL@210 74hL@200.")
			}
			return nil
		},
		RunE: r.answers(func(args []string) (reckoned, error) { return r.blend(what, args) }),
	}
	cmd.Flags().StringVar(&what, "what", "sugar", "`property` to blend: sugar, acidity, density, oe, temperature, so2, nitrogen or dose")
	return cmd
}

func (r *reckoner) blend(what string, args []string) (reckoned, error) {
	var p blend.Property
	r.read("--what", func() (err error) { p, err = blend.ParseProperty(what); return err })
	a := reckoned{Title: "Blend, " + string(p), Working: []string{"value = Σ (volume × value) ÷ Σ volume"}, Sources: []string{"additive by volume"}}
	var lots []blend.Lot
	for i, s := range args {
		amount, value, ok := strings.Cut(s, "@")
		if !ok {
			return a, errors.New("Type each lot with its volume and its value, such as 79hL@210.")
		}
		l := blend.Lot{Volume: r.volume(s, amount), Value: r.plain(s, value)}
		lots = append(lots, l)
		a.Given = append(a.Given, figure{fmt.Sprintf("lot %d", i+1), l.Volume.HL(), "hL", l.Volume.Text(r.sys) + " at " + plainly(l.Value, 4)})
	}
	if r.fault != nil {
		return a, nil
	}
	b, err := blend.Mix(p, lots...)
	if err != nil {
		return a, err
	}
	places := map[blend.Property]int{blend.Weight: 4, blend.Acidity: 2, blend.Dose: 2}[p]
	a.Results = []figure{{string(p), b.Value, "", digits(b.Value, max(places, 1))}, r.ofVolume("volume", b.Volume)}
	for i, s := range b.Shares {
		a.Results = append(a.Results, figure{fmt.Sprintf("share of lot %d", i+1), float64(s), "%", digits(float64(s), 1) + " %"})
	}
	if b.Rough {
		a.Notes = []string{"Temperatures add up by heat, not quite by volume: an estimate."}
	}
	return a, nil
}
