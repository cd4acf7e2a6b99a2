package cellar

import (
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/text"
)

// A product lot is in the house until it is counted to nothing, or somebody says that it
// went: used up, handed back, thrown away. Then nobody picks it any more and nothing calls
// it short; what was poured of it stays. A count that finds some of it, or a container
// that is opened, brings it back.

// LotEnd is when a product lot ended, and why.
type LotEnd struct {
	At  time.Time
	By  Initials
	Why text.Say
}

var lotUsedUp = text.New("lot-used-up", "counted to zero")

// EndLot says that a product lot is no longer in the house.
type EndLot struct {
	Head
	Product ProductID `json:"product"`
	Reason  string    `json:"reason"`
}

func (c *EndLot) decide(d *decision) ([]Fact, error) {
	p, err := d.product(c.Product)
	switch {
	case err != nil:
		return nil, err
	case p.End != nil:
		return nil, reject("ended", "product", "{product} ended at {time} already: {why}", p.ID,
			d.saysDay(p.End.At), p.End.Why)
	case strings.TrimSpace(c.Reason) == "":
		return nil, reject("reason", "reason", "say why {product} ends, such as handed back, expired or used up", p.ID)
	}
	for _, v := range d.s.AllVessels() {
		if slices.ContainsFunc(d.s.WeighedFor(v.Number), func(w *Weighed) bool { return w.Product == p.ID }) {
			return nil, reject("weighed", "product", "{product} is weighed for {tank}: pour it, or put it back first",
				p.ID, v.Number)
		}
	}
	return []Fact{&LotEnded{Product: p.ID, Reason: c.Reason}}, lengthAt("reason", c.Reason)
}

// LotEnded is a product lot that the house no longer has.
type LotEnded struct {
	Product ProductID `json:"product"`
	Reason  string    `json:"reason"`
}

func (f *LotEnded) apply(s *State, r Record) {
	s.enter(r, f)
	s.log(r, productRef(f.Product), "the lot ends: {reason}", f.Reason)
}

func (f *LotEnded) lines(s *State, e *entry) []*line {
	return s.tub(e, f.Product, func(x *stock) {
		x.ended = &LotEnd{At: e.At, By: e.By, Why: text.Words(f.Reason)}
	})
}

// InStore lists the product lots that the house has, in the order they were booked in.
func (s *State) InStore() []*Product {
	return slices.DeleteFunc(s.Products(), func(p *Product) bool { return p.End != nil })
}

// expired lists lots past their expiry that nobody has ended: are they still there?
func (s *State) expired(now time.Time) (out []Due) {
	for _, p := range s.InStore() {
		if !p.Expires.IsZero() && now.After(p.Expires) {
			out = append(out, Due{Subject: productRef(p.ID), Verb: "end the lot?", At: p.Expires, Kind: NotBefore,
				Basis: "expired at the end of " + p.Expiry, Notice: "expired"})
		}
	}
	return out
}

var (
	_ = command[EndLot]("lot-end")
	_ = fact[LotEnded]("lot-ended")
)
