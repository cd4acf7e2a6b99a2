package cellar

import (
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/text"
)

// Nobody is in a vessel without somebody outside who watches. Who watches does not
// leave, and where they have left anyway that is written as it is: then
// nobody watches, until a name is written again. That somebody is back on site
// does not put them at the manhole.

// watch is one stretch of somebody's time in a vessel: who attended from when on,
// "" when nobody did.
type watch struct {
	Who  Initials
	From time.Time
}

// Why somebody is not where they are needed.
var (
	isIn          = text.New("is-in", "is in {place}")
	isOnBreak     = text.New("is-on-break", "is on break since {time}")
	leftTheSite   = text.New("left-the-site", "left the site at {time}")
	wentWithShift = text.New("went-with-shift", "went with the shift at {time}")
)

// away says why somebody cannot attend: "is on break since 20:12"; "" when nothing
// that was written says so.
func (s *State) away(who Initials) text.Say {
	if in, inside := s.insideOf(who); inside {
		return isIn.Say(in.Place)
	}
	if p, here := s.Present(who); here && p.Break {
		return isOnBreak.Say(p.Since)
	}
	if at, left := s.gone[who]; left {
		return leftTheSite.Say(at)
	}
	return text.Say{}
}

// notThere says why the attendant under a permit does not attend: for what was
// written of them, or since they were named for a shift that was handed over.
func (s *State) notThere(p *Permit) text.Say {
	if away := s.away(p.Attendant); !away.IsZero() {
		return away
	}
	if end := s.Shift.Ended; !end.IsZero() && !p.Named.After(end) && s.Shift.has(p.Attendant) &&
		p.Attendant != s.Shift.Next {
		return wentWithShift.Say(end)
	}
	return text.Say{}
}

// has reports whether somebody is of a shift.
func (s Shift) has(who Initials) bool { return who == s.Lead || slices.Contains(s.Crew, who) }

// Attended reports whether, by what was written, somebody attends under a permit.
func (s *State) Attended(p *Permit) bool {
	for _, in := range s.inside {
		if in.Permit == p.ID {
			return in.Alone.IsZero()
		}
	}
	return s.notThere(p).IsZero()
}

// WatchWords name who attended to a stay in a vessel, one after the other; name
// writes a person, when an instant.
func (x Stay) WatchWords(name func(Initials) string, when func(time.Time) string) string {
	text := "attendant " + name(x.Attendant)
	for i, w := range x.Watch {
		switch {
		case i == 0:
			text = "attendant " + name(w.Who)
		case w.Who == "":
			text += ", from " + when(w.From) + " NOBODY WATCHED"
		default:
			text += ", from " + when(w.From) + " " + name(w.Who)
		}
	}
	return text
}

// unwatch writes that who attends to somebody in a vessel does so no more.
func (s *State) unwatch(r Record, why string, goes func(Initials) bool) {
	for i := range s.inside {
		in := &s.inside[i]
		if !goes(in.Attendant) || !in.Alone.IsZero() {
			continue
		}
		in.Alone = r.At
		s.ownAllOut(in.Permit, "")
		s.watches(in.Who, watch{From: r.At})
		s.log(r, s.where(in.Place), "NO ATTENDANT FOR {who}, who is inside and not logged out: {attendant} {why}",
			in.Who,
			in.Attendant, why)
	}
}

// ownAllOut gives the alarm before the end of a permit to who attends.
func (s *State) ownAllOut(permit string, who Initials) {
	p := s.permit(permit)
	if p == nil {
		return
	}
	for _, k := range s.ClocksOf(s.where(p.Place)) {
		if k.Kind == KindPermit && k.Permit == p.Number {
			k.Owner = who
		}
	}
}

// watches adds to who attended to somebody's stay that is not over.
func (s *State) watches(who Initials, w watch) {
	for i := range s.stays {
		if s.stays[i].Who == who && s.stays[i].Out.IsZero() {
			s.stays[i].Watch = append(slices.Clone(s.stays[i].Watch), w)
		}
	}
}

func only(who Initials) func(Initials) bool { return func(x Initials) bool { return x == who } }

// leaveTry is an attendant about to be written as no longer there.
var (
	doesNotLeave = text.New("does-not-leave", "must not leave")
	staysOn      = text.New("stays-on", "must not go with the shift")
)

type leaveTry struct {
	goes  func(Initials) bool
	does  text.Say // "must not leave"
	field string
}

// leaves puts to the rules that somebody goes from where they may be watching.
func (d *decision) leaves(x *leaveTry, what text.Say) {
	for _, in := range d.s.inside {
		if x.goes(in.Attendant) && in.Alone.IsZero() {
			d.subject, d.what = d.s.where(in.Place), what
			ask(d, leaveRules, x)
			return
		}
	}
}

