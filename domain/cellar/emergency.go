package cellar

import (
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/text"
)

// An emergency takes the top of every face, rings, and stands until what ends it is
// written. There are three kinds, in one list: somebody in a vessel whom nothing
// covers any more, somebody missing at a head count, and air beyond the house's
// limits. The first is over when they are out or somebody watches; the others when a
// person ends them in their own name. No newer reading and no time that passes does.

// EmergencyKind says what is wrong.
type EmergencyKind string

// The kinds of emergency, the gravest first.
const (
	EmergencyInside  EmergencyKind = "inside"
	EmergencyMissing EmergencyKind = "missing"
	EmergencyGas     EmergencyKind = "gas"
)

// Emergency is one that stands, with its words.
type Emergency struct {
	Kind  EmergencyKind
	Place string     // of the air, or the vessel somebody is in; "" where nobody has said it
	Who   []Initials // who is missing, or in it
	At    time.Time  // since when it is so
	Rings time.Time  // from when on it could be heard
	By    Initials   // who read or counted
	CO2   *float64   // what makes it one; nil where that does not
	O2    *float64

	Title string   // what, where: "300 PIT: STAY OUT"
	Says  []string // what was read or counted, where they were last, what is newer
	Act   string   // what everybody does
	Ends  string   // how it comes off the top
}

// Key names an emergency as long as it stands.
func (e Emergency) Key() string {
	if e.Kind == EmergencyMissing {
		return string(e.Kind)
	}
	return string(e.Kind) + " " + strings.ToLower(e.Place) + Spaced(e.Who)
}

// Subject is what it is about, as one types it where it is ended.
func (e Emergency) Subject() string {
	if e.Kind == EmergencyMissing {
		return Spaced(e.Who)
	}
	return firstWords(e.Place, noPlace)
}

// emergency is one that was written; those of kind inside follow from who is where.
type emergency struct {
	kind  EmergencyKind
	gas   Seq       // the reading
	who   Initials  // who is missing
	count HeadCount // the last one at which they were
	at    time.Time
	rings time.Time
	by    Initials
	seen  string // where they were last

	over  time.Time // when it was ended, zero while it stands
	ender Initials
	how   string
}

func (s *State) raise(e *emergency) { s.emergencies = append(s.emergencies, e) }

// standing are the written emergencies of a kind that nobody has ended.
func (s *State) standing(kind EmergencyKind) (out []*emergency) {
	for _, e := range s.emergencies {
		if e.kind == kind && e.over.IsZero() {
			out = append(out, e)
		}
	}
	return out
}

// PastEmergency is one that a person has taken off the top.
type PastEmergency struct {
	Where, What string
	By          Initials // who read or counted
	At, Over    time.Time
	Ender       Initials
	How         string
}

// PastEmergencies lists them in the order in which they were raised.
func (s *State) PastEmergencies() (out []PastEmergency) {
	for _, e := range s.emergencies {
		if e.over.IsZero() {
			continue
		}
		x := PastEmergency{"crew", string(e.who) + " was missing", e.by, e.at, e.over, e.ender,
			strings.TrimSuffix(e.how, ".")}
		if g := s.gasOf(e.gas); e.kind == EmergencyGas && g != nil {
			x.Where, x.What = g.Where(), "EMERGENCY, "+g.Text()
		}
		out = append(out, x)
	}
	return out
}

// placeOf is where an emergency of gas is, as it was said last.
func (s *State) placeOf(e *emergency) string {
	if g := s.gasOf(e.gas); g != nil {
		return g.Place
	}
	return ""
}

// Emergencies are those that stand at now, the gravest first: one for each person in
// a vessel, one for all who are missing, one for each place with bad air.
func (s *State) Emergencies(now time.Time) (out []Emergency) {
	for _, in := range s.inside {
		if p, ok := s.perilOf(in, now); ok {
			out = append(out, s.insideEmergency(p))
		}
	}
	if missing := s.standing(EmergencyMissing); len(missing) > 0 {
		out = append(out, s.missingEmergency(missing, now))
	}
	var places []string
	air := s.standing(EmergencyGas)
	for i := len(air) - 1; i >= 0; i-- { // the latest of each place says it
		place := s.placeOf(air[i])
		if slices.ContainsFunc(places, func(p string) bool { return strings.EqualFold(p, place) }) {
			continue
		}
		places = append(places, place)
		out = append(out, s.gasEmergency(air[i], now))
	}
	return out
}

