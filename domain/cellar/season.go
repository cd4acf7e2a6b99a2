package cellar

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/text"
)

// Season is where a journal stands among those of its house.
type Season struct {
	Name   string    // of this one, "" until it is closed
	Closed time.Time // from then on nothing more is saved in it
	Before Former
}

// Former is the season before, by where its journal ended.
type Former struct {
	Season string `json:"season,omitempty"`
	Seq    Seq    `json:"seq,omitempty"`
	Hash   string `json:"hash,omitempty"` // of its last record
}

// CloseSeason ends a journal: what is in the tanks goes on in the next. It is no line of the
// line format: the journal of the next season is made with it.
type CloseSeason struct {
	Head
	Season string `json:"season"`
}

func (c *CloseSeason) decide(d *decision) ([]Fact, error) {
	if strings.Trim(c.Season, seasonLetters) != "" || c.Season == "" || len(c.Season) > 16 {
		return nil, reject("season", "season", "name the season by letters, digits and -, such as 2026, not {what:%q}",
			c.Season)
	}
	if !d.s.may(string(d.head.By), gate.Lead) {
		return nil, reject("right", "by", "only a lead or the winemaker can close the season, not {who}", d.head.By)
	}
	if why := d.s.unfinished(d.at); len(why) > 0 {
		return nil, reject("open", "season", "the season cannot be closed yet: {why}", text.Join("; ", why...))
	}
	return []Fact{&SeasonClosed{Season: c.Season}}, nil
}

const seasonLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-"

// unfinished is what must be done before a season can end: loops that still run.
func (s *State) unfinished(now time.Time) (out []text.Say) {
	add := func(template string, values ...any) { out = append(out, text.Of(template, values...)) }
	if !s.Shift.Started.IsZero() && s.Shift.Ended.IsZero() {
		add("the shift of {lead} is open, hand it over first (e)", s.Shift.Lead)
	}
	for _, e := range s.Emergencies(now) {
		add("{emergency} stands, end it by name first", e.Key())
	}
	for _, in := range s.InVessels() {
		add("{who} is in {place} by what was saved", in.Who, in.Place)
	}
	for _, p := range s.LivePermits(now) {
		add("permit {number} is live, hand it back first", p.Number)
	}
	for _, m := range s.RunningMoves() {
		add("a pump runs from {tank}, save the move first", m.From)
	}
	for _, p := range s.Presses() {
		if p.State != PressReady && p.State != PressLocked {
			add("{press} is {state}, empty it first", p.Number, p.State)
		}
	}
	for _, l := range s.Loads {
		if l.State == LoadWaiting || l.State == LoadTipping {
			add("load {load} is in the yard", l.ID)
		}
	}
	for _, v := range s.Vessels() {
		if !carries(v.Now.Stage) || v.Now.Open {
			add("{tank} is {stage}, which ends before a season does", v.Number, v.Now.Stage)
		}
	}
	for _, k := range s.OpenAlarms(now) {
		add("{name} is due since {time}, answer it or take it off", k.Name(), k.Due)
	}
	return out
}

// carries reports whether a vessel in a stage can stand over from one season to the next.
func carries(g stage.Stage) bool {
	return g.Empty() || slices.Contains([]stage.Stage{stage.Racked, stage.Waiting, stage.Maceration, stage.Fermenting,
		stage.Stored, stage.JuiceLees}, g)
}

// SeasonClosed is the last fact of a season.
type SeasonClosed struct {
	Season string `json:"season"`
}

func (f *SeasonClosed) apply(s *State, r Record) {
	s.Season.Name, s.Season.Closed = f.Season, r.At
	s.going, s.open = nil, nil // its clocks go on in the next
	s.log(r, theHouse, "season {season} closed: {total}", f.Season, s.Total())
}

// sealed refuses whatever is to be saved in a season that is closed.
func (d *decision) sealed() error {
	if d.s.Season.Closed.IsZero() {
		return nil
	}
	return reject("season", "", "season {season} was closed at {time}: it can be read, and nothing more is saved in it",
		d.s.Season.Name, d.saysDay(d.s.Season.Closed))
}

// BeginSeason is the first line of a journal that goes on from another.
type BeginSeason struct {
	Head
	After Former `json:"after_season"`
}

func (c *BeginSeason) decide(d *decision) ([]Fact, error) {
	if d.s.Seq != 0 && !(d.s.Seq == 1 && d.s.Rehearsal) {
		return nil, reject("season", "after_season", "only an empty journal can go on from another")
	}
	return []Fact{&SeasonBegun{After: c.After}}, nil
}

// SeasonBegun is a journal that goes on from that of the season before.
type SeasonBegun struct {
	After Former `json:"after_season"`
}

func (f *SeasonBegun) apply(s *State, r Record) {
	s.Season.Before = f.After
	s.log(r, theHouse, "a new season, after {season}", f.After.Season)
}

