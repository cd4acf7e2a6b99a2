package cellar

import (
	"fmt"
	"slices"

	"cellar.example/mustwatch/domain/quantity"
)

// The two shares of a press load.
const (
	ShareMain     = "main"
	ShareFraction = "fraction"
)

// PressJuiceOut writes juice that ran from a press into a vessel. Either Volume,
// what ran in, or Reads, what the vessel holds now, is given.
type PressJuiceOut struct {
	Head
	Press  Plate           `json:"press"`
	To     Plate           `json:"to,omitempty"` // the vessel named at the start unless said
	Volume quantity.Volume `json:"volume,omitzero"`
	Reads  quantity.Volume `json:"reads,omitzero"`
	Share  string          `json:"share,omitempty"`  // main unless said
	Closed bool            `json:"closed,omitempty"` // no more will follow into this vessel
	End    bool            `json:"end,omitempty"`    // the programme has ended
	How    Gauge           `json:"how,omitempty"`    // how the volume was found
}

// Do implements Command.
func (*PressJuiceOut) Do() string { return "juice" }

func (c *PressJuiceOut) decide(d *decision) ([]Fact, error) {
	p, err := d.press(c.Press, "press")
	if err != nil {
		return nil, err
	}
	if len(p.Parts) == 0 {
		return nil, reject("press-state", "press", "%s is %s and holds nothing", p.Plate, p.State)
	}
	if err := checkGauge(c.How); err != nil {
		return nil, err
	}
	share, to := firstWords(c.Share, ShareMain), c.To
	if share != ShareMain && share != ShareFraction {
		return nil, reject("share", "share", "juice is the main juice or the press fraction, not %q", share)
	}
	if to == "" {
		to = p.Main
		if share == ShareFraction {
			to = p.Fraction
		}
	}
	var facts []Fact
	if c.End {
		d.subject, d.what = string(p.Plate), fmt.Sprintf("end of %s on %s", p.Programme, p.Plate)
		d.ask(&trying{press: p, ends: c})
	}
	if c.Volume != 0 || c.Reads != 0 || to != "" && !(c.End && !c.Closed) {
		f, err := c.inflow(d, p, to, share)
		if err != nil {
			return nil, err
		}
		if err := d.fits(d.s.vessels[to], "at", &Item{At: d.at, Seq: d.s.Seq + 1, In: f.inflow(p)}); err != nil {
			return nil, err
		}
		facts = append(facts, f)
	} else if !c.End {
		return nil, reject("volume", "volume", "how much ran in, or what does the tank hold now?")
	}
	if c.End {
		facts = append(facts, &PressEnded{Press: p.Plate})
		facts = append(facts, d.answer(string(p.Plate), "ended", KindProgramme)...)
	}
	if v := d.s.vessels[to]; v != nil && len(facts) > 0 {
		if f, ok := facts[0].(*JuiceRan); ok {
			facts = append(facts, d.recontact(v, &Item{At: d.at, Seq: d.s.Seq + 1, In: f.inflow(p)})...)
		}
	}
	return facts, nil
}

func (c *PressJuiceOut) inflow(d *decision, p *Press, to Plate, share string) (*JuiceRan, error) {
	v, err := d.vessel(to, "to")
	if err != nil {
		return nil, err
	}
	vol, u := c.Volume, d.s.House.Units
	if c.Reads != 0 {
		vol = c.Reads - v.Now.Volume
		if c.Volume != 0 && vol != c.Volume {
			return nil, reject("volume", "reads", "%s held %s; with %s it holds %s, not %s", to, v.Now.Volume.Text(u), c.Volume.Text(u), (v.Now.Volume + c.Volume).Text(u), c.Reads.Text(u))
		}
	}
	if vol < 0 || (vol == 0 && !c.Closed && !c.End) {
		return nil, reject("volume", "volume", "%s held %s already; what runs in must be more than nothing", to, v.Now.Volume.Text(u))
	}
	if v.Now.Volume+vol > v.Brim {
		return nil, reject("volume", "volume", "%s holds %s to the brim; %s is in it", to, v.Brim.Text(u), v.Now.Volume.Text(u))
	}
	if most := quantity.HL(mostYield * p.Mass().Tonnes()); p.onlyGrapes() && !c.Happened && p.MainOut+p.FracOut+vol > most {
		return nil, reject("yield", "volume", "%s of grapes give no %s of juice; is the volume right, or what %s held before?", p.Mass().Load(d.s.House.Units), (p.MainOut + p.FracOut + vol).Text(d.s.House.Units), to)
	}
	kind := Juice
	if share == ShareFraction {
		kind = PressJuice
	}
	if v.Now.Volume > 0 {
		kind = ""
	}
	d.subject, d.what = string(to), fmt.Sprintf("%s from %s into %s", vol, p.Plate, to)
	named := to == p.Main || to == p.Fraction // asked about when the programme began
	of := kind
	if !named && of == "" {
		of = Juice
	}
	d.ask(&trying{into: []inflowTry{{vessel: v, volume: vol, kind: of, from: string(p.Plate), loads: p.loads(), variety: p.variety(), field: "to", running: named, doubt: c.How.doubtOf(vol, v)}}})
	closed := c.Closed || (c.End && share == ShareFraction && v.Use != UseFraction && !v.Now.Open)
	return &JuiceRan{Press: p.Plate, To: to, Volume: vol, Share: share, Closed: closed, Juice: kind, Parts: p.parts(vol), Reads: c.Reads, How: c.How}, nil
}

