package cellar

import (
	"fmt"
	"math"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// GiveDose writes one product given to one vessel.
type GiveDose struct {
	Head
	Vessel  TankNumber        `json:"vessel"`
	Product ProductID         `json:"product"`
	Rate    quantity.Rate     `json:"rate,omitzero"`
	Amount  quantity.Amount   `json:"amount,omitzero"` // weighed; calculated from the rate unless given
	Volume  quantity.Volume   `json:"volume,omitzero"` // treated; what the vessel holds unless said
	Mass    quantity.Mass     `json:"mass,omitzero"`   // of the grapes, for rates on grapes
	Water   quantity.Volume   `json:"water,omitzero"`  // make-up water
	Temp    *quantity.Celsius `json:"temp,omitempty"`
	TestAt  time.Time         `json:"test_at,omitzero"` // when to test, if not by the card
	Second  Initials          `json:"second,omitempty"`
	Reason  string            `json:"reason,omitempty"`
	Seen    TankNumber        `json:"read_back,omitempty"` // the number as it was read where it goes in
}

// Calculation is a dose worked out, before anything is written.
type Calculation struct {
	Vessel  *Vessel
	Product *Product
	Rate    quantity.Rate
	Basis   string          // "192.0 hL" or "14600 kg of grapes"
	Active  quantity.Amount // for SO2 the gas, else the product
	Drawn   quantity.Amount // what is weighed or drawn
	PerHL   float64         // g/hL or mL/hL on the juice
	Total   float64         // with what is in it already
	Max     quantity.Rate
	Water   quantity.Volume
	Left    quantity.Amount // in the open container before
	Share   float64         // of what is left
	Volume  quantity.Volume
	Mass    quantity.Mass
	Loads   []LoadID        // that the mass is of, where it was not said
	Held    quantity.Volume // what the vessel held at the time of the dose
	Due     time.Time       // when the test would be due by the card
	HasDue  bool
	Off     bool // its temperature is off the card: it cannot be told
	Row     string
	Model   time.Time
	Number  int
}

// Calculate works a dose out on the state as it is. The error is a *Rejection at
// the field where the figures do not hold.
func (s *State) Calculate(c *GiveDose, now time.Time) (Calculation, error) {
	d := &decision{s: s, now: Instant(now), at: Instant(now), head: c.head()}
	if !c.At.IsZero() {
		d.at = Instant(c.At)
	}
	return c.calculate(d)
}

func (c *GiveDose) calculate(d *decision) (r Calculation, err error) {
	c, w := c.asWeighed(d)
	if r.Vessel, err = d.vessel(c.Vessel, "vessel"); err != nil {
		return r, err
	}
	if r.Product, err = d.product(c.Product); err != nil {
		return r, err
	}
	r.Vessel = d.asOf(r.Vessel)
	v, p := r.Vessel, r.Product
	if says := p.Unknown(); says != "" && !c.Happened {
		return r, reject("strength", "product", "{says}", says)
	}
	nothing := v.Now.Stage.Empty()
	if nothing && !(d.past() && d.happened()) {
		if _, until, ok := d.s.Held(v, d.now); ok && !d.at.Before(until) {
			return r, reject("empty", "at",
				"{tank} has been empty since {time}; type the time of the dose, before that", v.Number,
				d.says(until))
		}
		if err := d.held(v); err != nil {
			return r, err
		}
		return r, reject("empty", "vessel", "{tank} is {stage}; there is nothing to dose", v.Number, v.Now.Stage)
	}
	r.Rate = c.Rate
	if c.Rate.IsZero() {
		return r, reject("rate", "rate", "type the rate; the label says {card_range}, in {unit}", cardRange(p), p.Unit)
	}
	then := d.then(v)
	if r.Held = then.Volume; then.Stage.Empty() && !nothing { // held says so later, at the field of the time
		r.Held = v.Now.Volume
	}
	if err := c.amounts(d, &r); err != nil {
		return r, err
	}
	if !c.Amount.IsZero() {
		if err := c.weighed(&r); err != nil {
			return r, err
		}
	}
	if c.Water < 0 || c.Volume < 0 || c.Mass < 0 {
		return r, reject("range", "water", "type zero or more for water, volume and mass")
	}
	r.Left, r.Water = p.Open, c.Water
	if w != nil {
		r.Left = r.Left.Add(w.Drawn) // it has left the tub, and stands weighed beside it
	}
	if r.Water == 0 && p.Card.MakeUp > 0 {
		r.Water = dose.Water(r.Drawn, p.Card.MakeUp)
	}
	r.Share = dose.TubShare(r.Drawn, p.Open)
	_, sum := sameClass(d, v, p)
	for _, x := range v.Now.Doses {
		if x.Class.family() == p.Class.family() {
			r.Number++
		}
	}
	r.Number++
	r.Total, r.Max = sum+r.PerHL, p.Card.Max
	if p.Class == SO2 {
		r.Max = d.s.House.Limits.SO2Max
	}
	c.due(d, &r)
	return r, nil
}

// amounts calculates what is measured out, and what is active in it, from the rate on its
// own basis.
func (c *GiveDose) amounts(d *decision, r *Calculation) (err error) {
	v := r.Vessel
	var asked quantity.Amount
	if c.Rate.Unit.OnGrapes() {
		r.Mass = c.Mass
		if r.Mass == 0 {
			r.Mass, r.Loads = d.s.grapesIn(v)
		}
		if r.Mass == 0 {
			return reject("mass", "mass", "the rate is on grapes; how many kg of grapes are in {tank}?", v.Number)
		}
		if hl := v.Now.Volume.HL(); c.Mass == 0 && hl > 0 && hl/r.Mass.Tonnes() < leastYield {
			return reject("mass", "mass", "the loads of {tank} weigh {mass}, too much for its {volume}; how many kg "+
				"of grapes are in it?", v.Number, r.Mass, v.Now.Volume.Text(d.s.House.Units))
		}
		asked, err = dose.OnGrapes(r.Mass, c.Rate)
		r.Basis = r.Mass.String() + " of grapes"
	} else {
		r.Volume = c.Volume
		if r.Volume == 0 {
			r.Volume = r.Held
		}
		if r.Volume <= 0 && v.Now.Stage.Empty() {
			return reject("volume", "volume", "{tank} was {stage} at {time} by the log; type the volume that was "+
				"dosed", v.Number, v.Now.Stage, d.says(d.at))
		}
		if r.Volume <= 0 && d.late(v) {
			return reject("volume", "volume", "the record does not say what {tank} held at {time}; type the volume",
				v.Number, d.says(d.at))
		}
		if r.Volume <= 0 {
			return reject("volume", "volume", "{tank} holds nothing yet; type the volume", v.Number)
		}
		// Juice is written after it ran: at that time there may have been more than stands
		// written to then, but not more than there ever was.
		if most := max(r.Held, v.Now.Volume); !v.Now.Stage.Empty() && float64(r.Volume) > 1.1*float64(most) {
			holds, on := most.Beside(r.Volume, d.s.House.Units)
			return reject("volume", "volume", "{tank} holds {holds}; a dose for {on} is too much", v.Number, holds, on)
		}
		asked, err = dose.OnJuice(r.Volume, c.Rate)
		r.Basis = r.Volume.Text(d.s.House.Units)
	}
	if err != nil {
		return reject("rate", "rate", "{why}", err)
	}
	s := r.Product.Card.Strength
	if asked.Liquid() != r.Product.Poured() && (asked.Liquid() || s.IsZero()) {
		return reject("unit", "rate", "{product} is dosed in {unit}, not in {typed}", r.Product.ID, r.Product.Unit,
			c.Rate.Unit)
	}
	r.Drawn, r.Active = measuredOut(asked, s)
	r.PerHL = perHL(r.Active, r.onJuice())
	return nil
}

// measuredOut is what is weighed or poured for what a rate asks for, and what is active
// in it: a liquid rate is one of the product as it is poured.
func measuredOut(asked quantity.Amount, s dose.Strength) (drawn, active quantity.Amount) {
	switch {
	case asked.Liquid():
		return asked, s.Active(asked)
	case s.IsZero():
		return asked, asked
	}
	return s.Product(asked.Mass), asked
}

// onHeld is a dose that was said by its rate alone, on what its vessel held by the
// ledger: it follows that. Where it held nothing, what was calculated first stays.
func (x Dose) onHeld(v quantity.Volume) Dose {
	if asked, err := dose.OnJuice(v, x.Rate); x.ByRate && err == nil {
		x.Drawn, x.Amount = measuredOut(asked, x.Strength)
		x.Treated, x.Held = v, v
	}
	return x
}

// weighed takes the weighed amount instead of the calculated one, and what is active in it.
func (c *GiveDose) weighed(r *Calculation) error {
	if c.Amount.Liquid() != r.Drawn.Liquid() {
		return reject("amount", "amount", "{product} is measured like {drawn}; type the amount that way", r.Product.ID,
			r.Drawn)
	}
	off := dose.Weighed(r.Drawn, c.Amount)
	if math.Abs(off) > 0.5 {
		return reject("amount", "amount", "{amount} is {off:%+.0f} % off the {drawn} that the rate asks for", c.Amount,
			off*100, r.Drawn)
	}
	r.Drawn = c.Amount
	r.Active = r.Product.Card.Strength.Counted(r.Active, c.Amount)
	r.PerHL = perHL(r.Active, r.onJuice())
	return nil
}

// onJuice is the volume a dose is spread over: what the vessel held then, or what it
// was given on where that is not written.
func (r *Calculation) onJuice() quantity.Volume {
	if r.Held > 0 {
		return r.Held
	}
	return r.Volume
}

// leastYield is the hL that a tonne of grapes gives at the least: below it only
// a part of a load can be in a vessel (common practice, no source).
const leastYield = 3

func perHL(a quantity.Amount, v quantity.Volume) float64 {
	if v <= 0 {
		return 0
	}
	return dose.PerHL(a, v)
}

// due works out when the test would be due if it were poured at the instant of
// the decision.
func (c *GiveDose) due(d *decision, r *Calculation) {
	if !r.Product.HasClock() {
		return
	}
	facts := []Fact{&Dosed{Vessel: r.Vessel.Number, Dose: Dose{Product: r.Product.ID, Class: r.Product.Class,
		PerHL: r.PerHL}}}
	if c.Temp != nil {
		facts = append(facts, &WasRead{Vessel: r.Vessel.Number, Measured: Measured{Temp: c.Temp}})
	}
	w := d.after(facts...).vessel(r.Vessel.Number)
	run, ok := d.s.contactRun(&w.Now)
	if !ok {
		return
	}
	dl := deadline(run, d.now)
	r.Due, r.HasDue, r.Off, r.Row = dl.Due, dl.HasDue, !dl.Off.IsZero(), d.s.Words(dl.Basis)
	if dl.HasModel && dl.ModelDiffers() {
		r.Model = dl.Model
	}
}

func cardRange(p *Product) string {
	if p.Card.Label != "" {
		return p.Card.Label
	}
	if p.Card.Low.IsZero() {
		return "no range"
	}
	return p.Card.Low.String() + " to " + p.Card.High.String()
}

// grapesIn is the mass of grapes a vessel's loads stand for.
func (s *State) grapesIn(v *Vessel) (sum quantity.Mass, of []LoadID) {
	for _, p := range v.Now.Parts {
		if l, ok := s.Load(p.Load); ok && !slices.Contains(of, l.ID) {
			sum, of = sum+l.Net, append(of, l.ID)
		}
	}
	if sum == 0 && v.Now.Open {
		if l, ok := s.Load(LoadID(v.Now.Source.Name)); ok && v.Now.Source == l.Ref() {
			return l.Net, []LoadID{l.ID}
		}
	}
	return sum, of
}

// lay calculates a dose, refuses slips and lays it before the rules; the instant is
// when a typed test is due, zero when none was typed.
func (c *GiveDose) lay(d *decision, pours bool) (r Calculation, testAt time.Time, err error) {
	if r, err = c.calculate(d); err != nil {
		return r, testAt, err
	}
	v, p := r.Vessel, r.Product
	if err := c.sane(d, &r); err != nil {
		return r, testAt, err
	}
	if err := d.held(v); err != nil {
		return r, testAt, err
	}
	if c.Second != "" {
		if err := d.crew(c.Second, "second"); err != nil {
			return r, testAt, err
		}
	}
	if err := (Measured{Temp: c.Temp}).hard(v, d.s.House.Units); err != nil {
		return r, testAt, err
	}
	d.subject = v.Ref()
	d.what = tryDose.Say(p.ID, c.Rate, v.Number)
	try := &doseTry{water: r.Water, onVessel: onVessel{v}, product: p, rate: c.Rate, perHL: r.PerHL, temp: c.Temp,
		testAt: Instant(c.TestAt), due: r.Due, hasDue: r.HasDue, pours: pours, seen: c.Seen}
	if c.TestAt.IsZero() {
		try.testAt = time.Time{}
	}
	if then := d.then(v); try.temp == nil && (p.HasClock() || p.Class.enzyme()) {
		try.temp = then.Last.Temp
	}
	ask(d, doseRules, try)
	return r, try.testAt, nil
}

// given is the dose as it is kept.
func (c *GiveDose) given(r *Calculation, testAt time.Time) Dose {
	return Dose{Product: r.Product.ID, Class: r.Product.Class, Rate: c.Rate, PerHL: r.PerHL, Amount: r.Active,
		Strength: r.Product.Card.Strength,
		Drawn:    r.Drawn, Treated: r.Volume, Held: r.Held,
		ByRate: c.Amount.IsZero() && c.Volume == 0 && !c.Rate.Unit.OnGrapes(), OnMass: r.Mass, OnLoads: r.Loads,
		Water: r.Water, Number: r.Number, Second: c.Second, Where: r.Vessel.Number, Reason: c.Reason, TestAt: testAt,
		Seen: c.Seen}
}

func (c *GiveDose) decide(d *decision) ([]Fact, error) {
	c, w := c.asWeighed(d)
	r, testAt, err := c.lay(d, true)
	if err != nil {
		return nil, err
	}
	v, p, x := d.s.vessels[r.Vessel.Number], r.Product, c.given(&r, testAt)
	f := &Dosed{Vessel: v.Number, Dose: x}
	facts := []Fact{f}
	if c.Temp != nil { // next to its dose, so that nothing comes between them, see decision.beside
		facts = append(facts, &WasRead{Vessel: v.Number, Measured: Measured{Temp: c.Temp}})
	}
	if w != nil {
		f.Weighed = w.Seq
		facts = append(facts, &ClockAnswered{Clock: w.Clock, How: endPoured.Say()})
		if v.Hold == nil || v.Hold.At.Before(w.At) {
			d.pouredAsWeighed(&x, w)
		}
	}
	if p.Class == YeastClass && v.Now.Stage != stage.Fermenting && !r.Vessel.Now.Stage.Empty() {
		set := StageSet{Number: v.Number, Stage: stage.Fermenting, Inoculated: true}
		facts = append(facts, &Staged{set})
		facts = append(facts, d.answer(v.Ref(), endStage.Say(stage.Fermenting), stageEnds[stage.Fermenting]...)...)
	}
	if p.Class.contact() {
		facts = append(facts, d.answer(v.Ref(), endDosed.Say(), KindLook, KindContact)...)
	}
	if r.Vessel.Now.Stage.Empty() {
		if err := d.fits(d.after(facts...), "at"); err != nil {
			return nil, err
		}
	}
	if !testAt.IsZero() {
		if err := d.bound(v.Ref(), Lapse{Verb: VerbTest, At: testAt, field: "test_at"}); err != nil {
			return nil, err
		}
	}
	return facts, nil
}

// pouredAsWeighed lets the answers given at the scales stand for what is poured,
// as far as it is what was weighed.
func (d *decision) pouredAsWeighed(x *Dose, w *Weighed) {
	if x.Rate == w.Rate && math.Abs(dose.Weighed(w.Drawn, x.Drawn)) < 0.05 {
		d.answered(w.At)
	}
}

// sane refuses what can only be a slip of the pen or an empty tub.
func (c *GiveDose) sane(d *decision, r *Calculation) error {
	p := r.Product
	if mid := p.Middle(); !mid.IsZero() {
		asked, err := c.Rate.To(mid.Unit)
		if err != nil {
			return reject("unit", "rate", "{why}; the label of {product} is in {unit}", err, p.ID, p.Unit)
		}
		if asked.Value > 10*mid.Value {
			return reject("tenfold", "rate", "{rate} is more than ten times the middle of the label's range "+
				"({mid}); check g, kg and the decimal point. {meant}", c.Rate, mid,
				meant(c.Rate, p, func(r quantity.Rate) bool { return onLabel(p, r) }))
		}
	}
	if p.End != nil && d.at.After(p.End.At) && !c.Happened {
		return reject("ended", "product", "{product} ended at {time}: {why}; use another lot, or say that it has "+
			"happened", p.ID, d.saysDay(p.End.At), p.End.Why)
	}
	if !p.Expires.IsZero() && d.at.After(p.Expires) && !c.Happened {
		return reject("expired", "product", "{product} expired at the end of {expiry}; use another lot, or say that "+
			"it has happened", p.ID, p.Expiry)
	}
	if short := r.Left.Sub(r.Drawn); !c.Happened && (short.Mass < 0 || short.Volume < 0) {
		left, needs := r.Left.Beside(r.Drawn, d.s.House.Units)
		if slip := slipOf(r.Rate, p); !slip.IsZero() { // before anybody opens another tub for a slip of the unit
			return reject("stock", "rate", "{slip} The open tub holds {left}; you need {needs}.", slip, left, needs)
		}
		if p.Sealed > 0 {
			return reject("stock", "product", "the open tub of {product} holds {left} and you need {needs}; open "+
				"another first (u), {sealed} sealed", p.ID, left, needs, p.Sealed)
		}
		return reject("stock", "product", "{product} holds {left} and you need {needs}; use another lot, or count "+
			"it again (u)", p.ID, left, needs)
	}
	if p.Class.contact() && !p.HasClock() && c.TestAt.IsZero() && !c.Happened {
		return reject("card", "test_at", "{product} has no card with rows yet, so no test time can be calculated: "+
			"type when to test, or enter its card first (u)", p.ID)
	}
	if !c.TestAt.IsZero() && !c.TestAt.After(d.at) {
		return reject("test_at", "test_at", "the test must come after the dose, {time}", d.says(d.at))
	}
	return nil
}

// Dosed is one product poured into one vessel.
type Dosed struct {
	Vessel TankNumber `json:"vessel"`
	Dose
	Weighed Seq `json:"weighed,omitzero"` // the weighing it ends
}

func (f *Dosed) apply(s *State, r Record) {
	p, kept := s.products[f.Product], *f
	kept.Dose = f.Dose.holds(p)
	x := kept.Dose
	s.enter(r, &kept)
	text := fmt.Sprintf("%s %s, %s", x.Product, x.Rate, inWords(s, x.Drawn))
	if x.Amount != x.Drawn {
		text += fmt.Sprintf(" (%s of %s)", inWords(s, x.Amount), x.Class)
	}
	if x.Number > 1 {
		text += fmt.Sprintf(" (dose %d)", x.Number)
	}
	if !x.Counted {
		text += s.runsOut(x.Product, x.Drawn)
	}
	s.log(r, vesselRef(f.Vessel), "{what}", text)
}

func (f *Dosed) lines(s *State, e *entry) []*line {
	x := f.Dose
	out, _ := s.pours(e, e.At, 0, f.Vessel, &x, f.Weighed)
	return out
}

var (
	_ = command[GiveDose]("dose")
	_ = fact[Dosed]("dosed")
)