// Carried are the commands that make a new journal of what stands at the end of a season:
// the house, its people, vessels, presses, cards and stock, what is in the tanks, what is
// on hold, ordered and promised, and the clocks that still run. Loads are of their season:
// a share of one is named by both, "2026/0415".
func (s *State) Carried(by Initials, at time.Time, from Former) []Command {
	head := Head{By: by, At: at}
	first := Head{At: at}
	var out []Command
	if s.Rehearsal {
		out = append(out, &Rehearse{Head: first, Title: "after season " + from.Season})
	}
	out = append(out, &BeginSeason{Head: first, After: from}, &SetHouse{Head: first, House: s.House})
	for _, v := range s.Vessels() {
		out = append(out, &AddVessel{Head: head, VesselSetup: v.VesselSetup})
	}
	for _, p := range s.Presses() {
		out = append(out, &AddPress{Head: head, PressSetup: p.PressSetup})
	}
	var ended []Command
	for _, p := range s.Products() {
		if p.End != nil && !s.stillIn(p.ID) {
			continue
		}
		if out = append(out, &SetProduct{Head: head, Product: *p}); p.End != nil {
			ended = append(ended, &EndLot{Head: head, Product: p.ID, Reason: s.Words(p.End.Why)})
		}
	}
	out = append(out, &Open{Head: head, Vessels: s.carriedVessels(from.Season), Presses: s.carriedPresses(),
		Clocks: s.carriedClocks(at)})
	out = append(out, ended...)
	for _, v := range s.Vessels() {
		if h := v.Hold; h != nil {
			out = append(out, &HoldVessel{Head: head, Vessel: v.Number, Reason: h.Reason, Releaser: h.Releaser,
				Tag:   h.Tag,
				Until: h.Until})
		}
	}
	for _, o := range s.OpenOrders("", at) {
		out = append(out, &GiveOrder{Head: head, Act: o.Act, Vessel: o.Vessel, Product: o.Product, Rate: o.Rate,
			Text: o.Text, From: o.From, Until: o.Until})
	}
	for _, n := range s.Notes {
		if n.Done || !n.Stays() {
			continue
		}
		again := &WriteNote{Head: head, Subject: n.Subject, Text: n.Text, What: n.What, For: n.For, Until: n.Until,
			Pinned: n.Pinned}
		if !n.Until.After(at) { // its time has passed, so that it is a promise no more
			again.Until = time.Time{}
			if n.What == NotePromise {
				again.What = NoteQuestion
			}
		}
		out = append(out, again)
	}
	return out
}

func (s *State) carriedVessels(season string) (out []OpenVessel) {
	for _, v := range s.Vessels() {
		c := &v.Now
		o := OpenVessel{Vessel: v.Number, Volume: c.Volume, Stage: c.Stage, Since: c.Since, Why: c.Note}
		if c.Stage.Empty() {
			if c.Stage == stage.Clean && !c.CleanSince.IsZero() {
				o.Since = c.CleanSince
			}
			out = append(out, o)
			continue
		}
		o.Variety, o.Kind, o.Density = c.Variety(), c.Kind, c.Last.Density
		if !c.TempAt.IsZero() {
			o.Temp = c.Last.Temp
		}
		for _, p := range c.Parts {
			if p.Volume != 0 {
				p.Load = ofSeason(season, p.Load)
				o.Shares = append(o.Shares, p)
			}
		}
		for i := range c.Doses {
			if x, ok := s.carriedDose(&c.Doses[i]); ok {
				o.Doses = append(o.Doses, x)
			}
		}
		out = append(out, o)
	}
	return out
}

// ofSeason names a load of an earlier season.
func ofSeason(season string, l LoadID) LoadID {
	if strings.Contains(string(l), "/") { // of the season before that one
		return l
	}
	return LoadID(fmt.Sprintf("%s/%s", season, l))
}

// carriedDose is what of a dose is in a content, as a dose of all of it.
func (s *State) carriedDose(x *Dose) (OpenDose, bool) {
	p := s.products[x.Product]
	if p == nil || x.PerHL <= 0 {
		return OpenDose{}, false
	}
	rate := quantity.Rate{Value: x.PerHL, Unit: quantity.GPerHL}
	if x.Amount.Liquid() {
		rate.Unit = quantity.MLPerHL
	}
	amount := x.Here // of a solution an opening takes the active, of a powder what was weighed
	if k := p.Card.Strength; !k.Poured() && !amount.Liquid() {
		amount = k.Product(amount.Mass)
	}
	return OpenDose{At: x.At, By: x.By, Product: x.Product, Rate: rate, Amount: amount, Counted: true}, true
}

// stillIn reports whether some of a lot is in what stands in the cellar.
func (s *State) stillIn(id ProductID) bool {
	return slices.ContainsFunc(s.Vessels(), func(v *Vessel) bool {
		return slices.ContainsFunc(v.Now.Doses, func(x Dose) bool { return x.Product == id })
	})
}

func (s *State) carriedPresses() (out []OpenPress) {
	for _, p := range s.Presses() {
		out = append(out, OpenPress{Press: p.Number, State: p.State, Since: p.Since})
	}
	return out
}

// carriedClocks are those that people set, or that follow, and are still to come. Clocks
// of a shift, a permit or a break end with them, and a promise brings its own.
func (s *State) carriedClocks(at time.Time) (out []OpenClock) {
	for _, k := range s.Clocks() {
		if !k.Due.After(at) || k.Due.Sub(at) > maxClock || !slices.Contains(clockKinds, k.Kind) ||
			k.Kind == KindPromise {
			continue
		}
		out = append(out, OpenClock{Subject: k.Subject, Kind: k.Kind, What: k.DueKind, Verb: k.Verb, Start: k.Start,
			Due: k.Due, Owner: k.Owner, Basis: s.Words(k.Basis)})
	}
	return out
}

var (
	_ = fact[SeasonClosed]("season-closed")
	_ = fact[SeasonBegun]("season-begun")
)
