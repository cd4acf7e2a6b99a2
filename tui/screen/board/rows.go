package board

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/face"
)

// row is one line of the board before it is drawn: a press, a load or a vessel
// on which something is due, or a line of codes of those on which nothing is.
type row struct {
	band  string
	sub   face.Subject
	mark  cellar.Mark
	plate string
	name  string
	size  string
	fill  string
	state string // temperature, or what a press does
	age   string
	check string // how the last clarity check ended, where the row says it beside the temperature
	says  string
	extra string // what only a wide screen has room for
	lots  string // product lots and loads in it, to be found by
	codes []code // a quiet line
}

// code is one quiet vessel in a line of codes.
type code struct {
	sub  face.Subject
	text string
}

// The bands, downhill. Their words are the trade's.
const (
	bandYard    = "YARD"
	bandPress   = "PRESSES"
	bandSkins   = "SKINS"
	bandHot     = "HOT"
	bandFill    = "FILLING"
	bandContact = "CONTACT"
	bandCheck   = "CHECK"
	bandSettle  = "SETTLING"
	bandFloat   = "FLOATING"
	bandWait    = "WAITING"
	bandFerment = "FERMENT"
	bandRed     = "RED"
	bandHolding = "STORED"
	bandClean   = "CLEAN"
	bandCleanin = "WASHING"
	bandDirty   = "DIRTY"
	bandOut     = "OUT"
)

// bandOf puts each stage into its band.
var bandOf = map[cellar.Stage]string{
	cellar.SkinContact: bandSkins, cellar.HotHold: bandHot, cellar.CooledBack: bandHot, cellar.Filling: bandFill,
	cellar.Contact: bandContact, cellar.CheckDue: bandCheck, cellar.Settling: bandSettle, cellar.Flotation: bandFloat,
	cellar.CapRise: bandFloat, cellar.Racked: bandWait, cellar.Waiting: bandWait, cellar.ColdSoak: bandRed,
	cellar.Maceration: bandRed, cellar.DrawingOff: bandRed, cellar.Fermenting: bandFerment, cellar.Stored: bandHolding,
	cellar.JuiceLees: bandHolding, cellar.Dirty: bandDirty, cellar.Cleaning: bandCleanin, cellar.Clean: bandClean, cellar.OutOfUse: bandOut,
}

// order is the order of the bands; the second list may stand as codes.
var (
	order = []string{bandYard, bandPress, bandSkins, bandHot, bandFill, bandContact, bandCheck, bandSettle, bandFloat, bandWait}
	quiet = []string{bandFerment, bandRed, bandHolding, bandClean, bandCleanin, bandDirty, bandOut}
)

// bandFor is the band of a content: white must that is being drained stands with
// the skins, not with the reds.
func bandFor(c *cellar.Content) string {
	if c.Stage == cellar.DrawingOff && c.Kind == cellar.WhiteMust {
		return bandSkins
	}
	return bandOf[c.Stage]
}

// rows makes the board's lines from the state. filter keeps what contains it;
// all opens the quiet vessels into rows.
func rows(g face.Sight, filter string, all bool) []row {
	byBand := map[string][]row{}
	put := func(r row) {
		if filter != "" && !r.matches(filter) {
			return
		}
		byBand[r.band] = append(byBand[r.band], r)
	}
	var coming []code
	for _, l := range g.State.Loads {
		if r, ok := loadRow(l, g); ok {
			put(r)
		} else if l.State == cellar.LoadExpected {
			coming = append(coming, code{face.Subject{Load: l.ID}, fmt.Sprintf("%s %s", l.ID, face.Clock(l.Booked, g.Now, g.State.Zone()))})
		}
	}
	if len(coming) > 0 && filter == "" {
		byBand[bandYard] = append(byBand[bandYard], row{band: bandYard, codes: coming, name: "expected"})
	}
	for _, p := range g.State.Presses() {
		put(pressRow(p, g))
	}
	codes := map[string][]code{}
	for _, v := range g.State.Vessels() {
		r := vesselRow(v, g)
		if !all && filter == "" && isQuiet(v, r) {
			band := quietBand(v)
			codes[band] = append(codes[band], code{r.sub, quietText(v, g)})
			continue
		}
		put(r)
	}
	var out []row
	for _, b := range append(append([]string{}, order...), quiet...) {
		out = append(out, byBand[b]...)
		if c := codes[b]; len(c) > 0 {
			out = append(out, row{band: b, codes: c})
		}
	}
	return out
}

func (r row) matches(filter string) bool {
	hay := strings.ToLower(r.plate + " " + r.name + " " + r.band + " " + r.says + " " + r.lots)
	return strings.Contains(hay, strings.ToLower(filter))
}

