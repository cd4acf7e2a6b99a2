package cellar

import (
	"math"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/tank"
	"cellar.example/mustwatch/domain/text"
)

// brimApart is how far the brim by the inside measures may lie from the brim that
// is set, as a share: more is a slip in one of them (common practice, no source).
const brimApart = 0.05

// checkInside refuses measures that cannot be this vessel's.
func (v VesselSetup) checkInside(sys quantity.System) error {
	switch {
	case v.JacketKW < 0 || v.JacketKW > 500:
		return reject("jacket", "jacket_kw", "a jacket of {jacket_kw} kW cannot be; type 0 to 500 kW", v.JacketKW)
	case v.UA < 0 || v.UA > 50 || math.IsNaN(v.UA):
		return reject("ua", "ua_kw_k", "type 0 to 50 kW/K for the jacket, not {ua}", v.UA)
	case v.Coolant != nil && (*v.Coolant < -20 || *v.Coolant > 95):
		return reject("coolant", "coolant", "a coolant at {coolant} cannot be; type {coldest} to {warmest}",
			v.Coolant.Text(sys), quantity.Celsius(-20).Text(sys), quantity.Celsius(95).Text(sys))
	case v.UA > 0 && v.Coolant == nil:
		return reject("coolant", "coolant", "ua_kw_k needs the temperature of the coolant too, such as \"2 °C\"")
	case v.Inside == nil:
		return nil
	}
	s, err := v.Inside.Of()
	if err != nil {
		return reject("inside", "inside", "{why}", err)
	}
	full, err := tank.Dip(s, s.Height())
	if err != nil {
		return reject("inside", "inside", "{why}", err)
	}
	if off := math.Abs(full.Brim.HL()-v.Brim.HL()) / v.Brim.HL(); off > brimApart {
		return reject("inside", "inside", "the inside measures make {measured} to the brim, but the brim of {tank} "+
			"is {brim}; measure again", full.Brim.Text(sys), v.Number, v.Brim.Text(sys))
	}
	return nil
}

// dip is the volume that a stick says.
func (v *Vessel) dip(stick tank.Length) (quantity.Volume, error) {
	if v.Inside == nil {
		return 0, reject("stick", "dip", "{tank} has no inside measures, so a dip gives no volume; type the volume, "+
			"or add its dip table to the house", v.Number)
	}
	l, err := v.Inside.Dip(stick)
	if err != nil {
		return 0, reject("stick", "dip", "{why}", err)
	}
	return l.Volume, nil
}

// A dip may be off the ledger by so much before it is asked about: what the stick
// itself is off by, and a share (common practice, no source).
const (
	dipShare = 0.02
	dipStick = quantity.Hectolitre
)

var oddDipSays = text.New("odd-dip",
	"For {tank} the ledger says {ledger}, the dip {volume}: {off} apart.",
	"Dip again. If the dip is right, look for an open valve, and correct the ledger (x).")

// oddDip is D11: the dip and the ledger tell of different volumes. One of them
// is wrong, and a tank that is emptier than it should be is a leak or a valve.
func (t *readTry) oddDip(d *decision) []gate.Finding {
	if t.Volume == nil {
		return nil
	}
	ledger := t.of.Now.Volume
	off := *t.Volume - ledger
	if off < 0 {
		off = -off
	}
	if off <= dipStick || float64(off) <= dipShare*float64(ledger) || t.of.Now.Open {
		return nil
	}
	return []gate.Finding{{Field: "dip", Right: gate.Anyone,
		Say: oddDipSays.Say(t.of.Number, ledger, t.Volume, off)}}
}
