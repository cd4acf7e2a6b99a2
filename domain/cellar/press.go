package cellar

import (
	"slices"
	"strings"
	"time"
	"unicode"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// PressState is what a press is doing.
type PressState string

// The states of a press.
const (
	PressReady    PressState = "ready"
	PressFilling  PressState = "filling"
	PressFull     PressState = "full"
	PressRunning  PressState = "pressing"
	PressStopped  PressState = "stopped"
	PressEmptying PressState = "emptying"
	PressLocked   PressState = "locked out"
)

// Programme is a press programme of the house.
type Programme struct {
	Name    string        `json:"name" toml:"name"`
	Minutes quantity.Span `json:"minutes" toml:"minutes"`
}

// PressSetup is what is known of a press however full it is.
type PressSetup struct {
	Number     TankNumber    `json:"press" toml:"press"`
	Rated      quantity.Mass `json:"rated" toml:"rated"`             // destemmed
	WholeBunch quantity.Mass `json:"whole_bunch" toml:"whole_bunch"` // whole bunches
	Empty      quantity.Span `json:"empty" toml:"empty"`             // emptying and rinsing
	Programmes []Programme   `json:"programmes,omitempty" toml:"programmes"`
}

// PressPart is what one load, or one vessel's must, brought into a press.
type PressPart struct {
	Load    LoadID          `json:"load,omitempty"`
	From    TankNumber      `json:"from,omitempty"` // the vessel, for must
	Variety string          `json:"variety"`
	Mass    quantity.Mass   `json:"mass,omitzero"`
	Volume  quantity.Volume `json:"volume,omitzero"`
	Must    quantity.Volume `json:"must,omitzero"` // the must it was before juice was drained off
	Seq     Seq             `json:"-"`             // of its fill, 0 for must and for what an opening found
}

// Press is one press and its load. A press load is neither a truck nor a tank.
type Press struct {
	PressSetup
	State     PressState
	Since     time.Time // since when it does that: of one that stands, since it first stopped
	Parts     []PressPart
	FromLot   string
	Doses     []Dose // carried with must, less what ran out with juice
	Kind      stage.Substance
	Tested    bool // the must's contact has ended in a valid negative
	Programme string
	Started   time.Time
	End       time.Time
	Main      TankNumber // where the main juice goes
	Fraction  TankNumber // where the press fraction goes
	MainOut   quantity.Volume
	FracOut   quantity.Volume
	Why       string     // why it stands
	Was       PressState // what it was doing when it came to stand,
	WasSince  time.Time  // and since when
	Timers    []Timer    // the clocks that run on it
}

func (p *Press) ends(kinds ...ClockKind) { p.Timers = without(p.Timers, kinds...) }

// starts starts a clock on a press by an entry.
func (p *Press) starts(e *entry, l Lapse) { p.Timers = append(slices.Clone(p.Timers), l.timer(e, 0)) }

// Stands reports whether a press has been stopped or locked out.
func (p *Press) Stands() bool { return p.State == PressStopped || p.State == PressLocked }

// GoesOnAs is what a press that stands does when it goes on: what it was doing. An
// opening or an older journal does not say; then what is in it tells.
func (p *Press) GoesOnAs() PressState {
	switch {
	case p.Was == PressFilling && len(p.Parts) == 0:
		return PressReady
	case p.Was != "":
		return p.Was
	case !p.Started.IsZero():
		return PressRunning
	case len(p.Parts) == 0:
		return PressReady
	}
	return PressFilling
}

// Name is what is in the press: "0418+0419 Riesling", "502 Sauvignon".
func (p *Press) Name() string {
	name := ""
	for i, x := range p.Parts {
		from := string(x.Load)
		if x.From != "" {
			from = string(x.From)
		}
		last := i == len(p.Parts)-1
		if !last && p.Parts[i+1].Variety == x.Variety {
			if x.From == "" || x.From != p.Parts[i+1].From {
				name += from + "+"
			}
			continue
		}
		name += from + " " + x.Variety
		if !last {
			name += " + "
		}
	}
	return name
}

// Mass is the grapes in the press.
func (p *Press) Mass() quantity.Mass {
	var sum quantity.Mass
	for _, x := range p.Parts {
		sum += x.Mass
	}
	return sum
}

// Variety is of which grapes the press load is, "" where they are several.
func (p *Press) Variety() string {
	for _, x := range p.Parts {
		if x.Variety != p.Parts[0].Variety {
			return ""
		}
	}
	if len(p.Parts) == 0 {
		return ""
	}
	return p.Parts[0].Variety
}

// EmptyAt is when a press that runs is to be emptied: at the end of its programme,
// or later, with the reason why it waits ("pomace trailer full").
func (s *State) EmptyAt(p *Press) (at time.Time, waits text.Say) {
	k := s.openClock(p.Ref(), KindProgramme)
	if k == nil {
		return p.End, text.Say{}
	}
	return k.Due, k.MovedFor
}

// Loads are those that are in a press.
func (p *Press) Loads() []LoadID {
	var out []LoadID
	for _, x := range p.Parts {
		out = append(out, x.Load)
	}
	return out
}

// parts splits a volume of juice over the loads in the press, by mass where
// all have one, else by volume.
func (p *Press) parts(v quantity.Volume) []Part {
	weights, total := make([]int64, len(p.Parts)), int64(0)
	byMass := true
	for _, x := range p.Parts {
		byMass = byMass && x.Mass > 0
	}
	for i, x := range p.Parts {
		weights[i] = int64(x.Volume)
		if byMass {
			weights[i] = int64(x.Mass)
		}
		total += weights[i]
	}
	if total == 0 && len(weights) > 0 {
		weights[0], total = 1, 1
	}
	shares := largestRemainder(int64(v/quantity.Millilitre), weights, total)
	out := make([]Part, len(p.Parts))
	for i, x := range p.Parts {
		out[i] = Part{Load: x.Load, Variety: x.Variety, Volume: quantity.Volume(shares[i]) * quantity.Millilitre}
	}
	return out
}

// AddVessel puts a vessel on the board, or changes what it names of one that is there.
type AddVessel struct {
	Head
	VesselSetup
}

func (c *AddVessel) decide(d *decision) ([]Fact, error) {
	v, was := c.VesselSetup, d.s.vessels[c.Number]
	if was != nil {
		v = v.over(was.VesselSetup)
	} else if err := v.Number.check(d, "vessel"); err != nil {
		return nil, err
	}
	if least, most := quantity.Hectolitre, 5000*quantity.Hectolitre; v.Brim < least || v.Brim > most {
		sys := d.s.House.Units
		return nil, reject("brim", "brim", "a brim volume of {brim} cannot be; type {least} to {most}",
			v.Brim.Text(sys), least.Text(sys), most.Text(sys))
	}
	limit, ok := v.Use.Limit()
	if !ok {
		return nil, reject("use", "use", "{use:%q} is not a use; choose from {uses}", v.Use, listed(stage.Uses()))
	}
	if v.LimitPct == 0 {
		v.LimitPct = limit
	}
	if v.LimitPct < 50 || v.LimitPct > 100 {
		return nil, reject("limit", "limit_pct", "type a working limit from 50 to 100 % of the brim")
	}
	if err := v.checkInside(d.s.House.Units); err != nil {
		return nil, err
	}
	if was != nil {
		return v.changes(d, was)
	}
	return []Fact{&VesselAdded{v}}, nil
}

// check refuses what is no number: it is typed on a number pad, printed in ASCII
// and read across a hall.
func (p TankNumber) check(d *decision, field string) error {
	letters := func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("-./", r)
	}
	switch n := len([]rune(string(p))); {
	case n < 1 || n > 6:
		return reject("number", field, "a number has 1 to 6 characters, as painted on the tank or press")
	case strings.ContainsFunc(string(p), letters):
		return reject("number", field, "{name:%q} is not a number: use letters, digits, - . and /", p)
	case d.s.vessels[p] != nil:
		return reject("double", field, "there is already a vessel {name}", p)
	case d.s.presses[p] != nil:
		return reject("double", field, "there is already a press {name}", p)
	}
	return d.s.House.ownName(p, field)
}