// isQuiet: fermenting as it should, empty, or kept without anything due.
func isQuiet(v *cellar.Vessel, r row) bool {
	if r.mark != cellar.MarkCalm {
		return false
	}
	switch bandFor(&v.Now) {
	case bandFerment, bandRed, bandHolding, bandClean, bandCleanin, bandDirty, bandOut:
		return true
	case bandWait:
		return kept(v) && r.says == cellar.NoRoute
	}
	return false
}

// kept: fractions and pallet tanks that wait for nothing in particular.
func kept(v *cellar.Vessel) bool {
	return v.Use == cellar.UseFraction || v.Use == cellar.UsePallet || v.Now.Kind == cellar.PressJuice
}

func quietBand(v *cellar.Vessel) string {
	if bandOf[v.Now.Stage] == bandWait {
		return bandHolding
	}
	return bandOf[v.Now.Stage]
}

func quietText(v *cellar.Vessel, g face.Sight) string {
	if v.Now.Stage == cellar.ColdSoak {
		return string(v.Plate) + " (soak)"
	}
	if until, ok := g.State.CleanUntil(v); ok && g.Now.After(until) {
		return string(v.Plate) + " (rinse)"
	}
	if v.Now.NotYet() != "" {
		return string(v.Plate) + " (look)"
	}
	if _, warm := g.State.WarmSince(v, g.Now); warm {
		return string(v.Plate) + " (warm)"
	}
	return string(v.Plate)
}

func vesselRow(v *cellar.Vessel, g face.Sight) row {
	s, c := g.State, &v.Now
	st := s.StandingOf(v, g.Now)
	r := row{band: bandFor(c), sub: face.Subject{Vessel: v.Plate}, mark: st.Mark, plate: string(v.Plate),
		says: face.Standing(st, g.Now, s.Zone())}
	if g.Saving[string(v.Plate)] {
		r.says = "saving"
	}
	if c.Stage.Empty() {
		r.name, r.state = string(c.Stage), "brim "+v.Brim.Text(g.Units()) // the column before is what is in it
		if c.Note != "" {
			r.state, r.extra = c.Note, r.state
		}
		return r
	}
	r.name, r.size, r.fill = rowName(c), face.Volume(c, g.Units()), face.Fill(v)
	if !c.TempAt.IsZero() {
		r.state, r.age = face.Temp(c, g.Units()), face.Age(c.TempAt, g.Now)
	}
	plain := r.state
	r.state, r.says = withReason(s, v, c, r.state, r.says, g)
	if r.state != plain {
		r.age = "" // the age is that of a temperature
	} else if n := len(c.Checks); n > 0 && c.Check() == nil {
		r.check = strings.ToLower(string(c.Checks[n-1].Verdict))
	}
	r.extra = extra(c, g)
	for _, d := range c.Doses {
		r.lots += string(d.Product) + " "
	}
	for _, part := range c.Parts {
		r.lots += string(part.Load) + " "
	}
	return r
}

// rowName is the variety; what is not plain juice says so.
func rowName(c *cellar.Content) string {
	name := c.Name()
	cuts := []string{" clear juice", " juice"}
	switch bandOf[c.Stage] {
	case bandSkins, bandRed:
		cuts = append(cuts, " must") // the band says so
	case bandHot:
		cuts = append(cuts, " hot must")
	}
	for _, cut := range cuts {
		if c.Kind != cellar.PressJuice {
			name = strings.TrimSuffix(name, cut)
		}
	}
	return name
}

// withReason puts the one thing that explains a row where its temperature would
// stand: a haze being watched, the negative that opened the gate; and adds to
// the phrase what must not be missed: cold juice on a running clock, a dose to
// look at again.
func withReason(s *cellar.State, v *cellar.Vessel, c *cellar.Content, state, says string, g face.Sight) (string, string) {
	switch {
	case v.Hold != nil:
		return state, says
	case c.Check() != nil && c.Check().Sample != "":
		return string(c.Check().Sample), says
	case !c.PectinGone.IsZero() && c.Stage == cellar.Waiting:
		return "negative " + face.Clock(c.PectinGone, g.Now, s.Zone()), says
	}
	if k, ok := s.ContactOf(v, g.Now); ok && k.Cold && c.Stage == cellar.Contact {
		return state + " COLD", says
	}
	for _, d := range c.Doses {
		if d.LookAt != "" {
			return "dose: look again", says
		}
	}
	return state, says
}

// extra is what a wide screen adds: since when, and how the contact stands.
func extra(c *cellar.Content, g face.Sight) string {
	out := "since " + face.Clock(c.Since, g.Now, g.State.Zone())
	for i := len(c.Doses) - 1; i >= 0; i-- {
		d := c.Doses[i]
		if d.Where == "" {
			continue
		}
		return out + fmt.Sprintf(" · %s %s %s", d.Product, d.Rate, face.Clock(d.At, g.Now, g.State.Zone()))
	}
	return out
}

