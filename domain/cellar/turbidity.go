package cellar

import (
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// The house's band of settled juice is its own. What is printed differs: 50 to
// 200 NTU (trade pages on settling); 100 to 150, thin or hard to ferment below
// 100 (a French advisory page on settling); about 100 aimed at, from 500 to 600
// off the press (a trade page on flotation, 2020); 150 to 200, and about 50 where
// over half is rotten (a German growers' advisory circular, 8 October 2010).

// Outside these a racking is asked about (common practice, no source).
const (
	thinBelow   = 40.0
	cloudyAbove = 400.0
)

// Band puts a turbidity beside the house's band of settled juice: "152 NTU: in
// the house band 100–200".
func (l Limits) Band(ntu float64) string {
	where := "in"
	switch {
	case ntu < l.NTULow:
		where = "below"
	case ntu > l.NTUHigh:
		where = "above"
	}
	return text.Of("{ntu:%.0f} NTU: {where} the house band {low:%g}–{high:%g}", ntu, where, l.NTULow,
		l.NTUHigh).In(text.Exact{})
}

var (
	thinJuice = text.New("thin-juice", "{turbidity:%.0f} NTU at {time}, under {limit}: juice this clean may stick "+
		"in ferment. Stir some fine lees back in?")
	cloudyJuice = text.New("cloudy-juice", "{turbidity:%.0f} NTU at {time}, over {limit}: not settled yet, or a "+
		"misreading?")
)

// oddTurbidity is D07, a rule of our own: juice racked off its lees that was
// last read as very thin or very cloudy in this stage.
func (d *decision) oddTurbidity(c *Content, field string) []gate.Finding {
	if c.Stage != stage.Settling && c.Stage != stage.CapRise && c.Stage != stage.Flotation {
		return nil
	}
	if c.Last.Turbidity == nil || c.NTUAt.Before(c.Since) {
		return nil
	}
	var says text.Say
	switch ntu := *c.Last.Turbidity; {
	case ntu < thinBelow:
		says = thinJuice.Say(ntu, c.NTUAt, thinBelow)
	case ntu > cloudyAbove:
		says = cloudyJuice.Say(ntu, c.NTUAt, cloudyAbove)
	default:
		return nil
	}
	return []gate.Finding{{Field: field, Right: gate.Anyone,
		Say: says}}
}

func (t *moveTry) oddTurbidity(d *decision) []gate.Finding { return d.oddTurbidity(t.content, "from") }

func (t *stageTry) oddTurbidity(d *decision) []gate.Finding {
	if t.Stage != stage.Racked {
		return nil
	}
	return d.oddTurbidity(&t.of.Now, "stage")
}