// listed writes the names that are known, for a sentence.
func listed[T ~string](all []T) string {
	words := make([]string, len(all))
	for i, x := range all {
		words[i] = string(x)
	}
	return strings.Join(words, ", ")
}

// VesselAdded is a vessel the board knows from now on, empty and dirty until
// something else is said.
type VesselAdded struct{ VesselSetup }

func (f *VesselAdded) apply(s *State, r Record) {
	v := &Vessel{VesselSetup: f.VesselSetup, Now: Content{Stage: stage.Dirty, Since: r.At}, book: s.book}
	s.vessels[v.Number] = v
	s.vesselOrder = inNumberOrder(s.vesselOrder, v.Number)
	s.enter(r, f)
}

// lines puts a vessel into the book dirty, before all that is said of it: an opening
// and late entries know of times before it stood on the board.
func (f *VesselAdded) lines(s *State, e *entry) []*line {
	it := e.stamp(e.At, f.Number, &Item{Stage: &StageSet{Number: f.Number, Stage: stage.Dirty}})
	return []*line{e.line(time.Time{}, 0, func(before []*holding) []*holding {
		return []*holding{posted(f.VesselSetup, before[0], it)}
	}, place{number: f.Number})}
}

// AddPress puts a press on the board.
type AddPress struct {
	Head
	PressSetup
}