// mostYield is more hL than a tonne of grapes gives (common practice, no source).
const mostYield = 9.5

// onlyGrapes tells whether all that is in a press was weighed as grapes.
func (p *Press) onlyGrapes() bool {
	return len(p.Parts) > 0 && !slices.ContainsFunc(p.Parts, func(x PressPart) bool { return x.Mass == 0 })
}

// JuiceRan is juice that ran from a press into a vessel.
type JuiceRan struct {
	Press  Plate           `json:"press"`
	To     Plate           `json:"to"`
	Volume quantity.Volume `json:"volume"`
	Share  string          `json:"share"`
	Closed bool            `json:"closed,omitempty"`
	Juice  Substance       `json:"juice,omitempty"`
	Parts  []Part          `json:"parts"`
	Reads  quantity.Volume `json:"reads,omitzero"`
	How    Gauge           `json:"how,omitempty"`
}

// Kind implements Fact.
func (*JuiceRan) Kind() string { return "juice-ran" }

func (f *JuiceRan) inflow(p *Press) *Inflow {
	in := &Inflow{From: string(f.Press), Volume: f.Volume, Parts: f.Parts, Kind: f.Juice, Share: f.Share, Reads: f.Reads, How: f.How,
		Untreated: true, Opens: !f.Closed && f.Share == ShareMain, Closes: f.Closed}
	if p != nil {
		in.FromLot, in.Doses = p.FromLot, p.Doses
		in.Untreated, in.Tested = !contacted(p.Doses), p.Tested
	}
	if f.Share == ShareFraction && !f.Closed {
		in.Opens, in.Closes = false, true
	}
	return in
}

// contacted tells whether an enzyme that clears juice came along.
func contacted(doses []Dose) bool {
	for _, x := range doses {
		if x.Class.contact() {
			return true
		}
	}
	return false
}

func (f *JuiceRan) apply(s *State, r Record) {
	p := s.presses[f.Press]
	in := f.inflow(p)
	s.post(f.To, r, &Item{In: in})
	if p != nil {
		if f.Share == ShareFraction {
			p.FracOut += f.Volume
		} else {
			p.MainOut += f.Volume
		}
		s.pressLog(r, p, "%s of %s to %s", inWords(s, f.Volume), shareWords(f.Share), f.To)
	}
	text := fmt.Sprintf("%s of %s from %s", inWords(s, f.Volume), shareWords(f.Share), f.Press)
	if f.Closed {
		text += ", closed"
	}
	s.log(r, string(f.To), text)
}

func shareWords(s string) string {
	if s == ShareFraction {
		return "press fraction"
	}
	return "main juice"
}

// PressEnded is a programme that has ended; the press is being emptied.
type PressEnded struct {
	Press Plate `json:"press"`
}

// Kind implements Fact.
func (*PressEnded) Kind() string { return "press-ended" }

func (f *PressEnded) apply(s *State, r Record) {
	if p := s.presses[f.Press]; p != nil {
		p.State, p.Since, p.End = PressEmptying, r.At, r.At
		s.pressLog(r, p, "programme ended")
	}
}

// FreePress says that a press is empty and rinsed. A tank that only its juice kept
// open is closed with it, unless more is to follow.
type FreePress struct {
	Head
	Press Plate `json:"press"`
	More  bool  `json:"more,omitempty"` // its tank stays open for the next press
}

// Do implements Command.
func (*FreePress) Do() string { return "press-free" }

func (c *FreePress) decide(d *decision) ([]Fact, error) {
	p, err := d.press(c.Press, "press")
	if err != nil {
		return nil, err
	}
	if p.State == PressReady {
		return nil, reject("press-state", "press", "%s is ready already, since %s", p.Plate, d.s.Clock(p.Since))
	}
	if p.State == PressRunning {
		return nil, reject("press-state", "press", "%s is still pressing; end its programme first", p.Plate)
	}
	d.subject, d.what = string(p.Plate), string(p.Plate)+" is empty and rinsed"
	var open []*Vessel
	if !c.More {
		open = d.s.LeftOpen(p)
		d.ask(&trying{left: open})
	}
	facts := []Fact{&PressFreed{Press: p.Plate}}
	for _, v := range open {
		facts = append(facts, d.closes(v, p.Plate, string(p.Plate)+" is empty and rinsed")...)
	}
	return append(facts, d.answer(string(p.Plate), "free", KindProgramme, KindFill, KindClean)...), nil
}

// PressFreed is a press that is empty, rinsed and ready.
type PressFreed struct {
	Press Plate `json:"press"`
}

// Kind implements Fact.
func (*PressFreed) Kind() string { return "press-freed" }

func (f *PressFreed) apply(s *State, r Record) {
	if p := s.presses[f.Press]; p != nil {
		p.clear()
		p.State, p.Since = PressReady, r.At
		s.pressLog(r, p, "empty and rinsed, ready")
	}
}

var (
	_ = command(func() Command { return &PressJuiceOut{} })
	_ = command(func() Command { return &FreePress{} })
	_ = register(func() Fact { return &JuiceRan{} })
	_ = register(func() Fact { return &PressEnded{} })
	_ = register(func() Fact { return &PressFreed{} })
)