// missed takes a head count into what is missing: who was counted is found, who was
// not is missing until they are, or until a person ends it.
func (s *State) missed(h HeadCount, r Record) {
	for _, e := range s.standing(EmergencyMissing) {
		if slices.Contains(h.Counted, e.who) && !e.at.After(r.At) {
			e.over, e.ender, e.how = r.At, r.By, "counted"
		}
	}
	for _, who := range h.Missing {
		if slices.ContainsFunc(s.counts, func(c HeadCount) bool {
			return c.At.After(h.At) && slices.Contains(c.Counted,
				who)
		}) {
			continue // written late, and counted since
		}
		all := s.standing(EmergencyMissing)
		if i := slices.IndexFunc(all, func(e *emergency) bool { return e.who == who }); i >= 0 {
			if h.At.After(all[i].count.At) {
				all[i].count = h
			}
			continue
		}
		s.raise(&emergency{kind: EmergencyMissing, who: who, count: h, at: r.At, rings: laterOf(r.At, r.Written),
			by: r.By, seen: s.lastSeen(who, r.At)})
	}
}

// EndEmergency takes an emergency off the top, in the name of a person. It says
// nothing about the air or about anybody, and permits nothing.
type EndEmergency struct {
	Head
	Of  string   `json:"of,omitempty"`  // the place, or who was missing; may be left out when only one stands
	Who Initials `json:"who,omitempty"` // who ends it; the writer unless said
	How string   `json:"how"`           // what was found and done
}

func (c *EndEmergency) decide(d *decision) ([]Fact, error) {
	who := firstWho(c.Who, d.head.By)
	if err := d.crew(who, "who"); err != nil {
		return nil, err
	}
	e, err := d.emergency(c.Of)
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(c.How) == "" {
		return nil, reject("how", "how", "say what was found and done")
	}
	if err := noteLength(c.How); err != nil {
		return nil, reject("text", "how", "type at most {max_note} characters", maxNote)
	}
	f := &EmergencyEnded{Emergency: e.kind, Ender: who, How: c.How}
	if f.Who = e.who; e.kind == EmergencyGas {
		f.Place = d.s.placeOf(e)
		d.subject, d.what = d.s.where(firstWords(f.Place, noPlace)), tryEmergencyEnd.Say()
		ask(d, calmRules, e)
	}
	return []Fact{f}, nil
}

// emergency finds the one that is meant, or says which stand.
func (d *decision) emergency(of string) (*emergency, error) {
	var all []string
	var found []*emergency
	for _, e := range d.s.emergencies {
		name := string(e.who)
		if e.kind == EmergencyGas {
			name = firstWords(d.s.placeOf(e), noPlace)
		}
		if !e.over.IsZero() || e.at.After(d.at) {
			continue
		}
		if !slices.Contains(all, name) {
			all = append(all, name)
		}
		if strings.EqualFold(strings.TrimSpace(of), name) || of == "" {
			found = append(found, e)
		}
	}
	switch {
	case len(all) == 0:
		return nil, reject("emergency", "of", "there was no emergency at {time} that a person can end", d.says(d.at))
	case len(found) == 0 || of == "" && len(all) > 1:
		return nil, reject("emergency", "of", "which one? {all}", strings.Join(all, ", "))
	}
	return found[len(found)-1], nil
}

var stillBadAir = text.New("still-bad-air",
	"The last reading at {place}, {time}, is still an emergency: {gas}.",
	"Read the air again first, from outside. Without a new reading only the lead can end it, with a reason.")

// stillBad asks before an emergency is ended over a last reading that still is
// one. Who must, may: the meter may be broken, or nobody goes near it any more.
func (e *emergency) stillBad(d *decision) []gate.Finding {
	s := d.s
	last, ok := s.LastGasAt(s.placeOf(e))
	if !ok || !s.deadly(last) {
		return nil
	}
	return []gate.Finding{{Field: "of", Right: gate.Lead, Reason: true, Asked: true,
		Say: stillBadAir.Say(last.Where(), last.At, last.Text())}}
}

// EmergencyEnded is an emergency that a person has taken off the top.
type EmergencyEnded struct {
	Emergency EmergencyKind `json:"emergency"`
	Place     string        `json:"place,omitempty"`
	Who       Initials      `json:"who,omitempty"` // who was missing
	Ender     Initials      `json:"ender"`
	How       string        `json:"how"`
}

func (f *EmergencyEnded) apply(s *State, r Record) {
	for _, e := range s.standing(f.Emergency) {
		if e.who != f.Who || e.at.After(r.At) || e.kind == EmergencyGas && !strings.EqualFold(s.placeOf(e), f.Place) {
			continue
		}
		e.over, e.ender, e.how = r.At, f.Ender, f.How
	}
	if f.Emergency == EmergencyMissing {
		s.log(r, theCrew, "{who} is no longer missing, says {ender}: {how}", f.Who, f.Ender, f.How)
		return
	}
	s.log(r, s.where(firstWords(f.Place, noPlace)), "emergency ended by {ender}: {how}. This is no permission to enter",
		f.Ender, f.How)
}

var (
	_ = command[EndEmergency]("end-emergency")
	_ = fact[EmergencyEnded]("emergency-ended")
)
