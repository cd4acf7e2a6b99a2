package cellar

import (
	"strings"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/text"
)

// EnterVessel writes that a permit says that somebody is in a vessel. No word
// lifts what stands against it, and nothing that happened does: the board grants
// no entry, it only refuses to write one.
type EnterVessel struct {
	Head
	Place     string   `json:"place"`
	Who       Initials `json:"who,omitempty"` // who goes in; the writer unless said
	Permit    string   `json:"permit"`        // number on the paper
	Attendant Initials `json:"attendant,omitempty"`
}

func (c *EnterVessel) decide(d *decision) ([]Fact, error) {
	who := firstWho(c.Who, d.head.By)
	if strings.TrimSpace(c.Place) == "" {
		return nil, reject("place", "place", "which vessel or press?")
	}
	if err := d.crew(who, "who"); err != nil {
		return nil, err
	}
	if in, ok := d.s.insideOf(who); ok {
		return nil, reject("inside", "who", "{who} is already in {place}, since {time}", who, in.Place,
			d.says(in.Since))
	}
	x := &entryTry{who: who, place: c.Place, number: c.Permit, attendant: c.Attendant}
	if x.permit = d.s.openPermit(c.Permit); x.permit != nil && x.attendant == "" {
		x.attendant = x.permit.Attendant
	}
	d.subject, d.what, d.strict = d.s.where(c.Place), tryEntry.Say(who, c.Place), true
	ask(d, entryRules, x)
	if x.permit == nil {
		x.permit = &Permit{} // the rule has spoken, nothing of this is written
	}
	return []Fact{&PersonEntered{Inside{Who: who, Place: c.Place, Permit: x.permit.ID, Number: x.permit.Number,
		Given: x.permit.Given, Attendant: x.attendant}}}, nil
}

func firstWho(a, b Initials) Initials {
	if a != "" {
		return a
	}
	return b
}

func (s *State) insideOf(who Initials) (Inside, bool) {
	for _, in := range s.inside {
		if in.Who == who {
			return in, true
		}
	}
	return Inside{}, false
}

// entryTry is a person entry about to be written.
type entryTry struct {
	who, attendant Initials
	place, number  string
	permit         *Permit
}

// What an entry lacks.
var (
	noPermitNumber = text.New("no-permit-number", "no permit number")
	noLivePermit   = text.New("no-live-permit", "no live permit {number}")
	permitIsFor    = text.New("permit-is-for", "permit {number} is for {whom}")
	permitStood    = text.New("permit-stood", "permit {number} was live from {from} to {until}")
	onBreakSince   = text.New("on-break-since", "{who} has been on break since {time}")
	attendsToSays  = text.New("attends-to", "{who} is the attendant of {whom} and must not leave")
	noAttendant    = text.New("no-attendant", "no attendant")
	attendsSelf    = text.New("attends-self", "{who} cannot attend to themselves")
	attendantAway  = text.New("attendant-away", "the attendant {who} {away}")
)

var entryLacks = text.New("entry-lacks",
	"{who} into {place} is not saved: {lack}.",
	"Do not put your head in. If somebody is in there, get help, do not go in.")

// lacking is H17. It never ends in a grant: when nothing is missing it is
// silent, and what is written is what the paper says.
func (x *entryTry) lacking(d *decision) []gate.Finding {
	s, at := d.s, d.at
	var lack []text.Say
	switch p := x.permit; {
	case p == nil && x.number == "":
		lack = append(lack, noPermitNumber.Say())
	case p == nil:
		lack = append(lack, noLivePermit.Say(x.number))
	case !strings.EqualFold(p.Place, x.place):
		lack = append(lack, permitIsFor.Say(p.Number, p.Place))
	case p.Holder != x.who:
		lack = append(lack, permitIsFor.Say(p.Number, p.Holder))
	case !p.Live(at):
		lack = append(lack, permitStood.Say(p.Number, p.From, p.Until))
	}
	if why := s.attendantLack(x); !why.IsZero() {
		lack = append(lack, why)
	}
	if why := s.gasLack(x.place, at); !why.IsZero() {
		lack = append(lack, why)
	}
	if why := s.notEmpty(x.place); !why.IsZero() {
		lack = append(lack, why)
	}
	if p, here := s.Present(x.who); here && p.Break {
		lack = append(lack, onBreakSince.Say(x.who, p.Since))
	}
	if of := s.Watching(x.who); of != "" {
		lack = append(lack, attendsToSays.Say(x.who, of))
	}
	if len(lack) == 0 {
		return nil
	}
	return []gate.Finding{{Field: "permit", Right: gate.Nobody, Say: entryLacks.Say(x.who, x.place, text.Join(", ",
		lack...))}}
}

func (s *State) attendantLack(x *entryTry) text.Say {
	_, known := s.House.Person(x.attendant)
	away := s.away(x.attendant)
	if p := x.permit; p != nil && p.Attendant == x.attendant {
		away = s.notThere(p)
	}
	switch {
	case x.attendant == "" || !known:
		return noAttendant.Say()
	case x.attendant == x.who:
		return attendsSelf.Say(x.who)
	case !away.IsZero():
		return attendantAway.Say(x.attendant, away)
	}
	return text.Say{}
}

// PersonEntered is a person of whom a permit says that they are in.
type PersonEntered struct{ Inside }

func (f *PersonEntered) apply(s *State, r Record) {
	in := f.Inside
	in.Since = r.At
	s.inside = append(s.inside, in)
	s.stays = append(s.stays, Stay{Inside: in, Watch: []watch{{in.Attendant, r.At}}})
	s.arrive(in.Who, r.At) // who is in a vessel is on site, and who watches
	s.arrive(in.Attendant, r.At)
	s.log(r, s.where(in.Place), "by permit {number} of {given} {who} went in; attendant {attendant}", in.Number,
		in.Given, in.Who, in.Attendant)
}

// LeaveVessel writes that somebody came out.
type LeaveVessel struct {
	Head
	Who Initials `json:"who,omitempty"` // the writer unless said
}

func (c *LeaveVessel) decide(d *decision) ([]Fact, error) {
	who := firstWho(c.Who, d.head.By)
	in, ok := d.s.insideOf(who)
	if !ok {
		return nil, reject("inside", "who", "{who} is not logged as in a vessel", who)
	}
	return []Fact{&PersonLeft{Who: who, Place: in.Place}}, nil
}

// PersonLeft is a person who came out.
type PersonLeft struct {
	Who   Initials `json:"who"`
	Place string   `json:"place"`
}

func (f *PersonLeft) apply(s *State, r Record) {
	kept := s.inside[:0]
	for _, in := range s.inside {
		if in.Who != f.Who {
			kept = append(kept, in)
		}
	}
	s.inside = kept
	for i := range s.stays {
		if s.stays[i].Who == f.Who && s.stays[i].Out.IsZero() {
			s.stays[i].Out = r.At
		}
	}
	s.log(r, s.where(f.Place), "{who} came out", f.Who)
}

var (
	_ = command[EnterVessel]("enter-vessel")
	_ = command[LeaveVessel]("leave-vessel")
	_ = fact[PersonEntered]("person-entered")
	_ = fact[PersonLeft]("person-left")
)
