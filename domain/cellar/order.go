package cellar

import (
	"math"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Act is what an order asks for. Doing it ticks the order off.
type Act string

// The acts. Words alone ("other") are ticked off by hand.
const (
	ActFloat  Act = "float"
	ActSettle Act = "settle"
	ActDose   Act = "dose"
	ActRack   Act = "rack"
	ActCheck  Act = "check"
	ActOther  Act = "other"
)

// Acts lists all acts.
func Acts() []Act { return []Act{ActFloat, ActSettle, ActDose, ActRack, ActCheck, ActOther} }

// Order is what somebody with the right has said is to be done: the winemaker on
// the phone, or the lead. An order on a product without a vessel stands for all
// doses of it until its end.
type Order struct {
	ID      string        `json:"id"`
	Act     Act           `json:"act"`
	Vessel  TankNumber    `json:"vessel,omitempty"`
	Product ProductID     `json:"product,omitempty"`
	Rate    quantity.Rate `json:"rate,omitzero"`
	Text    string        `json:"text,omitempty"` // "when a slot is free"
	From    Initials      `json:"from"`
	Until   time.Time     `json:"until,omitzero"`

	Seq   Seq       `json:"-"`
	At    time.Time `json:"-"`
	By    Initials  `json:"-"` // who wrote it down
	Done  bool      `json:"-"`
	How   text.Say  `json:"-"`
	Ended time.Time `json:"-"`
	ended Seq       // by this record
	asks  Initials  // to whom it was handed on
}

// Asks is whom to ask about it: who gave it, or to whom it was handed on.
func (o *Order) Asks() Initials { return firstWho(o.asks, o.From) }

// Standing reports whether it holds for every dose of a product.
func (o *Order) Standing() bool { return o.Act == ActDose && o.Vessel == "" }

// What an order says, in parts.
var (
	orderAct  = text.New("order-act", "{act}")
	orderRate = text.New("order-rate", "{rate}")
	orderOf   = text.New("order-of", "of {product}")
	orderInto = text.New("order-into", "into {tank}")
	orderOn   = text.New("order-on", "{tank}")
)

// Say is what is ordered: "float 106, when a slot is free".
func (o *Order) Say() text.Say {
	var parts []text.Say
	if o.Act != ActOther {
		parts = append(parts, orderAct.Say(o.Act))
	}
	if !o.Rate.IsZero() {
		parts = append(parts, orderRate.Say(o.Rate))
	}
	if o.Product != "" {
		parts = append(parts, orderOf.Say(o.Product))
	}
	switch {
	case o.Vessel == "" || o.Act == ActOther:
	case o.Act == ActDose:
		parts = append(parts, orderInto.Say(o.Vessel))
	default:
		parts = append(parts, orderOn.Say(o.Vessel))
	}
	return text.Join(", ", text.Join(" ", parts...), text.Words(o.Text))
}

// of is what an order is about: a vessel, or the cellar.
func (o *Order) of() subject.Ref {
	if o.Vessel == "" {
		return theCellar
	}
	return vesselRef(o.Vessel)
}

// GiveOrder writes an order down.
type GiveOrder struct {
	Head
	Act     Act           `json:"act"`
	Vessel  TankNumber    `json:"vessel,omitempty"`
	Product ProductID     `json:"product,omitempty"`
	Rate    quantity.Rate `json:"rate,omitzero"`
	Text    string        `json:"text,omitempty"`
	From    Initials      `json:"from"`
	Until   time.Time     `json:"until,omitzero"`
}

func (c *GiveOrder) decide(d *decision) ([]Fact, error) {
	if err := c.check(d); err != nil {
		return nil, err
	}
	o := Order{ID: d.id("o"), Act: c.Act, Vessel: c.Vessel, Product: c.Product, Rate: c.Rate, Text: c.Text,
		From: c.From}
	if !c.Until.IsZero() {
		o.Until = Instant(c.Until)
	}
	return []Fact{&Ordered{o}}, nil
}

func (c *GiveOrder) check(d *decision) error {
	known := false
	for _, a := range Acts() {
		known = known || a == c.Act
	}
	switch {
	case !known:
		return reject("act", "act", "{act:%q} is not an act; choose from {acts}", c.Act, Acts())
	case c.Act == ActOther && c.Text == "":
		return reject("text", "text", "type the order in words")
	case c.Vessel == "" && c.Act != ActDose && c.Act != ActOther:
		return reject("vessel", "vessel", "which vessel is to {act}?", c.Act)
	case c.Act == ActDose && c.Product == "":
		return reject("product", "product", "type the product lot of the dose")
	case c.Vessel == "" && c.Act == ActDose && c.Rate.IsZero():
		return reject("rate", "rate", "an order for all doses of {product} needs a rate", c.Product)
	case !c.Until.IsZero() && !c.Until.After(d.at):
		return reject("until", "until", "{time} is past; type a time still to come", d.says(c.Until))
	case len([]rune(c.Text)) > maxNote:
		return reject("text", "text", "an order has at most {max_note} characters", maxNote)
	}
	if c.Vessel != "" {
		if _, err := d.vessel(c.Vessel, "vessel"); err != nil {
			return err
		}
	}
	if c.Product != "" {
		if _, err := d.product(c.Product); err != nil {
			return err
		}
	}
	if !d.s.may(string(c.From), gate.Lead) {
		return reject("from", "from", "type whose order it is: a winemaker or a lead, not {from}",
			firstWords(string(c.From), "nobody"))
	}
	return nil
}

// Ordered is an order that stands.
type Ordered struct{ Order }

func (f *Ordered) apply(s *State, r Record) {
	o := f.Order
	o.Seq, o.At, o.By = r.Seq, r.At, r.By
	s.Orders = append(s.Orders, &o)
	s.bump(o.ID)
	s.log(r, o.of(), "order of {from}: {say}", o.From, o.Say())
}

// EndOrder takes an order off, as done or as cancelled, with a reason. Without
// its name it is the last open one of the vessel, or of the cellar.
type EndOrder struct {
	Head
	Order  string     `json:"order,omitempty"`
	Vessel TankNumber `json:"vessel,omitempty"`
	Reason string     `json:"reason,omitempty"`
	Off    bool       `json:"off,omitempty"` // cancelled, not done
}

func (c *EndOrder) decide(d *decision) ([]Fact, error) {
	for i := len(d.s.Orders) - 1; i >= 0; i-- {
		o := d.s.Orders[i]
		if c.Order != "" && o.ID != c.Order || c.Order == "" && (o.Done || o.Vessel != c.Vessel) {
			continue
		}
		if o.Done {
			return nil, reject("order", "order", "that order already ended at {time}: {how}", d.says(o.Ended),
				d.s.Words(o.How))
		}
		if c.Off && c.Reason == "" {
			return nil, reject("reason", "reason", "say why the order of {from} is cancelled", o.From)
		}
		how := orDone(c.Reason)
		if c.Off {
			how = endCalledBack.Say(c.Reason)
		}
		return []Fact{&OrderEnded{Order: o.ID, How: how}}, nil
	}
	if c.Order == "" {
		return nil, reject("order", "vessel", "there is no order on {tank}", firstWords(string(c.Vessel), "the cellar"))
	}
	return nil, reject("order", "order", "there is no order {order:%q}", c.Order)
}

// OrderEnded is an order ticked off, by its act or by hand.
type OrderEnded struct {
	Order string   `json:"order"`
	How   text.Say `json:"how"`
}

func (f *OrderEnded) apply(s *State, r Record) {
	for _, o := range s.Orders {
		if o.ID == f.Order && !o.Done {
			o.Done, o.How, o.Ended, o.ended = true, f.How, r.At, r.Seq
			s.log(r, o.of(), "order of {from}, {say}: {how}", o.From, o.Say(), f.How)
		}
	}
}

// OpenOrders lists the orders not ended, those of a vessel or, with "", all. A
// standing one and one in words end by themselves at their end; an act that was
// ordered and not done stays.
func (s *State) OpenOrders(p TankNumber, now time.Time) []*Order {
	var out []*Order
	for _, o := range s.Orders {
		lapsed := (o.Standing() || o.Act == ActOther) && !o.Until.IsZero() && !now.Before(o.Until)
		if !o.Done && !lapsed && (p == "" || o.Vessel == p) {
			out = append(out, o)
		}
	}
	return out
}

// ticks are the orders that what is being written carries out.
func (d *decision) ticks(facts []Fact) []Fact {
	var out []Fact
	for _, o := range d.s.OpenOrders("", d.at) {
		if o.Standing() || o.Act == ActOther || o.At.After(d.at) {
			continue
		}
		for _, f := range facts {
			if o.carriedOut(f) {
				out = append(out, &OrderEnded{Order: o.ID, How: endDoneBy.Say(d.head.By)})
				break
			}
		}
	}
	return out
}

// carriedOut reports whether a fact is the act that an order asks for.
func (o *Order) carriedOut(f Fact) bool {
	switch f := f.(type) {
	case *Staged:
		return f.Number == o.Vessel && (o.Act == ActFloat && f.Stage == stage.Flotation || o.Act == ActSettle &&
			f.Stage == stage.Settling)
	case *Dosed:
		return o.Act == ActDose && f.Vessel == o.Vessel && f.Product == o.Product
	case *CheckBegun:
		return o.Act == ActCheck && f.Vessel == o.Vessel
	case *Moved:
		return o.Act == ActRack && f.From == o.Vessel
	}
	return false
}

var offOrderSays = text.New("off-order",
	"{who} ordered {order} at {time}; this is {rate}.")

// offOrder is D09: a dose at another rate than the one that was ordered for
// this vessel or for this lot.
func (t *doseTry) offOrder(d *decision) []gate.Finding {
	for _, o := range d.s.OpenOrders("", d.at) {
		if o.Act != ActDose || o.Product != t.product.ID || o.Rate.IsZero() || o.Vessel != "" &&
			o.Vessel != t.of.Number {
			continue
		}
		said, err := t.rate.To(o.Rate.Unit)
		if err != nil || math.Abs(said.Value-o.Rate.Value) <= 0.05*o.Rate.Value {
			continue
		}
		return []gate.Finding{{Field: "rate", Right: gate.Anyone,
			Say: offOrderSays.Say(o.From, o.Say(), o.At, t.rate)}}
	}
	return nil
}

var againstOrderSays = text.New("against-order",
	"{who} ordered at {time}: {order}.",
	"This goes against it. Did you ask {who}?")

// againstOrder is D10: a vessel cleared the other way than it was ordered.
func (t *stageTry) againstOrder(d *decision) []gate.Finding {
	if t.Stage != stage.Settling && t.Stage != stage.Flotation {
		return nil
	}
	against := map[stage.Stage]Act{stage.Settling: ActFloat, stage.Flotation: ActSettle}[t.Stage]
	for _, o := range d.s.OpenOrders(t.of.Number, d.at) {
		if o.Act == against {
			return []gate.Finding{{Field: "stage", Right: gate.Anyone, Reason: true,
				Say: againstOrderSays.Say(o.Asks(), o.At, o.Say())}}
		}
	}
	return nil
}

var (
	_ = command[GiveOrder]("order")
	_ = command[EndOrder]("order-end")
	_ = fact[Ordered]("ordered")
	_ = fact[OrderEnded]("order-ended")
)
