package cellar

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/quantity"
)

// PaperDrop is what a paper drop test showed, beside the untreated mash where
// that was run too. It supports a verdict and never opens a gate.
type PaperDrop struct {
	Method    clarity.PaperMethod `json:"method"`
	Ring      clarity.Ring        `json:"ring,omitempty"`
	MM        float64             `json:"mm,omitempty"`      // width of the clear ring
	Seconds   float64             `json:"seconds,omitempty"` // that it took
	Treated   quantity.Volume     `json:"treated,omitzero"`  // free run of the treated mash
	Untreated quantity.Volume     `json:"untreated,omitzero"`
	Beside    clarity.Ring        `json:"untreated_ring,omitempty"`
	Colour    string              `json:"colour,omitempty"`
	Words     string              `json:"words,omitempty"`
}

// PaperDropped is a PaperDrop with when and who.
type PaperDropped struct {
	PaperDrop
	At time.Time
	By Initials
}

// WritePaperDrop writes a paper drop test.
type WritePaperDrop struct {
	Head
	Vessel TankNumber `json:"vessel"`
	PaperDrop
}

func (c *WritePaperDrop) decide(d *decision) ([]Fact, error) {
	v, err := d.vessel(c.Vessel, "vessel")
	if err != nil {
		return nil, err
	}
	d.tubes = true
	v = d.asOf(v)
	nothing := d.past() && v.Now.Stage.Empty()
	if !nothing && (v.Now.Stage.Empty() || v.Now.Volume == 0) {
		return nil, reject("empty", "vessel", "{tank} is {stage}; there is nothing to test", v.Number, v.Now.Stage)
	}
	if err := c.PaperDrop.sound(); err != nil {
		return nil, err
	}
	f := &PaperDropSeen{Vessel: v.Number, PaperDrop: c.PaperDrop}
	if nothing {
		return []Fact{f}, d.fits(d.after(f), "at")
	}
	return []Fact{f}, nil
}

func (p PaperDrop) sound() error {
	switch {
	case p.Method.Say() == "":
		return reject("method", "method", "choose the paper test: a, a drop of juice; b, round a fining trial; c, a "+
			"timed run")
	case p.Ring != "" && !p.Ring.Known():
		return reject("ring", "ring", "{ring:%q} is not a ring; choose wide ring, narrow ring or no ring", p.Ring)
	case p.Beside != "" && !p.Beside.Known():
		return reject("ring", "untreated_ring", "{beside:%q} is not a ring; choose wide ring, narrow ring or no ring",
			p.Beside)
	case p.MM < 0 || p.MM > 200:
		return reject("range", "mm", "a ring of {mm} mm cannot be; type up to 200 mm", p.MM)
	case p.Seconds < 0 || p.Seconds > 3600:
		return reject("range", "seconds", "a paper test of {seconds} s cannot be; type up to 3600 s", p.Seconds)
	case p.Treated < 0 || p.Treated > 10*quantity.Litre:
		return reject("range", "treated", "{treated} cannot run in a paper test; type up to 10 L", p.Treated)
	case p.Untreated < 0 || p.Untreated > 10*quantity.Litre:
		return reject("range", "untreated", "{untreated} cannot run in a paper test; type up to 10 L", p.Untreated)
	case p.Untreated == 0 && p.Treated > 0:
		return reject("pair", "untreated", "type how much ran of the untreated must too")
	case p.Ring == "" && p.MM == 0 && p.Seconds == 0 && p.Untreated == 0:
		return reject("empty", "ring", "what did the paper show: a wide ring, a narrow one, or none?")
	}
	return nil
}

// Say puts it into words, with the gain calculated.
func (p PaperDrop) Say() string {
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if p.Ring != "" {
		add("%s", p.Ring)
	}
	if p.MM > 0 {
		add("%g mm", p.MM)
	}
	if p.Seconds > 0 {
		add("%g s", p.Seconds)
	}
	if gain, err := clarity.Gain(p.Treated, p.Untreated); err == nil {
		add("free run %s beside %s untreated, %+.0f %%", millilitres(p.Treated), millilitres(p.Untreated), gain)
	}
	if p.Beside != "" {
		add("untreated %s", p.Beside)
	}
	for _, w := range []string{p.Colour, p.Words} {
		if w != "" {
			add("%s", w)
		}
	}
	return strings.Join(out, ", ")
}

func millilitres(v quantity.Volume) string {
	return fmt.Sprintf("%d mL", int64(v/quantity.Millilitre))
}

// PaperDropSeen is a paper drop test as it was seen.
type PaperDropSeen struct {
	Vessel TankNumber `json:"vessel"`
	PaperDrop
}

func (f *PaperDropSeen) apply(s *State, r Record) {
	s.enter(r, f)
	s.log(r, vesselRef(f.Vessel), "paper drop, {method}: {shows}; {house_method}", f.Method.Say(), f.Say(),
		clarity.HouseMethod)
}

func (f *PaperDropSeen) lines(s *State, e *entry) []*line {
	return s.on(e, e.At, 0, f.Vessel, &Item{Drop: &f.PaperDrop})
}

var (
	_ = command[WritePaperDrop]("paper-drop")
	_ = fact[PaperDropSeen]("paper-drop")
)
