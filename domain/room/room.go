// Package room is the one answer to where juice can go: which vessels may take it, and
// which juice of the presses has none. It reads the state of the cellar and writes nothing.
package room

import (
	"slices"
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
)

// Wanted is juice of a press that wants a vessel.
type Wanted struct {
	Share   string            // main juice or press fraction
	From    cellar.TankNumber // the press, "" where it is not known yet
	Variety string
	Volume  quantity.Volume // what will come, 0 where nobody can say
	loads   []cellar.LoadID // that it is of
}

func (w Wanted) substance() stage.Substance {
	if w.Share == cellar.ShareFraction {
		return stage.PressJuice
	}
	return stage.Juice
}

// Wants is what a press has still to give of a share. How much main juice that is,
// nobody can say; of the press fraction it is known, or nobody weighed what is in it.
func Wants(s *cellar.State, p *cellar.Press, share string) (w Wanted, known bool) {
	w = Wanted{Share: share, From: p.Number, Variety: p.Variety(), loads: p.Loads()}
	if share == cellar.ShareFraction {
		w.Volume, _, known = s.PressFraction(p)
		w.Volume = max(w.Volume-p.FracOut, 0)
	}
	return w, known
}

// Taker is a vessel that may take juice, with the room up to its working limit that
// nothing else will fill.
type Taker struct {
	*cellar.Vessel
	Room quantity.Volume
	Same bool // it holds, or is named for, juice of the same grapes that goes on coming; else it is clean
}

// takes reports whether a vessel has room for all of it.
func (t Taker) takes(w Wanted) bool { return t.Room > 0 && t.Room >= w.Volume }

// usual are the uses of the vessels juice is looked for first, and those where it is
// looked for when none of the first takes all of it (common practice, no source).
// Where else the house matrix lets it flow, somebody has to name the vessel.
var usual = map[string][2][]stage.Use{
	cellar.ShareMain:     {{stage.UseSettle}, {stage.UseFerment}},
	cellar.ShareFraction: {{stage.UseFraction, stage.UsePallet}, {stage.UseSkin}},
}

// Takers lists the vessels that may take juice, the best first: of the right use,
// the same open lot or clean, on no hold, and not named for or filling with anything
// else. It is the one answer to where juice can go.
func Takers(s *cellar.State, w Wanted) (out []Taker) {
	var uses []stage.Use
	for _, more := range usual[w.Share] {
		uses, out = append(uses, more...), nil
		for _, v := range s.Vessels() {
			if t, ok := taker(s, v, w); ok && (t.Same || slices.Contains(uses, v.Use)) {
				out = append(out, t)
			}
		}
		if slices.ContainsFunc(out, func(t Taker) bool { return t.takes(w) }) {
			break
		}
	}
	rank := func(t Taker) int {
		switch {
		case t.Same:
			return 0
		case t.Now.NotYet() == "":
			return 1
		}
		return 2
	}
	sort.SliceStable(out, func(i, j int) bool { return rank(out[i]) < rank(out[j]) })
	return out
}

// taker looks at one vessel.
func taker(s *cellar.State, v *cellar.Vessel, w Wanted) (Taker, bool) {
	t := Taker{Vessel: v, Room: max(v.Limit()-v.Now.Volume, 0)}
	if v.Hold != nil || !w.substance().GoesInto(v.Use) || comesElse(s, v, w) {
		return t, false
	}
	t.Same = sameJuice(s, v, w)
	for _, p := range s.Presses() {
		if p.Fraction != v.Number || p.Number == w.From {
			continue
		}
		t.Same = t.Same || v.Now.Stage == stage.Clean && w.Share == cellar.ShareFraction
		comes, _ := Wants(s, p, cellar.ShareFraction)
		t.Room = max(t.Room-comes.Volume, 0)
	}
	return t, t.Room > 0 && (t.Same || v.Now.Stage == stage.Clean)
}