var (
	unwatchedFirst = text.New("unwatched-first",
		"{who} IN {place} since {time}, not logged out. {attendant} is the attendant and {must}.",
		"First log that {who} is out (z c), or name another attendant (z a). If {attendant} has already gone, "+
			"answer yes at Already done.")
	unwatchedNow = text.New("unwatched-now",
		"{who} IN {place} since {time}, not logged out. {attendant} is the attendant and {must}.",
		"Then {who} has no attendant. Get help, do not go in. Log that {who} is out (z c), or name an attendant "+
			"now (z a).")
)

// unwatched is the third part of H17: who attends to somebody in a vessel is
// not written as gone. No word lifts it. Where they have gone, that is the truth,
// and is written once it was asked about: nobody watches then.
func (t *leaveTry) unwatched(d *decision) (out []gate.Finding) {
	s := d.s
	for _, in := range s.inside {
		if !t.goes(in.Attendant) || !in.Alone.IsZero() {
			continue
		}
		say := unwatchedFirst
		if d.head.Happened {
			say = unwatchedNow
		}
		out = append(out, gate.Finding{Of: s.where(in.Place), Field: t.field, Right: gate.Nobody, Asked: true,
			Say: say.Say(in.Who, in.Place, in.Since, in.Attendant, t.does)})
	}
	return out
}

// Watching is whom somebody attends to by what was written, "" for nobody.
func (s *State) Watching(who Initials) Initials {
	for _, in := range s.inside {
		if in.Attendant == who && in.Alone.IsZero() {
			return in.Who
		}
	}
	return ""
}

// NameAttendant writes who attends from now on under a permit that stands.
type NameAttendant struct {
	Head
	Number    string   `json:"number"`
	Attendant Initials `json:"attendant"`
}

func (c *NameAttendant) decide(d *decision) ([]Fact, error) {
	p, err := d.standing(c.Number)
	if err != nil {
		return nil, err
	}
	if err := d.crew(c.Attendant, "attendant"); err != nil {
		return nil, err
	}
	inside := slices.ContainsFunc(d.s.inside, func(in Inside) bool { return in.Permit == p.ID })
	_, here := d.s.Present(c.Attendant)
	switch away := d.s.away(c.Attendant); {
	case c.Attendant == p.Holder:
		return nil, reject("attendant", "attendant", "the attendant stays outside: name somebody who does not go in")
	case !inside && !p.Live(d.at):
		return nil, reject("permit", "number",
			"permit {number} was live from {from} to {until}; type a time in between", p.Number, d.says(p.From),
			d.says(p.Until))
	case !away.IsZero():
		return nil, reject("away", "attendant", "{attendant} {away}", c.Attendant, d.s.Words(away))
	case !here:
		return nil, reject("here", "attendant", "{attendant} is not signed in; only somebody on site can attend: "+
			"sign in first (z i)", c.Attendant)
	case c.Attendant == p.Attendant && d.s.Attended(p):
		return nil, reject("attendant", "attendant", "{attendant} is already the attendant under permit {number}",
			c.Attendant, p.Number)
	}
	return []Fact{&AttendantNamed{Permit: p.ID, Attendant: c.Attendant}}, nil
}

// AttendantNamed is another attendant under a permit, or one again.
type AttendantNamed struct {
	Permit    string   `json:"permit"` // id
	Attendant Initials `json:"attendant"`
}

func (f *AttendantNamed) apply(s *State, r Record) {
	p := s.permit(f.Permit)
	if p == nil {
		return
	}
	s.ownAllOut(p.ID, f.Attendant)
	for i := range s.inside {
		if in := &s.inside[i]; in.Permit == f.Permit {
			in.Attendant, in.Alone = f.Attendant, time.Time{}
			s.watches(in.Who, watch{Who: f.Attendant, From: r.At})
		}
	}
	s.log(r, s.where(p.Place), "{attendant} attends under permit {number}; before: {before}", f.Attendant, p.Number,
		p.Attendant)
	p.Attendant, p.Named = f.Attendant, r.At
}

// standing finds a permit that was not handed back, or says what became of it.
func (d *decision) standing(number string) (*Permit, error) {
	if p := d.s.openPermit(number); p != nil {
		return p, nil
	}
	for _, old := range d.s.permits {
		if strings.EqualFold(old.Number, number) {
			return nil, reject("permit", "number", "{ended_by} ended permit {number} at {time}", old.EndedBy,
				old.Number, d.says(old.Ended))
		}
	}
	return nil, reject("permit", "number", "there is no permit {number:%q}; type the number of a live permit", number)
}

var (
	_ = command[NameAttendant]("attendant")
	_ = fact[AttendantNamed]("attendant-named")
)
