package cellar

import (
	"errors"
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// Initials name a person, as on paper.
type Initials string

// Role is what a person may do beyond writing what is true.
type Role string

// The roles. One person may hold several.
const (
	RoleLead      Role = "lead"
	RoleWinemaker Role = "winemaker"
	RolePress     Role = "press"
	RoleTank      Role = "tank"
	RoleReception Role = "reception"
	RoleLab       Role = "lab"
	RoleOther     Role = "other"
)

var allRoles = []Role{RoleLead, RoleWinemaker, RolePress, RoleTank, RoleReception, RoleLab, RoleOther}

// Person is one of the crew.
type Person struct {
	Initials Initials `json:"initials" toml:"initials"`
	Name     string   `json:"name" toml:"name"`
	Roles    []Role   `json:"roles" toml:"roles"`
	// Left takes a person off the list. It stands in a line only, never on the list.
	Left bool `json:"left,omitempty" toml:"left"`
	// To gets what waits for who leaves. Same says that it is the person whom the log knows
	// by these initials. Both stand in a line only.
	To   Initials `json:"to,omitempty" toml:"to"`
	Same bool     `json:"same,omitempty" toml:"same"`
}

// Has reports whether a person holds a role.
func (p Person) Has(r Role) bool {
	for _, x := range p.Roles {
		if x == r {
			return true
		}
	}
	return false
}

// Limits are the house's own numbers. Each has a default that the house edits;
// none of them is a standard, see the comment at DefaultLimits.
type Limits struct {
	SO2Max quantity.Rate `json:"so2_max,omitzero" toml:"so2_max"` // sum on one juice
	// settling, not to be racked before
	SettleFor quantity.Span `json:"settle_for,omitzero" toml:"settle_for"`
	// enzyme and SO2 or bentonite
	ApartFor  quantity.Span    `json:"apart_for,omitzero" toml:"apart_for"`
	SlowBelow quantity.Celsius `json:"slow_below,omitzero" toml:"slow_below"` // W09
	// content change that ends the double-dose guard, share
	SameJuice  float64       `json:"same_juice,omitzero" toml:"same_juice"`
	RepeatTest quantity.Span `json:"repeat_test,omitzero" toml:"repeat_test"` // after an invalid test
	// how long clean stays clean
	CleanFor   quantity.Span `json:"clean_for,omitzero" toml:"clean_for"`
	CleanTakes quantity.Span `json:"clean_takes,omitzero" toml:"clean_takes"` // expected cleaning time
	CapRise    quantity.Span `json:"float_cap,omitzero" toml:"float_cap"`     // after a flotation run
	FloatRun   quantity.Span `json:"float_run,omitzero" toml:"float_run"`     // expected flotation run
	// % of brim the lead may go to
	MaxFillLead  float64 `json:"max_fill_lead,omitzero" toml:"max_fill_lead"`
	WorkingFloat float64 `json:"working_float,omitzero" toml:"working_float"` // % of brim while floating
	// hL/t of press fraction expected
	PressFraction float64 `json:"pressings_yield,omitzero" toml:"pressings_yield"`
	// bar on the number of the flotation plant
	FloatBar float64 `json:"float_bar,omitzero" toml:"float_bar"`
	// must hotter than this goes on no press
	PressHot   quantity.Celsius `json:"press_hot,omitzero" toml:"press_hot"`
	LoadWaits  quantity.Span    `json:"load_waits,omitzero" toml:"load_waits"`   // W01
	WarmGrapes quantity.Celsius `json:"warm_grapes,omitzero" toml:"warm_grapes"` // W02
	LoadMost   quantity.Mass    `json:"load_max,omitzero" toml:"load_max"`       // H01, net of a load
	PourWithin quantity.Span    `json:"pour_within,omitzero" toml:"pour_within"` // weighed to poured
	// how long a control counts, drawn or thawed
	ControlFor quantity.Span `json:"control_for,omitzero" toml:"control_for"`
	// how often its bottle may be opened
	ControlOpens float64 `json:"control_opens,omitzero" toml:"control_opens"`
	// how long an open bottle of alcohol counts
	BottleFor quantity.Span `json:"bottle_for,omitzero" toml:"bottle_for"`
	// to decide the route, from the third positive
	RouteWithin quantity.Span `json:"route_within,omitzero" toml:"route_within"`
	// the house's band of settled juice
	NTULow  float64 `json:"ntu_low,omitzero" toml:"ntu_low"`
	NTUHigh float64 `json:"ntu_high,omitzero" toml:"ntu_high"`
	// W16, where no longest time was typed
	HotMost    quantity.Span `json:"hot_max,omitzero" toml:"hot_max"`
	LookWithin quantity.Span `json:"check_within,omitzero" toml:"check_within"` // W20
	// W18, clear juice without yeast
	InoculateWithin quantity.Span `json:"inoculate_within,omitzero" toml:"inoculate_within"`
	// fall of the density, in °Oe, that tells of a start
	StartDrop float64 `json:"start_drop,omitzero" toml:"start_drop"`
	// how long juice may stand undecided above undecided_below
	StandFor quantity.Span `json:"undecided_for,omitzero" toml:"undecided_for"`
	// the temperature at which it may stand longer
	StandBelow quantity.Celsius `json:"undecided_below,omitzero" toml:"undecided_below"`
	// W18, inoculated below it
	ColdYeast quantity.Celsius `json:"cold_yeast,omitzero" toml:"cold_yeast"`
	// What a gas meter shows: from leave on everybody leaves, from emergency on it is
	// one. CO2 in ppm, at or above; O2 in %, below.
	CO2Leave     float64 `json:"co2_leave,omitzero" toml:"co2_leave"`
	CO2Emergency float64 `json:"co2_emergency,omitzero" toml:"co2_emergency"`
	O2Leave      float64 `json:"o2_leave,omitzero" toml:"o2_leave"`
	O2Emergency  float64 `json:"o2_emergency,omitzero" toml:"o2_emergency"`
}

// Whole returns the limits with the default in place of each that is not set:
// a house written down before a limit was known has none of it.
func (l Limits) Whole() Limits { return DefaultLimits().with(l) }

// DefaultLimits are common practice, no source, each to be set by the house; those
// for gas stand with their sources in gas.go.
func DefaultLimits() Limits {
	return Limits{
		SO2Max: quantity.Rate{Value: 6, Unit: quantity.GPerHL}, SettleFor: hours(14), ApartFor: minutes(20),
		SlowBelow: 12, SameJuice: 0.10, RepeatTest: minutes(15), CleanFor: hours(24), CleanTakes: minutes(45),
		CapRise: minutes(90), FloatRun: minutes(70), MaxFillLead: 98, WorkingFloat: 85, PressFraction: 1.4,
		FloatBar: 6, PressHot: 50, LoadWaits: minutes(90), WarmGrapes: 25, LoadMost: 40 * quantity.Tonne,
		PourWithin: minutes(15),
		ControlFor: hours(24), ControlOpens: 3, BottleFor: hours(14 * 24), RouteWithin: hours(2), NTULow: 100,
		NTUHigh: 200, HotMost: hours(4), LookWithin: hours(2), InoculateWithin: hours(12),
		StartDrop: 3, StandFor: hours(4), StandBelow: 13, ColdYeast: 10,
		CO2Leave: co2Leave, CO2Emergency: co2Emergency, O2Leave: o2Leave, O2Emergency: o2Emergency,
	}
}

// pourWithin is missing in journals written before it was thought of.
func (l Limits) pourWithin() quantity.Span {
	if l.PourWithin == 0 {
		return DefaultLimits().PourWithin
	}
	return l.PourWithin
}

func hours(n int) quantity.Span   { return quantity.Span(time.Duration(n) * time.Hour) }
func minutes(n int) quantity.Span { return quantity.Span(time.Duration(n) * time.Minute) }

// House is the winery's own settings.
type House struct {
	Name  string          `json:"name" toml:"name"`
	Zone  string          `json:"zone" toml:"zone"` // IANA name
	Units quantity.System `json:"units" toml:"units"`
	// Decimal is the sign before the decimals, where the house has named it.
	Decimal  quantity.Decimal `json:"decimal,omitempty" toml:"decimal"`
	Recipe   string           `json:"recipe" toml:"recipe"` // id of the clarity recipe in use
	Recipes  []clarity.Recipe `json:"recipes,omitempty" toml:"recipes"`
	Waits    clarity.Waits    `json:"waits,omitzero" toml:"waits"`
	Limits   Limits           `json:"limits,omitzero" toml:"limits"`
	ReadBack []TankNumber     `json:"read_back,omitempty" toml:"read_back"`
	// numbers that this house takes for one another
	Alike [][]TankNumber `json:"look_alikes,omitempty" toml:"look_alikes"`
	// numbers that look alike by their figures: asked about, or "off"
	Computed string `json:"similar_numbers,omitempty" toml:"similar_numbers"`
	// CleanList is what is seen to before a vessel counts as clean, see ToClean.
	CleanList []CleanStep `json:"clean_list,omitempty" toml:"clean_list"`
	// GasPlaces are where a meter is held beside the vessels and presses: pits, galleries.
	GasPlaces []string `json:"gas_places,omitempty" toml:"gas_places"`
	People    []Person `json:"people" toml:"people"`
	Escalate  Escalate `json:"escalate,omitzero" toml:"escalate"`
	// Gone are those who have left the list, whose initials are theirs in the log.
	Gone []Gone `json:"gone,omitempty" toml:"-"`
}

// Habit is how the house writes quantities.
func (h House) Habit() quantity.Habit { return quantity.Habit{Units: h.Units, Decimal: h.Decimal} }

// Person finds one of the crew.
func (h House) Person(who Initials) (Person, bool) {
	for _, p := range h.People {
		if p.Initials == who {
			return p, true
		}
	}
	return Person{}, false
}

func (h House) initialsList() string {
	var all []string
	for _, p := range h.People {
		all = append(all, string(p.Initials))
	}
	sort.Strings(all)
	return strings.Join(all, " ")
}

// RecipeByID finds a recipe of the house; an empty id means the one in use.
func (h House) RecipeByID(id string) (clarity.Recipe, bool) {
	if id == "" {
		id = h.Recipe
	}
	for _, r := range append(append([]clarity.Recipe{}, h.Recipes...), clarity.Recipes()...) {
		if r.ID == id {
			return r, true
		}
	}
	return clarity.Recipe{}, false
}

// SetHouse gives the house its settings. A later one replaces what it names.
type SetHouse struct {
	Head
	House
}

func (c *SetHouse) decide(d *decision) ([]Fact, error) {
	if len(d.s.House.People) > 0 && !d.s.may(string(d.head.By), gate.Lead) {
		return nil, reject("right", "by", "only the lead can change settings, people and rights, not {who}", d.head.By)
	}
	h := d.s.House.with(c.House)
	if h.Name == "" {
		return nil, reject("house", "name", "the house needs a name")
	}
	if _, err := time.LoadLocation(h.Zone); err != nil || h.Zone == "" {
		return nil, reject("zone", "zone", "{zone:%q} is not a time zone; type one such as Europe/Paris", h.Zone)
	}
	if _, ok := h.RecipeByID(""); !ok {
		return nil, reject("recipe", "recipe", "{recipe:%q} is not a test recipe; choose 5+5, 1:2 or 1:1.5", h.Recipe)
	}
	if c := h.Computed; c != "" && c != "ask" && c != "off" {
		return nil, reject("similar-numbers", "similar_numbers",
			"for numbers that look alike type \"ask\" or \"off\", not {what:%q}", c)
	}
	if lim := h.Limits.Whole(); lim.NTULow < 0 || lim.NTULow >= lim.NTUHigh {
		return nil, reject("band", "limits",
			"type the lower turbidity of the house band first, not {low} to {high} NTU", lim.NTULow, lim.NTUHigh)
	}
	if err := h.Limits.Whole().check(); err != nil {
		return nil, err
	}
	if err := checkCleanSteps("clean_list", h.CleanList); err != nil {
		return nil, err
	}
	if err := d.checkPeople(h, c.People); err != nil {
		return nil, err
	}
	if err := h.checkGasPlaces(); err != nil {
		return nil, err
	}
	if err := d.ownNames(h, c.House); err != nil {
		return nil, err
	}
	if err := h.clockLengths(); err != nil {
		return nil, err
	}
	if err := h.Escalate.check(h); err != nil {
		return nil, err
	}
	facts, err := d.handing(c.People)
	if err != nil {
		return nil, err
	}
	return append(facts, &HouseSet{House: h}), nil
}

// with overlays the settings that o names.
func (h House) with(o House) House {
	if o.Name != "" {
		h.Name = o.Name
	}
	if o.Zone != "" {
		h.Zone, h.Units = o.Zone, o.Units
	}
	if o.Decimal != "" {
		h.Decimal = o.Decimal
	}
	if o.Recipe != "" {
		h.Recipe = o.Recipe
	}
	if h.Recipe == "" {
		h.Recipe = "5+5"
	}
	if len(o.Recipes) > 0 {
		h.Recipes = o.Recipes
	}
	if h.Waits == (clarity.Waits{}) {
		h.Waits = clarity.DefaultWaits()
	}
	for _, p := range []struct{ to, from *quantity.Span }{{&h.Waits.Large, &o.Waits.Large}, {&h.Waits.Small,
		&o.Waits.Small}, {&h.Waits.Fine, &o.Waits.Fine}, {&h.Waits.Hot, &o.Waits.Hot}} {
		if *p.from != 0 {
			*p.to = *p.from
		}
	}
	h.Limits = h.Limits.with(o.Limits)
	if o.ReadBack != nil {
		h.ReadBack = o.ReadBack
	}
	if o.CleanList != nil {
		h.CleanList = o.CleanList
	}
	if o.GasPlaces != nil {
		h.GasPlaces = o.GasPlaces
	}
	if o.Alike != nil {
		h.Alike = o.Alike
	}
	if o.Computed != "" {
		h.Computed = o.Computed
	}
	h.People = withPeople(h.People, o.People)
	if o.Gone != nil {
		h.Gone = o.Gone
	}
	h.Escalate = h.Escalate.with(o.Escalate)
	return h
}

// with overlays the limits that o names, over what stands or the defaults.
func (l Limits) with(o Limits) Limits {
	if l == (Limits{}) {
		l = DefaultLimits()
	}
	if !o.SO2Max.IsZero() {
		l.SO2Max = o.SO2Max
	}
	for _, p := range []struct{ to, from *quantity.Span }{
		{&l.SettleFor, &o.SettleFor}, {&l.ApartFor, &o.ApartFor}, {&l.RepeatTest, &o.RepeatTest},
		{&l.CleanFor, &o.CleanFor},
		{&l.CleanTakes, &o.CleanTakes}, {&l.CapRise, &o.CapRise}, {&l.FloatRun, &o.FloatRun}, {&l.LoadWaits,
			&o.LoadWaits}, {&l.PourWithin, &o.PourWithin},
		{&l.ControlFor, &o.ControlFor}, {&l.BottleFor, &o.BottleFor}, {&l.RouteWithin, &o.RouteWithin},
		{&l.HotMost, &o.HotMost}, {&l.LookWithin, &o.LookWithin}, {&l.InoculateWithin, &o.InoculateWithin},
		{&l.StandFor, &o.StandFor},
	} {
		if *p.from != 0 {
			*p.to = *p.from
		}
	}
	for _, p := range []struct{ to, from *float64 }{
		{&l.SameJuice, &o.SameJuice}, {&l.MaxFillLead, &o.MaxFillLead}, {&l.WorkingFloat, &o.WorkingFloat},
		{&l.PressFraction, &o.PressFraction}, {&l.FloatBar, &o.FloatBar},
		{&l.ControlOpens, &o.ControlOpens}, {&l.NTULow, &o.NTULow}, {&l.NTUHigh, &o.NTUHigh}, {&l.StartDrop,
			&o.StartDrop},
		{&l.CO2Leave, &o.CO2Leave}, {&l.CO2Emergency, &o.CO2Emergency}, {&l.O2Leave, &o.O2Leave}, {&l.O2Emergency,
			&o.O2Emergency},
	} {
		if *p.from != 0 {
			*p.to = *p.from
		}
	}
	if o.LoadMost != 0 {
		l.LoadMost = o.LoadMost
	}
	for _, p := range []struct{ to, from *quantity.Celsius }{{&l.SlowBelow, &o.SlowBelow}, {&l.PressHot, &o.PressHot},
		{&l.WarmGrapes, &o.WarmGrapes}, {&l.StandBelow, &o.StandBelow}, {&l.ColdYeast, &o.ColdYeast}} {
		if *p.from != 0 {
			*p.to = *p.from
		}
	}
	return l
}

// check refuses limits that would be none.
func (l Limits) check() error {
	var wrong []error
	for _, x := range []struct {
		name      string
		at        float64
		low, high float64
	}{{"max_fill_lead", l.MaxFillLead, 50, 100}, {"working_float", l.WorkingFloat, 50, 100}, {"same_juice", l.SameJuice,
		0.01, 1}, {"float_bar", l.FloatBar, 1, 10}, {"press_hot", float64(l.PressHot), 20, 70}} {
		if x.at < x.low || x.at > x.high {
			wrong = append(wrong, reject("limit", "limits."+x.name, "{name} must be between {low} and {high}, not {at}",
				x.name, x.low, x.high, x.at))
		}
	}
	return errors.Join(append(wrong, l.checkGas())...)
}

// HouseSet is the house's settings as they stand from now on.
type HouseSet struct {
	House House `json:"house"`
}

func (f *HouseSet) apply(s *State, r Record) {
	gone := s.House.gone(f.House, r.At)
	s.House = f.House
	s.House.Gone = gone
	s.House.Limits = s.House.Limits.Whole() // an older journal lacks some
	s.zone = nil
	s.log(r, theHouse, "settings of {house}", f.House.Name)
}

// may reports whether a person has a right.
func (s *State) may(who string, r gate.Right) bool {
	p, ok := s.House.Person(Initials(who))
	return ok && p.has(r)
}

var (
	_ = command[SetHouse]("house")
	_ = fact[HouseSet]("house-set")
)