// sameJuice reports whether a vessel holds the juice that is to come, as rule H02 sees
// it, and no treatment of it has begun: a press fraction that waits, main juice while
// its tank is open.
func sameJuice(s *cellar.State, v *cellar.Vessel, w Wanted) bool {
	c := &v.Now
	if w.Variety == "" || c.Volume > 0 && c.Kind != w.substance() || s.StartedSays(v) != "" ||
		!v.SameLot(subject.Of(subject.Press, w.From), w.loads, w.Variety) {
		return false
	}
	if w.Share == cellar.ShareMain {
		return c.Stage == stage.Filling && c.Open
	}
	return (c.Stage == stage.Filling || c.Stage == stage.Waiting) && slices.Contains(usual[cellar.ShareFraction][0],
		v.Use) && !cellar.Contacted(c.Doses)
}

// comesElse reports whether something that is not this juice is on its way into a
// vessel: by a pump that runs, from a load, or from a press that has it named.
func comesElse(s *cellar.State, v *cellar.Vessel, w Wanted) bool {
	for _, m := range s.RunningMoves() {
		if slices.ContainsFunc(m.To, func(x cellar.Portion) bool { return x.Vessel == v.Number }) || m.Lees != nil &&
			m.Lees.Vessel == v.Number {
			return true
		}
	}
	for _, l := range s.Loads {
		if l.State != cellar.LoadIn && l.To == string(v.Number) {
			return true
		}
	}
	for _, p := range s.Presses() {
		main, fraction := p.Main == v.Number, p.Fraction == v.Number
		if !main && !fraction || p.Number == w.From {
			continue
		}
		if p.Variety() != w.Variety || main && w.Share == cellar.ShareFraction ||
			fraction && w.Share == cellar.ShareMain {
			return true
		}
	}
	return false
}

// Say names in words the vessels that take all of some juice, and with their
// room those that take a part of it: of the same grapes, and where nothing takes all
// the clean ones too.
func Say(s *cellar.State, w Wanted) string {
	var fits, room names
	var says []string
	for _, t := range Takers(s, w) {
		switch {
		case t.takes(w):
			fits.add(t, w, string(t.Number))
		case len(fits) == 0 || t.Same:
			room.add(t, w, string(t.Number)+" "+t.Room.Text(s.House.Units))
		}
	}
	if len(fits) > 0 {
		says = append(says, "fits "+fits.list())
	}
	if len(room) > 0 {
		says = append(says, "room: "+room.list())
	}
	if len(says) == 0 {
		return "no tank has room"
	}
	return strings.Join(says, "; ")
}

// names are vessels in words. What is said of several in a row is said once, behind the
// last of them.
type names []name

// name is a vessel in words, and what is said of it.
type name struct{ text, says string }

func (n *names) add(t Taker, w Wanted, text string) {
	says := ""
	switch not := t.Now.NotYet(); {
	case t.Same:
		says = " (same grapes)"
	case not != "":
		says = " (" + not + ")"
	case !slices.Contains(usual[w.Share][0], t.Use):
		says = " (" + t.Use.Called() + ")"
	}
	if last := len(*n) - 1; last >= 0 && (*n)[last].says == says {
		(*n)[last].says = ""
	}
	*n = append(*n, name{text, says})
}

func (n names) list() string {
	out := make([]string, len(n))
	for i, x := range n {
		out[i] = x.text + x.says
	}
	return strings.Join(out, ", ")
}

// Homeless is juice that has no tank, or one that is too small.
type Homeless struct {
	Wanted
	At    time.Time           // of the end of the programme; zero while it has not begun
	Known bool                // the volume is
	Named cellar.TankNumber   // the tank that is too small, "" where none is named
	Room  quantity.Volume     // what that one takes
	From  []cellar.TankNumber // all presses it comes from
}

