package cellar

import (
	"slices"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// The two shares of a press load.
const (
	ShareMain     = "free run"
	ShareFraction = "pressings"
)

// PressJuiceOut writes juice that ran from a press into a vessel. Either Volume,
// what ran in, or Reads, what the vessel holds now, is given.
type PressJuiceOut struct {
	Head
	Press  TankNumber      `json:"press"`
	To     TankNumber      `json:"to,omitempty"` // the vessel named at the start unless said
	Volume quantity.Volume `json:"volume,omitzero"`
	Reads  quantity.Volume `json:"reads,omitzero"`
	Share  string          `json:"share,omitempty"`  // main unless said
	Closed bool            `json:"closed,omitempty"` // no more will follow into this vessel
	End    bool            `json:"end,omitempty"`    // the programme has ended
	How    Gauge           `json:"how,omitempty"`    // how the volume was found
}

func (c *PressJuiceOut) decide(d *decision) ([]Fact, error) {
	p, err := d.press(c.Press, "press")
	if err != nil {
		return nil, err
	}
	if p = d.pressThen(p); len(p.Parts) == 0 {
		return nil, reject("press-state", "press", "{press} is {state} and holds nothing", p.Number, p.State)
	}
	if err := checkGauge(c.How); err != nil {
		return nil, err
	}
	share, to := firstWords(c.Share, ShareMain), c.To
	if share != ShareMain && share != ShareFraction {
		return nil, reject("share", "share", "juice is free run or pressings, not {share:%q}", share)
	}
	if to == "" {
		to = p.Main
		if share == ShareFraction {
			to = p.Fraction
		}
	}
	var facts []Fact
	if c.End {
		d.subject, d.what = p.Ref(), tryEnd.Say(p.Programme, p.Number)
		ask(d, endRules, &endTry{onPress{p}, c})
	}
	if c.Volume != 0 || c.Reads != 0 || to != "" && !(c.End && !c.Closed) {
		f, err := c.inflow(d, p, to, share)
		if err != nil {
			return nil, err
		}
		if err := d.fits(d.after(f), "at"); err != nil {
			return nil, err
		}
		facts = append(facts, f)
	} else if !c.End {
		return nil, reject("volume", "volume", "how much ran in, or what does the tank hold now?")
	}
	if c.End {
		facts = append(facts, &PressEnded{Press: p.Number})
		facts = append(facts, d.answer(p.Ref(), endEnded.Say(), KindProgramme)...)
	}
	return facts, nil
}

func (c *PressJuiceOut) inflow(d *decision, p *Press, to TankNumber, share string) (*JuiceRan, error) {
	v, err := d.vessel(to, "to")
	if err != nil {
		return nil, err
	}
	vol, u, held := c.Volume, d.s.House.Units, d.then(v).Volume
	if c.Reads != 0 {
		vol = c.Reads - held
		if c.Volume != 0 && vol != c.Volume {
			return nil, reject("volume", "reads", "{to} held {held}; with {volume} it holds {sum}, not {reads}", to,
				held.Text(u), c.Volume.Text(u), (held + c.Volume).Text(u), c.Reads.Text(u))
		}
	}
	if c.Volume < 0 || !(c.Happened && c.Reads > 0) && (vol < 0 || vol == 0 && !c.Closed && !c.End) {
		return nil, reject("volume", "volume", "{to} already held {held}; type more than that", to, held.Text(u))
	}
	if !c.Happened && held+vol > v.Brim {
		return nil, reject("volume", "volume", "{to} holds {brim} to the brim; {held} is in it", to, v.Brim.Text(u),
			held.Text(u))
	}
	if most := quantity.HL(mostYield * p.Mass().Tonnes()); p.onlyGrapes() && !c.Happened && p.MainOut+p.FracOut+
		vol > most {
		return nil, reject("yield", "volume", "{name} of grapes cannot give {juice} of juice; check the volume, and "+
			"what {to} held before", p.Mass().Load(d.s.House.Units),
			(p.MainOut + p.FracOut + vol).Text(d.s.House.Units), to)
	}
	kind := stage.Juice
	if share == ShareFraction {
		kind = stage.PressJuice
	}
	if held > 0 {
		kind = ""
	}
	d.subject, d.what = vesselRef(to), tryJuice.Say(vol, p.Number, to)
	named := to == p.Main || to == p.Fraction // asked about when the programme began
	of := kind
	if !named && of == "" {
		of = stage.Juice
	}
	ask(d, juiceRules, inflows{{vessel: v, volume: vol, kind: of, from: p.Ref(), loads: p.Loads(), variety: p.Variety(),
		field:   "to",
		running: named, doubt: c.How.doubtOf(vol, v)}})
	closed := c.Closed || (c.End && share == ShareFraction && v.Use != stage.UseFraction && !v.Now.Open)
	f := &JuiceRan{Press: p.Number, To: to, Volume: vol, Reads: c.Reads, Share: share, Closed: closed, How: c.How}
	if c.Reads != 0 {
		f.Volume = 0 // it is what the reading leaves
	}
	return f, nil
}

// mostYield is more hL than a tonne of grapes gives (common practice, no source).
const mostYield = 9.5

// onlyGrapes reports whether all that is in a press was weighed as grapes.
func (p *Press) onlyGrapes() bool {
	return len(p.Parts) > 0 && !slices.ContainsFunc(p.Parts, func(x PressPart) bool { return x.Mass == 0 })
}

// JuiceRan is juice that ran from a press into a vessel.
type JuiceRan struct {
	Press  TankNumber      `json:"press"`
	To     TankNumber      `json:"to"`
	Volume quantity.Volume `json:"volume,omitzero"` // what ran, or
	Reads  quantity.Volume `json:"reads,omitzero"`  // what the vessel was read to hold after it
	Share  string          `json:"share"`
	Closed bool            `json:"closed,omitempty"`
	How    Gauge           `json:"how,omitempty"`
}

// inflow is what runs into a vessel that holds c, from a press that holds p: the
// loads in it then, with what was dosed on them; stays is what then is left of that in
// the press.
func (f *JuiceRan) inflow(p *Press, c *Content) (in *Inflow, stays []Dose) {
	in = &Inflow{From: pressRef(f.Press), Volume: f.Volume.Whole(), Share: f.Share, Reads: f.Reads, How: f.How,
		Along: Along{FromLot: p.FromLot}, Untreated: !Contacted(p.Doses), Tested: p.Tested,
		Opens: !f.Closed && f.Share == ShareMain, Closes: f.Closed || f.Share == ShareFraction}
	if f.Reads > 0 {
		in.Volume = max(0, f.Reads.Whole()-c.Volume) // less than it held is a fault, told apart
	}
	if c.Volume <= 0 {
		in.Kind = stage.Juice
		if f.Share == ShareFraction {
			in.Kind = stage.PressJuice
		}
	}
	if in.Parts = p.parts(in.Volume); len(in.Parts) == 0 && in.Volume > 0 {
		// nobody said what was in it
		in.Parts = []Part{{Load: LoadID("from " + f.Press), Variety: "?", Volume: in.Volume}}
	}
	in.Doses, stays = splitDoses(p.Doses, in.Volume, max(in.Volume, p.must()-p.MainOut-p.FracOut))
	return in, stays
}

// Contacted reports whether an enzyme that clears juice came along.
func Contacted(doses []Dose) bool {
	for _, x := range doses {
		if x.Class.contact() {
			return true
		}
	}
	return false
}

func (f *JuiceRan) apply(s *State, r Record) {
	v := s.vessels[f.To]
	e := s.enter(r, f)
	if v == nil || len(e.seq) == 0 {
		return
	}
	ran := f.ran(s, e).Volume
	if p := s.presses[f.Press]; p != nil {
		s.pressLog(r, p, "{volume} of {share} to {tank}", inWords(s, ran), ShareWords(f.Share), f.To)
	}
	says := "{volume} of {share} from {press}"
	if f.Closed {
		says = "{volume} of {share} from {press}, closed"
	}
	s.log(r, s.at(f.To), says, inWords(s, ran), ShareWords(f.Share), f.Press)
}

// ran is what ran by the book as it stands.
func (f *JuiceRan) ran(s *State, e *entry) *Inflow {
	_, h, _ := s.book.Around(place{number: f.To}, e.seq[0])
	return h.items[0].In
}

func (f *JuiceRan) lines(s *State, e *entry) []*line {
	x, v := s.presses[f.Press], s.vessels[f.To]
	if x == nil || v == nil {
		return nil
	}
	return []*line{e.line(e.At, 0, func(before []*holding) []*holding {
		p := before[0].pressed(x.PressSetup)
		in, stays := f.inflow(p, before[1].contents())
		it := &Item{In: in}
		if e.stamp(e.At, f.To, it); !it.TakenBack {
			if f.Share == ShareFraction {
				p.FracOut += it.In.Volume
			} else {
				p.MainOut += it.In.Volume
			}
			p.Doses = stays
		}
		return []*holding{{press: p}, posted(v.VesselSetup, before[1], it)}
	}, place{kind: aPress, number: f.Press}, place{number: f.To})}
}

// ShareWords names a share of a press load in a sentence.
func ShareWords(s string) string {
	if s == ShareFraction {
		return "pressings"
	}
	return "free run"
}

// PressEnded is a programme that has ended; the press is being emptied.
type PressEnded struct {
	Press TankNumber `json:"press"`
}

func (f *PressEnded) apply(s *State, r Record) {
	if p := s.presses[f.Press]; p != nil {
		s.enter(r, f)
		s.pressLog(r, p, "programme ended")
	}
}

func (f *PressEnded) lines(s *State, e *entry) []*line {
	return s.press(e, f.Press, func(p *Press) {
		p.State, p.Since, p.End = PressEmptying, e.At, e.At
		p.ends(KindProgramme)
	})
}

// FreePress says that a press is empty and rinsed. A tank that only its juice kept
// open is closed with it, unless more is to follow.
type FreePress struct {
	Head
	Press TankNumber `json:"press"`
	More  bool       `json:"more,omitempty"` // its tank stays open for the next press
}

func (c *FreePress) decide(d *decision) ([]Fact, error) {
	p, err := d.press(c.Press, "press")
	if err != nil {
		return nil, err
	}
	if p.State == PressReady {
		return nil, reject("press-state", "press", "{press} has been ready since {time}", p.Number, d.says(p.Since))
	}
	if p.State == PressRunning {
		return nil, reject("press-state", "press", "{press} is still pressing; end its programme first", p.Number)
	}
	d.subject, d.what = p.Ref(), tryEmptied.Say(p.Number)
	if p.State == PressLocked {
		ask(d, goRules, onPress{p})
	}
	open := d.s.LeftOpen(p)
	if !c.More {
		ask(d, emptyRules, leftTry(open))
	}
	facts := []Fact{&PressFreed{Press: p.Number}}
	for _, v := range d.s.Vessels() {
		alone := slices.Contains(open, v)
		if alone || v.Now.Open && slices.Contains(v.Now.Feeds, p.Ref()) {
			facts = append(facts, &JuiceClosed{Vessel: v.Number, Press: p.Number, Why: tryEmptied.Say(p.Number),
				More: c.More || !alone})
		}
	}
	return append(facts, d.answer(p.Ref(), endFree.Say(), KindProgramme, KindFill, KindClean)...), nil
}

// PressFreed is a press that is empty, rinsed and ready.
type PressFreed struct {
	Press TankNumber `json:"press"`
}

func (f *PressFreed) apply(s *State, r Record) {
	if p := s.presses[f.Press]; p != nil {
		s.enter(r, f)
		s.pressLog(r, p, "empty and rinsed, ready")
	}
}

func (f *PressFreed) lines(s *State, e *entry) []*line {
	return s.press(e, f.Press, func(p *Press) {
		p.clear()
		p.State, p.Since = PressReady, e.At
	})
}

var (
	_ = command[PressJuiceOut]("juice")
	_ = command[FreePress]("press-free")
	_ = fact[JuiceRan]("juice-ran")
	_ = fact[PressEnded]("press-ended")
	_ = fact[PressFreed]("press-freed")
)