func pressRow(p *cellar.Press, g face.Sight) row {
	s := g.State
	r := row{band: bandPress, sub: face.Subject{Press: p.Plate}, plate: string(p.Plate), name: p.Name(), state: string(p.State)}
	if m := p.Mass(); m > 0 {
		r.size, r.fill = grapes(m, g), fmt.Sprintf("%d %%", int(100*float64(m)/float64(p.Rated)+0.5))
	} else {
		for _, x := range p.Parts {
			r.size = x.Volume.Text(g.Units())
		}
	}
	st := pressClock(s, p, g.Now)
	r.mark = st.Mark
	timed := face.Standing(st, g.Now, s.Zone())
	switch p.State {
	case cellar.PressReady:
		r.name, r.state, r.says = "free", "", "since "+face.Clock(p.Since, g.Now, s.Zone())
	case cellar.PressRunning:
		if r.state = "pressing"; p.Main != "" {
			r.state = "to " + string(p.Main)
		}
		r.says = timed
		r.extra = fmt.Sprintf("%s · press fraction to %s", p.Programme, orNone(p.Fraction))
		if _, waits := s.EmptyAt(p); waits != "" { // where the juice goes is known by then; what it waits for is not
			r.state, r.extra = waits, r.state+" · "+r.extra
		}
	case cellar.PressStopped, cellar.PressLocked:
		r.says, r.mark = p.Why, cellar.MarkHeld
	default:
		r.says = timed
	}
	for _, m := range s.RunningMoves() {
		for _, to := range m.To {
			if to.Vessel == p.Plate {
				r.says = fmt.Sprintf("%s runs in", m.From)
			}
		}
	}
	if who := s.Inhabited(p.Plate); who != "" {
		r.says, r.mark = who, cellar.MarkOver
	}
	if g.Saving[r.plate] {
		r.says = "saving"
	}
	return r
}

func orNone(p cellar.Plate) string {
	if p == "" {
		return "no tank"
	}
	return string(p)
}

// grapes is a mass of grapes in the width of its column: short tons must be
// spelled out, so a house in US units reads pounds here.
func grapes(m quantity.Mass, g face.Sight) string {
	if g.Units() == quantity.US {
		return m.Text(quantity.US)
	}
	return m.Load(g.Units())
}

func pressClock(s *cellar.State, p *cellar.Press, now time.Time) cellar.Standing {
	var first *cellar.AlarmClock
	for _, k := range s.ClocksOf(string(p.Plate)) {
		if first == nil || k.Raised(now) && !first.Raised(now) {
			first = k
		}
	}
	if first == nil {
		return cellar.Standing{}
	}
	st := cellar.Standing{Text: first.Verb, At: first.Due, Kind: first.DueKind, Clock: first.ID}
	switch raised := first.Raised(now); {
	case raised && !s.Taken(first, now):
		st.Mark = cellar.MarkOver
	case raised:
		st.Mark = cellar.MarkDue
	case first.Due.Sub(now) <= 15*time.Minute:
		st.Mark = cellar.MarkSoon
	}
	return st
}

// loadAhead is how far ahead an expected load has a row of its own.
const loadAhead = 30 * time.Minute

// loadRow is the row of a load in the yard; ok is false for one that is in, or
// too far ahead to stand there.
func loadRow(l *cellar.Load, g face.Sight) (row, bool) {
	r := row{band: bandYard, sub: face.Subject{Load: l.ID}, plate: string(l.ID), name: l.Variety, size: "? t"}
	if l.Net > 0 {
		r.size = grapes(l.Net, g)
	}
	switch l.State {
	case cellar.LoadExpected:
		if l.Booked.Sub(g.Now) > loadAhead {
			return r, false
		}
		r.state = "booked " + face.Clock(l.Booked, g.Now, g.State.Zone())
		r.says = "expected " + face.Left(l.Booked, g.Now)
		if late := l.Late(g.Now); late > 0 {
			r.says, r.mark = "not seen, +"+face.Length(late), cellar.MarkDue
		}
	case cellar.LoadWaiting:
		r.state, r.says = "waiting", "for "+face.Length(l.Waits(g.Now))
		if l.Waits(g.Now) > 90*time.Minute {
			r.mark = cellar.MarkDue
		}
	case cellar.LoadTipping:
		r.state, r.says = "tipping", ""
	default:
		return r, false
	}
	if l.To != "" && l.State != cellar.LoadTipping {
		r.extra = "for " + l.To
	}
	return r, true
}