func (c *AddPress) decide(d *decision) ([]Fact, error) {
	p := c.PressSetup
	if err := p.Number.check(d, "press"); err != nil {
		return nil, err
	}
	if least, most := quantity.Tonne/10, 150*quantity.Tonne; p.Rated < least || p.Rated > most {
		sys := d.s.House.Units
		return nil, reject("rated", "rated", "a press takes {least} to {most}, not {rated}", least.Load(sys),
			most.Load(sys), p.Rated.Load(sys))
	}
	for _, g := range p.Programmes {
		if !runs(g.Minutes) {
			return nil, reject("programmes", "programmes", "{name} of {press}: a press programme runs 10 to 600 "+
				"minutes, not {minutes}", g.Name, p.Number, g.Minutes)
		}
	}
	return []Fact{&PressAdded{p}}, nil
}

// PressAdded is a press the board knows from now on, ready.
type PressAdded struct{ PressSetup }

func (f *PressAdded) apply(s *State, r Record) {
	s.presses[f.Number] = &Press{PressSetup: f.PressSetup, State: PressReady, Since: r.At}
	s.pressOrder = inNumberOrder(s.pressOrder, f.Number)
	s.enter(r, f)
}

func (f *PressAdded) lines(s *State, e *entry) []*line {
	return []*line{e.line(time.Time{}, 0, func(before []*holding) []*holding {
		return []*holding{{press: &Press{PressSetup: f.PressSetup, State: PressReady, Since: e.At}}}
	}, place{kind: aPress, number: f.Number})}
}

// runs reports whether a press programme can be this long.
func runs(n quantity.Span) bool {
	return n.Duration() >= 10*time.Minute && n.Duration() <= 10*time.Hour
}

// programme finds a programme by name; an unknown name is taken with the length
// typed for it.
func (p *Press) programme(name string, typed quantity.Span) (Programme, error) {
	if typed != 0 && !runs(typed) {
		return Programme{}, reject("minutes", "minutes", "a press programme runs 10 to 600 minutes, not {typed}", typed)
	}
	for _, g := range p.Programmes {
		if g.Name == name {
			if typed != 0 {
				g.Minutes = typed
			}
			return g, nil
		}
	}
	if typed == 0 {
		names := ""
		for _, g := range p.Programmes {
			names += " " + g.Name
		}
		return Programme{}, reject("programme", "programme",
			"{press} has no programme {name:%q}; it has{names}, or type the minutes", p.Number, name, names)
	}
	return Programme{Name: name, Minutes: typed}, nil
}

func (s *State) pressLog(r Record, p *Press, template string, values ...any) {
	s.log(r, p.Ref(), template, values...)
}

// haltLog logs that a press came to stand, or went on.
func (s *State) haltLog(r Record, p *Press, h Halt, template string, values ...any) {
	s.pressLog(r, p, template, values...)
	s.history.events[len(s.history.events)-1].Halt = &h
}

// fromVessel takes must or skins from a vessel into a press.
func (p *Press) fromVessel(at time.Time, seq Seq, f *Flow, leg Leg) {
	if p.State != PressFilling {
		p.clear()
		p.Since = at
	}
	p.State, p.FromLot, p.Kind, p.Tested = PressFull, f.FromLot, f.Substance, !f.NegAt.IsZero()
	for _, part := range leg.Parts {
		share := float64(part.Volume) / float64(max(1, leg.Volume))
		p.Parts = append(p.Parts, PressPart{Load: part.Load, From: f.From, Variety: part.Variety, Volume: part.Volume,
			Must: quantity.Volume(float64(leg.Must) * share)})
	}
	p.Doses = blendDoses(p.Doses, leg.Doses, p.must(), false)
}

// must is what is in a press as must, before any of it ran out.
func (p *Press) must() quantity.Volume {
	sum := quantity.HL(p.Mass().Tonnes() * mustPerTonne)
	for _, x := range p.Parts {
		sum += x.Volume
	}
	return sum.Whole()
}

var (
	_ = command[AddVessel]("vessel")
	_ = command[AddPress]("press")
	_ = fact[VesselAdded]("vessel-added")
	_ = fact[PressAdded]("press-added")
)
