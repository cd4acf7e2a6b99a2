package cellar

import (
	"fmt"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// Correctable is one value that can be corrected, for a person to choose from.
type Correctable struct {
	Of      Seq
	At      time.Time
	By      Initials
	Vessel  Plate
	From    Plate  // the vessel or press it ran out of
	Place   string // of a gas reading, or the load: they have no vessel
	Load    LoadID
	Field   string
	Value   string
	Says    string // what the entry was
	Struck  bool
	Written time.Time
}

// About tells whether a value is of a vessel or press: its own, or of what ran out of
// it.
func (c Correctable) About(p Plate) bool {
	return p != "" && (c.Vessel == p || c.From == p)
}

// Correctables lists what can be corrected, latest written first, of one vessel
// or, with "", of all, with those of loads and gas.
func (s *State) Correctables(p Plate) []Correctable {
	var out []Correctable
	for _, v := range s.Vessels() {
		if p != "" && v.Plate != p {
			continue
		}
		for _, it := range v.Items {
			if it.Struck {
				continue
			}
			for _, f := range it.fields(s.House.Units) {
				out = append(out, Correctable{Of: it.Seq, At: it.At, By: it.By, Vessel: v.Plate, From: it.from(), Field: f.name, Value: f.value, Says: it.says(), Written: it.Written})
			}
		}
	}
	if p == "" {
		out = append(append(out, s.correctableGas()...), s.correctableLoads()...)
	}
	sort.SliceStable(out, func(i, j int) bool {
		if !out[i].Written.Equal(out[j].Written) {
			return out[i].Written.After(out[j].Written)
		}
		return out[i].Of > out[j].Of
	})
	return out
}

type fieldValue struct{ name, value string }

func (it *Item) fields(sys quantity.System) []fieldValue {
	switch {
	case it.In != nil && it.In.Reads > 0: // typed as what the vessel holds, so put right as that
		return []fieldValue{{"holds", it.In.Reads.Text(sys)}}
	case it.In != nil && it.In.Volume > 0:
		return []fieldValue{{"volume", it.In.Volume.Text(sys)}}
	case it.Dose != nil:
		return []fieldValue{{"amount", it.Dose.Drawn.Text(sys)}}
	case it.Reading != nil:
		var out []fieldValue
		m := it.Reading
		add := func(ok bool, name string, value func() string) {
			if ok {
				out = append(out, fieldValue{name, value()})
			}
		}
		add(m.Temp != nil, "temp", func() string { return m.Temp.Text(sys) })
		add(m.Density != nil, "density", func() string { return m.Density.String() })
		add(m.Turbidity != nil, "ntu", func() string { return fmt.Sprintf("%.0f", *m.Turbidity) })
		add(m.Brix != nil, "brix", func() string { return fmt.Sprintf("%.1f", *m.Brix) })
		add(m.PH != nil, "ph", func() string { return fmt.Sprintf("%.2f", *m.PH) })
		add(m.Volume != nil, "dip", func() string { return m.Volume.Text(sys) })
		return out
	}
	return nil
}

// from is the vessel or press an inflow ran out of, "" for anything else.
func (it *Item) from() Plate {
	if it.In == nil {
		return ""
	}
	return Plate(it.In.From)
}

func (it *Item) says() string {
	switch {
	case it.In != nil:
		return "in from " + it.In.From
	case it.Dose != nil:
		return string(it.Dose.Product)
	case it.Reading != nil:
		return "reading"
	case it.Read != nil:
		return "check read"
	case it.Drop != nil:
		return "paper drop"
	}
	return ""
}