// Without lists the juice of the presses that has no tank. Sheet, board and the
// forms tell of the same list.
func Without(s *cellar.State) (out []Homeless) {
	for _, p := range s.Presses() {
		if len(p.Parts) == 0 || p.State == cellar.PressReady || p.State == cellar.PressEmptying {
			continue
		}
		h := Homeless{From: []cellar.TankNumber{p.Number}}
		if !p.Started.IsZero() {
			h.At = p.End
		}
		if MainOf(s, p) == "" {
			h.Wanted, h.Known = Wants(s, p, cellar.ShareMain)
			out = append(out, h)
		}
		if p.Fraction == "" && p.Kind != stage.HotMust {
			h.Wanted, h.Known = Wants(s, p, cellar.ShareFraction)
			out = append(out, h)
		}
	}
	return append(out, tooSmall(s)...)
}

// MainOf is the vessel a press runs into: named, or filling from it already.
func MainOf(s *cellar.State, p *cellar.Press) cellar.TankNumber {
	if p.Main != "" {
		return p.Main
	}
	for _, v := range s.Vessels() {
		if v.Now.Open && v.Now.Source == p.Ref() {
			return v.Number
		}
	}
	return ""
}

// tooSmall lists the fraction tanks that cannot take all that the presses named for
// them have still to give, together.
func tooSmall(s *cellar.State) (out []Homeless) {
	for _, v := range s.Vessels() {
		h := Homeless{Wanted: Wanted{Share: cellar.ShareFraction}, Known: true, Named: v.Number,
			Room: max(v.Limit()-v.Now.Volume, 0)}
		for _, p := range s.Presses() {
			if p.Fraction != v.Number || p.Started.IsZero() || p.State == cellar.PressReady ||
				p.State == cellar.PressEmptying {
				continue
			}
			w, known := Wants(s, p, cellar.ShareFraction)
			if !known || w.Volume == 0 {
				continue
			}
			h.Volume += w.Volume
			h.From = append(h.From, p.Number)
			if h.At.IsZero() || p.End.Before(h.At) {
				h.At = p.End
			}
		}
		if h.Volume > h.Room {
			out = append(out, h)
		}
	}
	return out
}

// Where is what the juice comes from, or the tank that is too small for it.
func (h Homeless) Where() cellar.TankNumber {
	if h.Named != "" {
		return h.Named
	}
	return h.Wanted.From
}

// Tell tells of juice without a tank in a sentence, and where it could go.
func Tell(s *cellar.State, h Homeless) string {
	u := s.House.Units
	if h.Named != "" {
		return "takes " + h.Room.Text(u) + " more to its limit; " + cellar.ShareWords(h.Share) + " of " +
			cellar.Spaced(h.From) + " is about " + h.Volume.Text(u) + "."
	}
	text := cellar.ShareWords(h.Share)
	switch {
	case h.Known:
		text += " about " + h.Volume.Text(u)
	case h.Share == cellar.ShareFraction:
		text += " of unknown volume"
	}
	return text + ", no tank yet; " + Say(s, h.Wanted) + "."
}

// Brief is Tell for a narrow column, in one line: how much, and where
// all of it goes.
func Brief(s *cellar.State, h Homeless) string {
	const most = 3 // more names than that are no answer at a glance
	what := cellar.Spaced(h.From) + " pressings"
	if h.Known {
		what += " " + h.Volume.Text(s.House.Units)
	}
	if h.Share == cellar.ShareMain {
		what = cellar.Spaced(h.From) + " free run"
	}
	if h.Named != "" {
		return what + ": " + string(h.Named) + " too small"
	}
	var fits []cellar.TankNumber
	for _, t := range Takers(s, h.Wanted) {
		if t.takes(h.Wanted) && len(fits) < most {
			fits = append(fits, t.Number)
		}
	}
	if len(fits) == 0 {
		return what + ": no room"
	}
	last := len(fits) - 1
	if last == 0 {
		return what + " to " + string(fits[0]) + "?"
	}
	return what + ": " + strings.ReplaceAll(cellar.Spaced(fits[:last]), " ", ", ") + " or " + string(fits[last]) + "?"
}
