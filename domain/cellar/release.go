package cellar

import (
	"strings"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/text"
)

// A hold always has an end: its releaser ends it, the winemaker, or a lead with a second
// person and a reason. Nobody does so in another's name: where the word is another's than
// that of who saves it, the release says both.

// ReleaseVessel lifts a hold.
type ReleaseVessel struct {
	Head
	Vessel TankNumber `json:"vessel"`
	Reason string     `json:"reason"`
}

var releasersWord = text.New("releasers-word",
	"{releaser} is named in the hold: only {releaser}, the winemaker, or a lead with a "+
		"second person can release {tank}.")

func (c *ReleaseVessel) decide(d *decision) ([]Fact, error) {
	v, err := d.vessel(c.Vessel, "vessel")
	switch {
	case err != nil:
		return nil, err
	case v.Hold == nil:
		return nil, reject("held", "vessel", "{tank} is not on hold", v.Number)
	case d.head.By != v.Hold.Releaser && strings.TrimSpace(c.Reason) == "":
		return nil, reject("reason", "reason", "say why {tank} is released without {releaser}", v.Number,
			v.Hold.Releaser)
	}
	f := &WasReleased{Vessel: v.Number, Reason: c.Reason, Of: v.Hold.Seq}
	f.Word, f.Second = d.releases(v, "reason", v.Hold.Seq)
	return []Fact{f}, nil
}

// releases lays before the rules that a hold ends, or goes to another releaser, and tells
// whose word it was where it was not that of who saves it.
func (d *decision) releases(v *Vessel, field string, of Seq) (word, second Initials) {
	d.subject, d.what, d.strict = v.Ref(), tryRelease.Say(v.Number), true // a word that was not given did not happen
	if d.head.By == v.Hold.Releaser || d.s.may(string(d.head.By), gate.Winemaker) {
		return "", ""
	}
	x := gate.Finding{Rule: "H15", Of: v.Ref(), Field: field, Right: gate.Ends, Person: string(v.Hold.Releaser),
		Reason: true, Say: releasersWord.Say(v.Hold.Releaser, v.Number)}
	d.find(x)
	a, answered := gate.AnswerTo(x, []gate.Finding{x}, d.head.Answers)
	if by := Initials(a.By); answered && by != d.head.By {
		word = by
	}
	return word, Initials(a.Second)
}

// WasReleased is a hold lifted.
type WasReleased struct {
	Vessel TankNumber `json:"vessel"`
	Reason string     `json:"reason,omitempty"`
	Of     Seq        `json:"of,omitzero"`      // the hold
	Word   Initials   `json:"word,omitempty"`   // who said so, where somebody else saved it
	Second Initials   `json:"second,omitempty"` // the second person of a lead
}

func (f *WasReleased) lines(s *State, e *entry) []*line {
	return s.act(e, f.Vessel, func(a *acts) { a.releases(f.Of) })
}

func (f *WasReleased) apply(s *State, r Record) {
	s.enter(r, f)
	who := string(r.By)
	if f.Word != "" {
		who = string(f.Word) + ", saved by " + string(r.By)
	}
	if f.Second != "" {
		who += ", second person " + string(f.Second)
	}
	s.log(r, vesselRef(f.Vessel), "released by {who}: {reason}", who, f.Reason)
}

var (
	_ = command[ReleaseVessel]("release")
	_ = fact[WasReleased]("released")
)
