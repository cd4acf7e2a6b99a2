package cellar

import (
	"fmt"
	"slices"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// What waits for somebody does not leave with them: a hold that they are to release, a
// promise, an order to ask them about, a clock that is theirs. It goes to another person
// by name, each by itself or all that is left to one, and the log says from whom.

// Waiting is one thing that waits for a person.
type Waiting struct {
	Of      string // as one names it: "hold 101", "promise n3", "order o2", "clock c5"
	Subject subject.Ref
	What    text.Say

	hold  *Vessel
	note  *Note
	order *Order
	clock *AlarmClock
}

var (
	waitsHold  = text.New("waits-hold", "{tank} on hold: {reason}")
	waitsOrder = text.New("waits-order", "ordered: {order}")
	waitsClock = text.New("waits-clock", "{of} {verb}")
)

// WaitsFor lists what waits for a person: holds first, for they stop the juice.
func (s *State) WaitsFor(who Initials) (out []Waiting) {
	for _, v := range s.Vessels() {
		if v.Hold != nil && v.Hold.Releaser == who {
			out = append(out, Waiting{Of: fmt.Sprintf("hold %s", v.Number), Subject: v.Ref(),
				What: waitsHold.Say(v.Number, v.Hold.Reason), hold: v})
		}
	}
	for _, n := range s.OpenNotes(subject.Ref{}) {
		if n.What == NotePromise && n.For == string(who) {
			out = append(out, Waiting{Of: "promise " + n.ID, Subject: n.Subject, What: text.Words(n.Text), note: n})
		}
	}
	for _, o := range s.OpenOrders("", s.LastAt) {
		if o.Asks() == who {
			out = append(out, Waiting{Of: "order " + o.ID, Subject: o.of(), What: waitsOrder.Say(o.Say()), order: o})
		}
	}
	for _, k := range s.Clocks() {
		switch k.Kind {
		case KindShift, KindPermit, KindBreak, KindPromise: // they end with the shift, the paper, the note
			continue
		}
		if k.Owner == who {
			out = append(out, Waiting{Of: "clock " + string(k.ID), Subject: k.Subject,
				What: waitsClock.Say(k.Subject, k.Says()), clock: k})
		}
	}
	return out
}

// HandOn hands on what waits for a person.
type HandOn struct {
	Head
	Who    Initials  `json:"who,omitempty"` // for whom it waits; the writer unless said
	To     Initials  `json:"to,omitempty"`  // who gets what is not named
	Each   []Handing `json:"each,omitempty"`
	Reason string    `json:"reason,omitempty"`
}

// Handing is to whom one thing goes.
type Handing struct {
	Of string   `json:"of"`
	To Initials `json:"to"`
}

func (c *HandOn) decide(d *decision) ([]Fact, error) {
	return d.handsOn(firstWho(c.Who, d.head.By), c.To, c.Each, c.Reason, "to")
}

// handsOn gives what waits for somebody to whom it goes.
func (d *decision) handsOn(who, to Initials, each []Handing, reason, field string) (facts []Fact, err error) {
	waits := d.s.WaitsFor(who)
	if len(waits) == 0 {
		return nil, reject("waits", "who", "nothing waits for {who}", who)
	}
	goes := map[string]Initials{}
	for i, x := range each {
		at := fmt.Sprintf("each[%d].of", i)
		if !slices.ContainsFunc(waits, func(w Waiting) bool { return w.Of == x.Of }) {
			return nil, reject("of", at, "{what:%q} does not wait for {who}; choose from {list}", x.Of, who,
				waitingList(waits))
		}
		goes[x.Of] = x.To
	}
	to1 := map[Initials]*HandedOn{}
	for _, w := range waits {
		to := firstWho(goes[w.Of], to)
		if to == "" {
			continue
		}
		if err := d.takesOn(w, who, to, field); err != nil {
			return nil, err
		}
		if w.hold != nil {
			facts = append(facts, &ReleaserNamed{Vessel: w.hold.Number, Of: w.hold.Hold.Seq, Was: who, Releaser: to,
				Reason: reason})
			continue
		}
		f := to1[to]
		if f == nil {
			f = &HandedOn{Who: who, To: to, Reason: reason}
			to1[to], facts = f, append(facts, f)
		}
		f.takes(w)
	}
	if len(facts) == 0 {
		return nil, reject("to", field, "type who gets what waits for {who}: {list}", who, waitingList(waits))
	}
	return facts, nil
}

// takesOn refuses to give something to who cannot have it. Who names another releaser
// could as well release: it takes the same word.
func (d *decision) takesOn(w Waiting, who, to Initials, field string) error {
	if err := d.crew(to, field); err != nil {
		return err
	}
	switch {
	case to == who:
		return reject("to", field, "type another person: {what} waits for {who} already", w.Of, who)
	case w.order != nil && !d.s.may(string(to), gate.Lead):
		return reject("right", field, "{what} goes to a winemaker or a lead, not to {to}", w.Of, to)
	case w.hold != nil:
		d.releases(w.hold, field, w.hold.Hold.Seq)
	}
	return nil
}

func waitingList(all []Waiting) text.Say {
	const most = 8
	var out []text.Say
	for i, w := range all {
		if i == most {
			return text.Join(" ", text.Join(", ", out...), text.Of("and {n} more", len(all)-most))
		}
		out = append(out, text.Of("{of} ({what})", w.Of, w.What))
	}
	return text.Join(", ", out...)
}

// HandedOn is what waited for one person and waits for another.
type HandedOn struct {
	Who    Initials  `json:"who"`
	To     Initials  `json:"to"`
	Notes  []string  `json:"notes,omitempty"`
	Orders []string  `json:"orders,omitempty"`
	Clocks []ClockID `json:"clocks,omitempty"`
	Reason string    `json:"reason,omitempty"`
}

func (f *HandedOn) takes(w Waiting) {
	switch {
	case w.note != nil:
		f.Notes = append(f.Notes, w.note.ID)
	case w.order != nil:
		f.Orders = append(f.Orders, w.order.ID)
	case w.clock != nil:
		f.Clocks = append(f.Clocks, w.clock.ID)
	}
}

func (f *HandedOn) apply(s *State, r Record) {
	for _, w := range s.WaitsFor(f.Who) {
		switch {
		case w.note != nil && slices.Contains(f.Notes, w.note.ID):
			w.note.For = string(f.To)
			if k := s.clockOf(w.note); k != nil {
				k.Owner = f.To
			}
		case w.order != nil && slices.Contains(f.Orders, w.order.ID):
			w.order.asks = f.To
		case w.clock != nil && slices.Contains(f.Clocks, w.clock.ID):
			w.clock.Owner = f.To
		default:
			continue
		}
		s.log(r, w.Subject, "{what} goes from {who} to {to}.{reason}", w.What, f.Who, f.To, after(" ", f.Reason))
	}
}

// ReleaserNamed is another person who is to release a hold.
type ReleaserNamed struct {
	Vessel   TankNumber `json:"vessel"`
	Of       Seq        `json:"of"` // the hold
	Was      Initials   `json:"was"`
	Releaser Initials   `json:"releaser"`
	Reason   string     `json:"reason,omitempty"`
}

func (f *ReleaserNamed) apply(s *State, r Record) {
	s.enter(r, f)
	s.log(r, vesselRef(f.Vessel), "{to} to release, no longer {who}.{reason}", f.Releaser, f.Was, after(" ", f.Reason))
}

func (f *ReleaserNamed) lines(s *State, e *entry) []*line {
	return s.act(e, f.Vessel, func(a *acts) {
		if i := slices.IndexFunc(a.holds, func(h *Hold) bool { return h.Seq == f.Of }); i >= 0 {
			h := *a.holds[i]
			h.Releaser, a.holds[i] = f.Releaser, &h
		}
	})
}

var (
	_ = command[HandOn]("hand-on")
	_ = fact[HandedOn]("handed-on")
	_ = fact[ReleaserNamed]("releaser-named")
)
