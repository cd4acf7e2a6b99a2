package cellar

import (
	"fmt"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// TakeReading writes values read off a vessel.
type TakeReading struct {
	Head
	Vessel TankNumber `json:"vessel"`
	Measured
}

func (c *TakeReading) decide(d *decision) ([]Fact, error) {
	v, err := d.vessel(c.Vessel, "vessel")
	if err != nil {
		return nil, err
	}
	m := c.Measured
	if m.Stick != nil && m.Volume == nil {
		dip, err := v.dip(*m.Stick)
		if err != nil {
			return nil, err
		}
		m.Volume = &dip
	}
	if m.empty() {
		return nil, reject("empty", "temp", "type what was read: a temperature, a density or another value")
	}
	if err := m.hard(v, d.s.House.Units); err != nil {
		return nil, err
	}
	d.subject, d.what = v.Ref(), tryReading.Say(v.Number)
	ask(d, readRules, &readTry{m, v})
	facts := []Fact{&WasRead{Vessel: v.Number, Measured: m}}
	return facts, nil
}

func (m Measured) empty() bool {
	return m.Temp == nil && m.Density == nil && m.Brix == nil && m.Turbidity == nil && m.PH == nil && m.Volume == nil &&
		m.Words == ""
}

// hard refuses values that can only be slips. The ranges are common practice,
// no source.
func (m Measured) hard(v *Vessel, sys quantity.System) error {
	switch cold, hot := quantity.Celsius(-5), quantity.Celsius(95); {
	case m.Temp != nil && (*m.Temp < cold || *m.Temp > hot):
		return reject("range", "temp", "{temp} cannot be; type {cold} to {hot}", m.Temp.Full(sys), cold.Text(sys),
			hot.Text(sys))
	case m.Density != nil && (*m.Density < 0.980 || *m.Density > 1.200):
		return reject("range", "density", "a density of {density} cannot be; type 0.980 to 1.200", *m.Density)
	case m.Brix != nil && (*m.Brix < -5 || *m.Brix > 45):
		return reject("range", "brix", "{brix} °Brix cannot be; type −5 to 45", *m.Brix)
	case m.Turbidity != nil && (*m.Turbidity < 0 || *m.Turbidity > 4000):
		return reject("range", "ntu", "{turbidity} NTU cannot be; type 0 to 4000", *m.Turbidity)
	case m.PH != nil && (*m.PH < 2.5 || *m.PH > 4.5):
		return reject("range", "ph", "pH {ph} cannot be; type 2.5 to 4.5", *m.PH)
	case m.Volume != nil && (*m.Volume < 0 || *m.Volume > v.Brim):
		holds, brim := m.Volume.Beside(v.Brim, sys)
		return reject("range", "dip", "{holds} cannot be in {tank}; its brim is {brim}", holds, v.Number, brim)
	}
	return nil
}

// Say puts the values into words, for lists.
func (m Measured) Say(sys quantity.System) string {
	var out []string
	if m.Temp != nil {
		out = append(out, m.Temp.Text(sys))
	}
	if m.Density != nil {
		out = append(out, m.Density.String())
	}
	if m.Brix != nil {
		out = append(out, fmt.Sprintf("%.1f °Brix", *m.Brix))
	}
	if m.Turbidity != nil {
		out = append(out, fmt.Sprintf("%.0f NTU", *m.Turbidity))
	}
	if m.PH != nil {
		out = append(out, fmt.Sprintf("pH %.2f", *m.PH))
	}
	if m.Volume != nil {
		text := "dip " + m.Volume.Text(sys)
		if m.Stick != nil {
			text += " (stick " + m.Stick.String() + ")"
		}
		out = append(out, text)
	}
	if m.Words != "" {
		out = append(out, m.Words)
	}
	return strings.Join(out, ", ")
}

// WasRead is a set of values read off a vessel.
type WasRead struct {
	Vessel TankNumber `json:"vessel"`
	Measured
}

func (f *WasRead) apply(s *State, r Record) {
	if s.mark(r, f) {
		s.wroteOf(vesselRef(f.Vessel), r.By, isRow|writing(s.book.readings.rows.n-1))
		return
	}
	s.enter(r, f)
	s.log(r, vesselRef(f.Vessel), "{what}", f.wrote(s))
}

func (f *WasRead) wrote(s *State) string { return "read " + f.Say(s.House.Units) }

func (f *WasRead) lines(s *State, e *entry) []*line {
	return s.on(e, e.At, 0, f.Vessel, &Item{Reading: &f.Measured})
}

var (
	_ = command[TakeReading]("reading")
	_ = fact[WasRead]("reading-taken")
)
