package cellar

import (
	"fmt"
	"sort"
	"strconv"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// Correctable is one value that can be corrected, for a person to choose from.
type Correctable struct {
	Of      Seq
	At      time.Time
	By      Initials
	Vessel  Plate
	From    Plate  // the vessel or press it ran out of
	Press   Plate  // that was filled
	Place   string // of a gas reading, or the load: they have no vessel
	Load    LoadID
	Field   string
	Value   string // as it can be typed, with its unit and nothing rounded away
	Says    string // what the entry was
	Struck  bool
	Written time.Time
}

// opens reports whether an entry is the opening, or sets a vessel up.
func (s *State) opens(seq Seq) bool {
	e := s.entryOf(seq)
	if e == nil {
		return false
	}
	_, sets := e.Fact.(setup)
	return sets || !e.whole()
}

// WholeEntry is the field of a line that has no value: its time can be put right, and it
// can be struck out.
const WholeEntry = "entry"

// About tells whether a value is of a vessel or press: its own, or of what ran out of
// it.
func (c Correctable) About(p Plate) bool {
	return p != "" && (c.Vessel == p || c.From == p || c.Press == p)
}

// Correctables lists what can be corrected, latest written first, of one vessel
// or, with "", of all, with those of loads, of what went into presses, and of gas.
func (s *State) Correctables(p Plate) []Correctable {
	var out []Correctable
	for _, v := range s.Vessels() {
		if p != "" && v.Plate != p {
			continue
		}
		for _, it := range v.Items() {
			if it.Struck {
				continue
			}
			c := Correctable{Of: it.Seq, At: it.At, By: it.By, Vessel: v.Plate, From: it.from(), Says: it.says(), Written: it.Written}
			for _, f := range it.fields(s.House.Units) {
				c.Field, c.Value = f.name, f.value
				out = append(out, c)
			}
			stands := it.Stage != nil && !it.Stage.Stage.Empty() // at the opening its time can be put right
			if stands || !s.opens(it.Seq) && (it.Stage != nil || it.Begun != nil || it.Read != nil || it.Drop != nil) {
				c.Field, c.Value = WholeEntry, it.says()
				out = append(out, c)
			}
		}
	}
	if p == "" {
		out = append(append(append(out, s.correctableGas()...), s.correctableLoads()...), s.correctableFills()...)
	}
	sort.SliceStable(out, func(i, j int) bool {
		if !out[i].Written.Equal(out[j].Written) {
			return out[i].Written.After(out[j].Written)
		}
		return out[i].Of > out[j].Of
	})
	return out
}

// places writes a number with so many decimals, or with all it has.
func places(x float64, decimals int) string {
	all := strconv.FormatFloat(x, 'f', -1, 64)
	if s := strconv.FormatFloat(x, 'f', decimals, 64); len(s) > len(all) {
		return s
	}
	return all
}

// fieldValue is a value as it can be typed, with nothing of it rounded away.
type fieldValue struct{ name, value string }

func (it *Item) fields(sys quantity.System) []fieldValue {
	switch {
	case it.In != nil && it.In.Reads > 0: // typed as what the vessel holds, so put right as that
		return []fieldValue{{"holds", it.In.Reads.Full(sys)}}
	case it.In != nil && it.In.Volume > 0:
		return []fieldValue{{"volume", it.In.Volume.Full(sys)}}
	case it.Dose != nil:
		return []fieldValue{{"amount", it.Dose.Drawn.Full(sys)}}
	case it.Reading != nil:
		var out []fieldValue
		m := it.Reading
		add := func(ok bool, name string, value func() string) {
			if ok {
				out = append(out, fieldValue{name, value()})
			}
		}
		add(m.Temp != nil, "temp", func() string { return m.Temp.Full(sys) })
		add(m.Density != nil, "density", func() string { return m.Density.String() })
		add(m.Turbidity != nil, "ntu", func() string { return places(*m.Turbidity, 0) })
		add(m.Brix != nil, "brix", func() string { return places(*m.Brix, 1) })
		add(m.PH != nil, "ph", func() string { return places(*m.PH, 2) })
		add(m.Volume != nil, "dip", func() string { return m.Volume.Full(sys) })
		return out
	}
	return nil
}

// from is the vessel or press an inflow ran out of, "" for anything else.
func (it *Item) from() Plate {
	if it.In == nil || it.In.From.Kind != subject.Vessel && it.In.From.Kind != subject.Press {
		return ""
	}
	return Plate(it.In.From.Name)
}

func (it *Item) says() string {
	switch {
	case it.In != nil:
		return "in from " + it.In.From.Name
	case it.Dose != nil && it.Dose.twin > 1:
		return fmt.Sprintf("%s (%d)", it.Dose.Product, it.Dose.twin)
	case it.Dose != nil:
		return string(it.Dose.Product)
	case it.Reading != nil:
		return "reading"
	case it.Read != nil:
		return "check read"
	case it.Drop != nil:
		return "paper drop"
	case it.Begun != nil:
		return "check begun"
	case it.Stage != nil:
		return string(it.Stage.Stage)
	}
	return ""
}
