package cellar

import (
	"slices"
	"time"

	"cellar.example/mustwatch/domain/text"
)

// The list of who is on site is what a head count is held against: whoever went home and
// stays on it is looked for, and whoever is taken off it too soon is not. So the end of a
// shift takes off who is named and nobody else, never somebody who may be inside or gone
// missing, and who has been on no crew for a day is asked about before they count as missing.

// forgottenAfter is how long somebody is on the list without being of a crew, counted, or
// saving anything, until it is asked whether they are still here (common practice, no source).
const forgottenAfter = 24 * time.Hour

// Forgotten lists who may have gone without being signed out, longest first.
func (s *State) Forgotten(now time.Time) (out []Presence) {
	for _, p := range s.site {
		if s.forgotten(p, now) {
			out = append(out, p)
		}
	}
	return out
}

func (s *State) forgotten(p Presence, now time.Time) bool {
	ofShift := !s.Shift.Started.IsZero() && s.Shift.Ended.IsZero() && s.Shift.has(p.Who) &&
		now.Sub(s.Shift.Started) < 2*UsualShift
	last := laterOf(laterOf(p.In, p.Seen), s.wrote[p.Who])
	return !ofShift && now.Sub(last) >= forgottenAfter && s.StaysBy(p.Who, now).IsZero()
}

var (
	staysMissing = text.New("stays-missing", "{who} is missing since the head count of {time}")
	staysInside  = text.New("stays-inside", "{who} is in {place} since {time} by what is saved")
	staysWatches = text.New("stays-watches", "{who} attends to {whom}")
	staysHolder  = text.New("stays-permit", "{who} is on permit {number} for {place}, which is live")
)

// StaysBy says why nobody takes a person off the list of who is on site with others; zero
// where nothing that was saved does.
func (s *State) StaysBy(who Initials, now time.Time) text.Say {
	for _, e := range s.standing(EmergencyMissing) {
		if e.who == who {
			return staysMissing.Say(who, e.at)
		}
	}
	if in, inside := s.insideOf(who); inside {
		return staysInside.Say(who, in.Place, in.Since)
	}
	if of := s.Watching(who); of != "" {
		return staysWatches.Say(who, of)
	}
	for _, p := range s.LivePermits(now) {
		if p.Holder == who || p.Attendant == who {
			return staysHolder.Say(who, p.Number, p.Place)
		}
	}
	return text.Say{}
}

// mayGo refuses to take somebody off site with the shift.
func (d *decision) mayGo(who, to Initials, all []Initials) error {
	field := "out " + string(who)
	_, here := d.s.Present(who)
	why := d.s.StaysBy(who, d.at)
	switch {
	case !why.IsZero():
		return reject("stays", field, "{why}: {who} is not taken off site", why, who)
	case !here:
		return reject("here", field, "{who} is not signed in: take {who} off the list of who leaves", who)
	case d.s.Shift.Started.After(d.at) && d.s.Shift.has(who): // the end of an earlier one, saved late
		return reject("crew", field, "{who} is of the shift that began at {time} and stays on site", who,
			d.s.Shift.Started)
	case who == to:
		return reject("to", field, "{who} takes over and stays on site", who)
	}
	if i := slices.Index(all, who); slices.Contains(all[i+1:], who) {
		return reject("twice", field, "{who} is named twice", who)
	}
	return nil
}

// goesOut takes off the list who left with a shift.
func (s *State) goesOut(r Record, all []Initials) {
	for _, who := range all {
		s.signsOut(who, r.At)
		s.log(r, theCrew, "{who} left the site with the shift", who)
	}
}

// signsOut takes somebody off the list of who is on site.
func (s *State) signsOut(who Initials, at time.Time) {
	s.site = slices.DeleteFunc(slices.Clone(s.site), func(p Presence) bool { return p.Who == who })
	if s.gone == nil {
		s.gone = map[Initials]time.Time{}
	}
	s.gone[who] = at
}

// saw notes that somebody on the list was there at an instant.
func (s *State) saw(who Initials, at time.Time) {
	s.change(who, func(p *Presence) { p.Seen = laterOf(p.Seen, at) })
}

// stillHere asks of each who may have gone whether they are still here: no alarm, and no word
// that they are well.
func (s *State) stillHere(now time.Time) (out []Due) {
	for _, p := range s.Forgotten(now) {
		out = append(out, Due{Subject: personRef(p.Who), Verb: "still here?", At: laterOf(p.In,
			p.Seen).Add(forgottenAfter), Kind: NotBefore, Owner: p.Who, Notice: "still here?",
			Basis: "on no shift for a day: save that they left (z o), or count them (z h)"})
	}
	return out
}
