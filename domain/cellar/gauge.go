package cellar

import (
	"math"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// Gauge is how a volume was found.
type Gauge string

// The gauges. Unsaid is a volume that was written without a word on it.
const (
	Unsaid   Gauge = ""
	ByMeter  Gauge = "meter"    // a flow meter in the line
	ByDip    Gauge = "dip"      // a stick, a sight tube, a scale on the vessel
	Opened   Gauge = "opening"  // what the house had at the opening
	Estimate Gauge = "estimate" // by memory or by eye
)

// gauges are those that a person may say, the surest first.
var gauges = []Gauge{ByMeter, ByDip, Estimate}

// doubt ranks gauges: a mixture is as sure as the least sure of what is in it.
func (g Gauge) doubt() int {
	return slices.Index([]Gauge{ByMeter, ByDip, Opened, Unsaid, Estimate}, g)
}

// Gauged is where the volume of a content comes from.
type Gauged struct {
	How Gauge           `json:"how,omitempty"`
	At  time.Time       `json:"at,omitzero"`
	Off quantity.Volume `json:"off,omitzero"` // it may be out by so much either way
	// Since says that something was moved on the ledger after it was found.
	Since bool `json:"since,omitempty"`
}

// out is how much a volume may be out by: a dip stick by 1 hL on 250 hL and a
// little tank by less, a flow meter by half a percent, an estimate by a tenth.
// What nobody said is taken for a dip read badly. Common practice, no source.
func (g Gauge) out(v, brim quantity.Volume) quantity.Volume {
	stick := brim / 250
	off := map[Gauge]quantity.Volume{ByMeter: v / 200, ByDip: stick, Opened: stick, Unsaid: max(stick, v/50),
		Estimate: max(stick, v/10)}[g]
	return max(quantity.Hectolitre/10, quantity.HL(math.Ceil(off.HL()*10-1e-9)/10))
}

func checkGauge(g Gauge) error {
	if g != Unsaid && !slices.Contains(gauges, g) {
		return reject("how", "how", "choose {gauges} for how the volume is known, not {what:%q}", listed(gauges), g)
	}
	return nil
}

// gaugeIn takes up where the volume of an inflow comes from. What comes from
// another vessel by the ledger is as sure as it was there.
func (c *Content) gaugeIn(it *Item, was, brim quantity.Volume) {
	in := it.In
	if in.Volume <= 0 {
		return
	}
	g := Gauged{How: in.How, At: it.At}
	g.Off = g.How.out(in.Volume, brim)
	switch {
	case in.Reads > 0: // the vessel itself was read
		c.Gauge = Gauged{How: ByDip, At: it.At, Off: ByDip.out(in.Volume, brim)}
		return
	case in.Carried != nil:
		g = *in.Carried
	}
	if was <= 0 {
		c.Gauge = g
		return
	}
	sum := c.Gauge.Off + g.Off
	if g.How.doubt() < c.Gauge.How.doubt() {
		g = c.Gauge
	}
	g.Off, g.Since = sum, true
	c.Gauge = g
}

// gaugeDip: a vessel that was dipped is as sure as the stick, and as the ledger
// agrees with it.
func (c *Content) gaugeDip(it *Item, brim quantity.Volume) {
	if m := it.Reading; m.Volume != nil && c.Volume > 0 {
		apart := c.Volume - *m.Volume
		c.Gauge = Gauged{How: ByDip, At: it.At, Off: max(ByDip.out(*m.Volume, brim), apart, -apart)}
	}
}

// carried is what a part of a content brings along of where its volume comes from.
func (c *Content) carried(part quantity.Volume) *Gauged {
	g := c.Gauge
	g.Since = true
	if c.Volume > 0 {
		g.Off = max(quantity.Hectolitre/10, quantity.Volume(float64(g.Off)*min(1, float64(part)/float64(c.Volume))))
	}
	return &g
}

// GaugeSays is where a volume comes from in a few words, "ledger from dip", and by
// how much it may be out; empty when there is none.
func (c *Content) GaugeSays(sys quantity.System) (from, off string) {
	if c.Volume <= 0 {
		return "", ""
	}
	word := firstWords(string(c.Gauge.How), "what was saved")
	if c.Gauge.Since || c.Gauge.How == Unsaid || c.Gauge.How == Opened {
		word = "ledger from " + word
	}
	return word, "±" + c.Gauge.Off.Text(sys)
}

var estimatedDose = text.New("estimated-dose",
	"The {volume} in {tank} is only estimated, ±{off}.",
	"Dip it before SO2 goes in.")

// estimated is D22, a rule of our own: before SO2 is calculated on a volume, or a
// vessel is filled so far that the doubt decides, an estimate is dipped.
func (t *doseTry) estimated(d *decision) []gate.Finding {
	x := t.of
	if t.product.Class != SO2 || x.Now.Gauge.How != Estimate {
		return nil
	}
	return []gate.Finding{{Field: "volume", Right: gate.Anyone,
		Say: estimatedDose.Say(x.Now.Volume, x.Number, x.Now.Gauge.Off)}}
}

var estimatedFull = text.New("estimated-full",
	"{tank} would hold {holds} ±{off}, only estimated; its limit is {limit}.",
	"Dip it first.")

func (t inflows) estimated(d *decision) (out []gate.Finding) {
	u := d.s.House.Units
	for _, in := range t {
		v, off := in.vessel, in.doubt
		if v.Now.Gauge.How == Estimate {
			off += v.Now.Gauge.Off
		}
		if after := hotVolume(v.Now.Volume+in.volume, in); off > 0 && in.volume > 0 && after <= v.Limit() && after+
			off > v.Limit() {
			holds, limit := after.Beside(v.Limit(), u)
			out = append(out, gate.Finding{Of: v.Ref(), Field: in.field, Right: gate.Anyone,
				Say: estimatedFull.Say(v.Number, holds, off, limit)})
		}
	}
	return out
}

// doubtOf is what a volume may be out by when it was only estimated.
func (g Gauge) doubtOf(v quantity.Volume, into *Vessel) quantity.Volume {
	if g != Estimate {
		return 0
	}
	return g.out(v, into.Brim)
}

// doubt is what the volume of a portion may be out by: as it is said to be found,
// else as it stands in the vessel that it leaves.
func (c *Move) doubt(src *Content, part quantity.Volume, into *Vessel) quantity.Volume {
	if c.How == Unsaid && src.Gauge.How == Estimate {
		return src.carried(part).Off
	}
	return c.How.doubtOf(part, into)
}
