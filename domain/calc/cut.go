package calc

import (
	"fmt"
	"strings"

	"cellar.example/mustwatch/domain/press"
	"cellar.example/mustwatch/domain/tank"
)

// settleFlags are what was typed about solids that sink.
type settleFlags struct{ particle, heavier, viscosity, height string }

func settleKind() kind {
	f := settleFlags{viscosity: "2"}
	return kind{name: "settle", short: "How fast a particle sinks in still juice",
		long: `Stokes' law for one round particle far from others. Real must is thick with
solids, warms and moves: the answer is an indication and opens nothing.`,
		example: `  mustwatch calc settle --particle 50um --heavier 50 --height 1m
  mustwatch calc settle --particle 20um --heavier 80 --viscosity 3 --height 3.2m`,
		fields: []field{
			one(&f.particle, "particle", "`diameter` in µm, such as 50"),
			one(&f.heavier, "heavier", "by how much it is heavier than the juice, in `kg/m3`"),
			one(&f.viscosity, "viscosity", "of the juice in `mPa·s`; cold or sweet juice is thicker"),
			one(&f.height, "height", "`height` of the juice, for the time"),
		},
		work: func(r *asked) (Answer, error) {
			if f.particle == "" || f.heavier == "" {
				return Answer{}, missing("settle takes particle and heavier, such as 50um and 50.")
			}
			return r.settling(f)
		}}
}

func (r *asked) settling(f settleFlags) (Answer, error) {
	p := tank.Particle{Diameter: r.plain("particle", f.particle, 10_000, "µm", "um"), Heavier: r.plain("heavier",
		f.heavier, 10_000, "kg/m³", "kg/m3"),
		Viscosity: r.plain("viscosity", f.viscosity, 1000, "mPa·s", "mPas", "cP")}
	if r.fault != nil {
		return Answer{}, nil
	}
	v, err := p.Sinking()
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Title: "Settling, an indication",
		Working: []string{"speed = g × diameter² × heavier ÷ (18 × viscosity)"},
		Sources: []string{"Stokes' law as in White Wine Technology, 2022, ch. 8.4: dilute, round, no convection"},
		Notes: []string{"Solids hinder each other, warm juice stirs itself, and pectin holds them up: look, do " +
			"not calculate."}}
	a.Given = []Figure{{"particle", p.Diameter, "µm", plainly(p.Diameter, 1) + " µm"}, {"heavier", p.Heavier, "kg/m3",
		plainly(p.Heavier, 1) + " kg/m3"},
		{"viscosity", p.Viscosity, "mPa·s", plainly(p.Viscosity, 2) + " mPa·s"}}
	a.Results = []Figure{{"speed", 1000 * v, "mm/h", digits(1000*v, 1) + " mm/h"}}
	if f.height == "" {
		return a, nil
	}
	height := r.maybe("height", f.height)
	if r.fault != nil {
		return a, nil
	}
	down, err := p.Down(height)
	if err != nil {
		return a, slip("height", "", err)
	}
	a.Given = append(a.Given, r.ofLength("height", height))
	a.Working = append(a.Working, "time = height ÷ speed")
	a.Results = append(a.Results, ofHours("time", down))
	return a, nil
}

// cutFlags are two conductivities of one pressing.
type cutFlags struct{ first, now string }

func cutKind() kind {
	var f cutFlags
	return kind{name: "cut", short: "How far a pressing has gone, by the conductivity of its juice",
		long: `Compares the juice that runs now with the first free run. Both readings at
the same temperature. It helps to see where a cut would fall; the
house tastes and decides.`,
		example: `  mustwatch calc cut --first 2.40 --now 2.85`,
		fields: []field{
			one(&f.first, "first", "`conductivity` of the first free run in mS/cm, or with µS/cm behind it"),
			one(&f.now, "now", "`conductivity` of what runs now, likewise"),
		},
		work: func(r *asked) (Answer, error) {
			if f.first == "" || f.now == "" {
				return Answer{}, missing("cut takes first and now, two conductivities, such as 2.40 and 2.85 mS/cm.")
			}
			return r.cut(f)
		}}
}

// conductivity reads mS/cm, and µS/cm where that is said.
func (r *asked) conductivity(field, s string) float64 {
	for _, u := range []string{"µS/cm", "uS/cm", "µS", "uS"} {
		if n := len(s) - len(u); n >= 0 && strings.EqualFold(s[n:], u) {
			return r.plain(field, s[:n], 100_000) / 1000
		}
	}
	return r.plain(field, s, 100, "mS/cm", "mS")
}

// zones say where in the published trial a pressing would stand.
var zones = []string{"like the first zone of the trial", "like the second zone", "like the third zone",
	"like the end of the last zone: heavy press juice"}

func (r *asked) cut(f cutFlags) (Answer, error) {
	first, now := r.conductivity("first", f.first), r.conductivity("now", f.now)
	if r.fault != nil {
		return Answer{}, nil
	}
	rise, zone, err := press.Conduction(first, now)
	if err != nil {
		return Answer{}, err
	}
	a := Answer{Title: "Cut of a pressing", Working: []string{"rise = now ÷ first free run − 1"}}
	a.Given = []Figure{{"first free run", first, "mS/cm", plainly(first, 3) + " mS/cm"}, {"now", now, "mS/cm",
		plainly(now, 3) + " mS/cm"}}
	a.Results = []Figure{{"rise", rise, "%", digits(rise, 1) + " %"}, {"zone", float64(zone), "", zones[zone]}}
	a.Notes = []string{fmt.Sprintf("In the trial the zones rose by 11 %%, 6.7 %% and 20.4 %%, %.0f %% in all. One "+
		"press, one year: the house's own cut comes first.", press.Compound(press.Rises...))}
	a.Sources = []string{"ITV France, J.-L. Favarel, 1998: conductivity along a continuous press"}
	return a, nil
}
