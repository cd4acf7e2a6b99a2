package cellar

import (
	"fmt"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// Presence is one person on site, by what was written.
type Presence struct {
	Who   Initials
	In    time.Time
	Break bool
	Since time.Time // of the break
	Back  time.Time // planned end of the break
	Seen  time.Time // when they were last of a crew, or counted
}

// OnSite lists who is on site, by when they came. Those on break are on site
// until they are written out.
func (s *State) OnSite() []Presence { return append([]Presence(nil), s.site...) }

func (s *State) Present(who Initials) (Presence, bool) {
	for _, p := range s.site {
		if p.Who == who {
			return p, true
		}
	}
	return Presence{}, false
}

// arrive puts a person on the list, at most once.
func (s *State) arrive(who Initials, at time.Time) {
	if _, here := s.Present(who); !here && who != "" {
		delete(s.gone, who)
		s.site = append(s.site, Presence{Who: who, In: at})
	}
	s.saw(who, at)
}

func (s *State) change(who Initials, f func(p *Presence)) {
	for i := range s.site {
		if s.site[i].Who == who {
			f(&s.site[i])
		}
	}
}

// ComeIn writes that somebody is on site. Who begins a shift need not: the
// shift's list says it.
type ComeIn struct {
	Head
	Who Initials `json:"who,omitempty"` // the writer unless said
}

func (c *ComeIn) decide(d *decision) ([]Fact, error) {
	who := firstWho(c.Who, d.head.By)
	if err := d.crew(who, "who"); err != nil {
		return nil, err
	}
	if p, here := d.s.Present(who); here {
		return nil, reject("here", "who", "{who} has been on site since {time}", who, d.says(p.In))
	}
	return []Fact{&CameIn{Who: who}}, nil
}

// CameIn is a person on site.
type CameIn struct {
	Who Initials `json:"who"`
}

func (f *CameIn) apply(s *State, r Record) {
	s.arrive(f.Who, r.At)
	s.log(r, theCrew, "{who} is on site", f.Who)
}

// GoOut writes that somebody left the site.
type GoOut struct {
	Head
	Who Initials `json:"who,omitempty"` // the writer unless said
}

func (c *GoOut) decide(d *decision) ([]Fact, error) {
	who := firstWho(c.Who, d.head.By)
	if _, here := d.s.Present(who); !here {
		return nil, reject("here", "who", "{who} is not signed in (z i)", who)
	}
	if in, ok := d.s.insideOf(who); ok {
		return nil, reject("inside", "who", "{who} has been in {place} since {time}; save first that {who} came out",
			who, in.Place, d.says(in.Since))
	}
	d.leaves(&leaveTry{goes: only(who), does: doesNotLeave.Say(), field: "who"}, tryOut.Say(who))
	return append([]Fact{&WentOut{Who: who}}, d.answer(personRef(who), endLeft.Say(), KindBreak)...), nil
}

// WentOut is a person who left the site.
type WentOut struct {
	Who Initials `json:"who"`
}

func (f *WentOut) apply(s *State, r Record) {
	s.signsOut(f.Who, r.At)
	s.log(r, theCrew, "{who} left the site", f.Who)
	s.unwatch(r, "left the site", only(f.Who))
}

// TakeBreak writes that somebody is on break, and sets the clock for their
// return.
type TakeBreak struct {
	Head
	Who   Initials      `json:"who,omitempty"` // the writer unless said
	Until time.Time     `json:"until,omitzero"`
	For   quantity.Span `json:"for,omitzero"`
	Note  string        `json:"note,omitempty"`
}

func (c *TakeBreak) decide(d *decision) ([]Fact, error) {
	who := firstWho(c.Who, d.head.By)
	if err := d.crew(who, "who"); err != nil {
		return nil, err
	}
	if p, here := d.s.Present(who); here && p.Break {
		return nil, reject("break", "who", "{who} has been on break since {time}", who, d.says(p.Since))
	}
	if in, ok := d.s.insideOf(who); ok {
		return nil, reject("inside", "who", "{who} has been in {place} since {time}; save first that {who} came out",
			who, in.Place, d.says(in.Since))
	}
	back := Instant(c.Until)
	if c.Until.IsZero() {
		back = d.at.Add(c.For.Duration())
	}
	if n := back.Sub(d.at); n < minClock || n > UsualShift {
		return nil, reject("length", "until", "type when they are back: 1 minute to 12 hours after {time}",
			d.says(d.at))
	}
	if err := noteLength(c.Note); err != nil {
		return nil, err
	}
	d.leaves(&leaveTry{goes: only(who), does: doesNotLeave.Say(), field: "who"}, tryBreak.Say(who))
	k := d.setClock(personRef(who), KindBreak, ActAt, "back", back, onBreak.Say())
	k.Owner = who
	return []Fact{&BreakBegun{Who: who, Back: back, Note: c.Note}, k}, nil
}

// BreakBegun is a person on break.
type BreakBegun struct {
	Who  Initials  `json:"who"`
	Back time.Time `json:"back"`
	Note string    `json:"note,omitempty"`
}

func (f *BreakBegun) apply(s *State, r Record) {
	s.arrive(f.Who, r.At)
	s.change(f.Who, func(p *Presence) { p.Break, p.Since, p.Back = true, r.At, f.Back })
	s.log(r, theCrew, "{who} on break, back at {time}.{note}", f.Who, f.Back, after(" ", f.Note))
	s.unwatch(r, "is on break", only(f.Who))
}

// EndBreak writes that somebody is back from break.
type EndBreak struct {
	Head
	Who Initials `json:"who,omitempty"` // the writer unless said
}

func (c *EndBreak) decide(d *decision) ([]Fact, error) {
	who := firstWho(c.Who, d.head.By)
	if p, here := d.s.Present(who); !here || !p.Break {
		return nil, reject("break", "who", "{who} is not on break", who)
	}
	return append([]Fact{&BreakEnded{Who: who}}, d.answer(personRef(who), endBack.Say(), KindBreak)...), nil
}

// BreakEnded is a person back from break.
type BreakEnded struct {
	Who Initials `json:"who"`
}

func (f *BreakEnded) apply(s *State, r Record) {
	s.change(f.Who, func(p *Presence) { p.Break, p.Since, p.Back = false, time.Time{}, time.Time{} })
	s.log(r, theCrew, "{who} is back", f.Who)
}

// HeadCount is who was counted, held against the list of who is in.
type HeadCount struct {
	Counted []Initials `json:"counted"`
	Others  int        `json:"others,omitempty"`  // drivers, visitors, fitters
	Listed  int        `json:"listed,omitempty"`  // on the list of who is in
	Missing []Initials `json:"missing,omitempty"` // on the list, not counted, not on break
	Break   []Initials `json:"on_break,omitempty"`
	Inside  []Initials `json:"inside,omitempty"` // counted, though written as in a vessel
	Place   string     `json:"place,omitempty"`
	Note    string     `json:"note,omitempty"`
	// on the list, not counted, on no crew for a day: still here?
	StillHere []Initials `json:"still_here,omitempty"`

	At time.Time `json:"-"`
	By Initials  `json:"-"`
}

// Text is the count with who is missing.
func (h HeadCount) Text() string {
	text := fmt.Sprintf("head count %d (%d on the list): %s", len(h.Counted)+h.Others, h.Listed, Spaced(h.Counted))
	if h.Others > 0 {
		text += fmt.Sprintf(" and %d others", h.Others)
	}
	if len(h.Break) > 0 {
		text += "; on break, not counted: " + Spaced(h.Break)
	}
	if len(h.Inside) > 0 {
		text += "; counted, but saved as in a vessel: " + Spaced(h.Inside)
	}
	if len(h.Missing) > 0 {
		text += "; MISSING: " + Spaced(h.Missing)
	}
	if len(h.StillHere) > 0 {
		text += "; STILL HERE? " + Spaced(h.StillHere) + ", on no shift for a day and not signed out"
	}
	if len(h.Missing)+len(h.StillHere) > 0 {
		return text
	}
	return text + "; none missing"
}

// HeadCounts lists the head counts, as they were written.
func (s *State) HeadCounts() []HeadCount { return slices.Clone(s.counts) }

// LastCount is the latest head count; ok is false when none was written.
func (s *State) LastCount() (last HeadCount, ok bool) {
	for _, h := range s.counts {
		if !ok || !h.At.Before(last.At) {
			last, ok = h, true
		}
	}
	return last, ok
}

// CountHeads writes who was counted. Those on the list who are not among them
// and not on break are missing; those on break are named. Who has been on no crew for a day
// is asked about: they left before and were not signed out, or they are missing.
type CountHeads struct {
	Head
	Counted []Initials `json:"counted"`
	Others  int        `json:"others,omitempty"`
	Place   string     `json:"place,omitempty"`
	Note    string     `json:"note,omitempty"`
	Gone    []Initials `json:"gone,omitempty"`    // of those asked about: left before
	Missing []Initials `json:"missing,omitempty"` // of those asked about: to be looked for
}

func (c *CountHeads) decide(d *decision) ([]Fact, error) {
	h := HeadCount{Others: c.Others, Place: c.Place, Note: c.Note}
	if len(c.Counted) == 0 {
		return nil, reject("counted", "counted", "type the initials of everybody you counted")
	}
	if c.Others < 0 || c.Others > 1000 {
		return nil, reject("others", "others", "type how many others you counted, 0 to 1000")
	}
	for _, who := range c.Counted {
		if err := d.crew(who, "counted"); err != nil {
			return nil, err
		}
		if slices.Contains(h.Counted, who) {
			return nil, reject("counted", "counted", "{who} is counted twice", who)
		}
		h.Counted = append(h.Counted, who)
	}
	if err := noteLength(c.Note); err != nil {
		return nil, err
	}
	for _, p := range d.s.site {
		if p.In.After(d.at) {
			continue
		}
		gone, err := c.left(d, p)
		if err != nil {
			return nil, err
		}
		if gone {
			continue
		}
		h.Listed++
		_, inside := d.s.insideOf(p.Who)
		switch {
		case slices.Contains(h.Counted, p.Who) && inside:
			h.Inside = append(h.Inside, p.Who)
		case slices.Contains(h.Counted, p.Who):
		case p.Break && !inside:
			h.Break = append(h.Break, p.Who)
		case d.s.forgotten(p, d.at) && !slices.Contains(c.Missing, p.Who):
			h.StillHere = append(h.StillHere, p.Who)
		default:
			h.Missing = append(h.Missing, p.Who)
		}
	}
	for _, list := range [][]Initials{h.Counted, h.Break, h.Missing, h.Inside, h.StillHere} {
		slices.Sort(list)
	}
	facts := []Fact{&HeadsCounted{h}}
	for _, who := range c.Gone {
		facts = append(facts, &WentOut{Who: who})
	}
	return facts, nil
}

// left reports whether somebody on the list is said to have left before. Only of those who
// are asked about is that taken: who was of a crew today is looked for.
func (c *CountHeads) left(d *decision, p Presence) (bool, error) {
	switch {
	case !slices.Contains(c.Gone, p.Who):
		return false, nil
	case slices.Contains(c.Counted, p.Who):
		return false, reject("gone", "gone", "{who} is counted: {who} has not left", p.Who)
	case !d.s.forgotten(p, d.at):
		return false, reject("gone", "gone", "{who} was of a crew today: look for {who}, or save that {who} left (z o)",
			p.Who)
	}
	return true, nil
}

// HeadsCounted is a head count.
type HeadsCounted struct{ HeadCount }

func (f *HeadsCounted) apply(s *State, r Record) {
	h := f.HeadCount
	h.At, h.By = r.At, r.By
	s.counts = append(s.counts, h)
	for _, who := range h.Counted {
		s.saw(who, r.At)
	}
	s.missed(h, r)
	text := h.Text() + "."
	for _, more := range []string{h.Place, h.Note} {
		if more != "" {
			text += " " + more
		}
	}
	s.log(r, theCrew, "{what}", text)
}

var (
	_ = command[ComeIn]("in")
	_ = command[GoOut]("out")
	_ = command[TakeBreak]("break")
	_ = command[EndBreak]("back")
	_ = command[CountHeads]("head-count")
	_ = fact[CameIn]("came-in")
	_ = fact[WentOut]("went-out")
	_ = fact[BreakBegun]("break-begun")
	_ = fact[BreakEnded]("break-ended")
	_ = fact[HeadsCounted]("heads-counted")
)
