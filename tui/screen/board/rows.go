package board

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/face"
)

// row is one line of the board before it is drawn: a press, a load or a vessel
// on which something is due, or a line of codes of those on which nothing is.
type row struct {
	band   string
	sub    face.Subject
	mark   cellar.Mark
	number string
	name   string // what is in it
	short  string // the same, short; "" until it has been shortened
	size   string
	fill   string
	temp   string
	age    string   // of the temperature
	check  string   // how the last clarity check ended, or where a press runs to
	says   []string // the phrase, and what must stand below it
	whose  string
	since  string
	past   bool     // nobody waits for it any more
	facts  []string // what only a wide screen has room for, whole or not at all
	lots   string   // product lots and loads in it, to be found by
	codes  []code   // a quiet line
	route  bool     // nobody has said how its juice is cleared
}

// add puts a line below the phrase.
func (r *row) add(text string) {
	if text != "" {
		r.says = append(r.says, text)
	}
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
	bandContact = "ENZYME"
	bandCheck   = "TEST"
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
var bandOf = map[stage.Stage]string{
	stage.SkinContact: bandSkins, stage.HotHold: bandHot, stage.CooledBack: bandHot, stage.Filling: bandFill,
	stage.Contact: bandContact, stage.CheckDue: bandCheck, stage.Settling: bandSettle, stage.Flotation: bandFloat,
	stage.CapRise: bandFloat, stage.Racked: bandWait, stage.Waiting: bandWait, stage.ColdSoak: bandRed,
	stage.Maceration: bandRed, stage.DrawingOff: bandRed, stage.Fermenting: bandFerment, stage.Stored: bandHolding,
	stage.JuiceLees: bandHolding, stage.Dirty: bandDirty, stage.Cleaning: bandCleanin, stage.Clean: bandClean,
	stage.OutOfUse: bandOut,
}

// order is the order of the bands; the second list may stand as codes.
var (
	order = []string{bandYard, bandPress, bandSkins, bandHot, bandFill, bandContact, bandCheck, bandSettle, bandFloat,
		bandWait}
	quiet = []string{bandFerment, bandRed, bandHolding, bandClean, bandCleanin, bandDirty, bandOut}
)

// bandFor is the band of a content: white must that is being drained stands with
// the skins, not with the reds.
func bandFor(c *cellar.Content) string {
	if c.Stage == stage.DrawingOff && c.Kind == stage.WhiteMust {
		return bandSkins
	}
	return bandOf[c.Stage]
}

// rows makes the board's lines from the state, and the widths of what could stand
// in them: what is folded or left out counts too, so that unfolding moves nothing
// sideways. filter keeps what contains it; all opens the quiet vessels into rows.
func rows(g face.Sight, short names, filter string, all bool) ([]row, sizes) {
	byBand, z := map[string][]row{}, leastWide
	put := func(r row) {
		if filter != "" && !r.matches(filter) {
			return
		}
		byBand[r.band] = append(byBand[r.band], r)
	}
	var coming, older []code
	for _, l := range g.State.Loads {
		if l.Overdue(g.Now) && filter == "" {
			older = append(older, code{face.Subject{Load: l.ID}, string(l.ID)})
		} else if r, ok := loadRow(l, g); ok {
			z.measure(&r, short)
			put(r)
		} else if l.State == cellar.LoadExpected {
			coming = append(coming, code{face.Subject{Load: l.ID}, fmt.Sprintf("%s %s", l.ID, face.Clock(l.Booked,
				g.Now, g.State.Zone()))})
		}
	}
	if len(coming) > 0 && filter == "" {
		byBand[bandYard] = append(byBand[bandYard], row{band: bandYard, codes: coming, name: "expected"})
	}
	if len(older) > 0 && filter == "" {
		byBand[bandYard] = append(byBand[bandYard], row{band: bandYard, codes: older, name: "not arrived", past: true})
	}
	for _, p := range g.State.Presses() {
		r := pressRow(p, g)
		z.measure(&r, short)
		put(r)
	}
	codes := map[string][]code{}
	for _, v := range g.State.Vessels() {
		r := vesselRow(v, g)
		z.measure(&r, short)
		if !all && filter == "" && isQuiet(v, r) {
			band := quietBand(v)
			codes[band] = append(codes[band], code{r.sub, quietText(v, g)})
			continue
		}
		put(r)
	}
	n := len(codes)
	for _, band := range byBand {
		n += len(band)
	}
	out := make([]row, 0, n)
	for _, b := range append(append([]string{}, order...), quiet...) {
		out = append(out, byBand[b]...)
		if c := codes[b]; len(c) > 0 {
			out = append(out, row{band: b, codes: c})
		}
	}
	return out, z
}

func (r row) matches(filter string) bool {
	hay := strings.ToLower(r.number + " " + r.name + " " + r.band + " " + strings.Join(r.says, " ") + " " + r.lots)
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
		return kept(v) && len(r.says) == 1 && r.route
	}
	return false
}

// kept: fractions and pallet tanks that wait for nothing in particular.
func kept(v *cellar.Vessel) bool {
	return v.Use == stage.UseFraction || v.Use == stage.UsePallet || v.Now.Kind == stage.PressJuice
}

func quietBand(v *cellar.Vessel) string {
	if bandOf[v.Now.Stage] == bandWait {
		return bandHolding
	}
	return bandOf[v.Now.Stage]
}

func quietText(v *cellar.Vessel, g face.Sight) string {
	if v.Now.Stage == stage.ColdSoak {
		return string(v.Number) + " (soak)"
	}
	if until, ok := g.State.CleanUntil(v); ok && g.Now.After(until) {
		return string(v.Number) + " (rinse)"
	}
	if v.Now.NotYet() != "" {
		return string(v.Number) + " (look)"
	}
	if _, warm := g.State.WarmSince(v, g.Now); warm {
		return string(v.Number) + " (warm)"
	}
	return string(v.Number)
}

func vesselRow(v *cellar.Vessel, g face.Sight) row {
	s, c := g.State, &v.Now
	st := s.StandingOf(v, g.Now)
	r := row{band: bandFor(c), sub: face.Subject{Vessel: v.Number}, mark: st.Mark, number: string(v.Number),
		whose: whose(s, v, st), route: st.Route}
	if r.add(face.Standing(st, g.Now, s.Zone())); g.Saving[v.Ref()] {
		r.says = []string{"saving"}
	}
	if c.Stage.Empty() {
		r.name, r.short, r.since = string(c.Stage), strings.ToLower(r.band), since(c.Since, g)
		r.add(c.Note)
		r.add("brim " + v.Brim.Text(g.Units())) // the column of volumes is what is in it
		return r
	}
	if r.name = rowName(c); c.Kind == stage.PressJuice && c.Volume > 0 { // which must not be what is left out
		r.short = brief(c.Variety(), shortName-len(" pr.")) + " pr."
	}
	r.size, r.fill, r.since = face.Volume(c, g.Units()), face.Fill(v), since(c.Since, g)
	if !c.TempAt.IsZero() {
		r.temp, r.age = face.Temp(c, g.Units()), face.Age(c.TempAt, g.Now)
	}
	r.check = checkWord(s, v, g)
	for _, d := range c.Doses {
		if d.LookAt != "" {
			r.add("look again at the dose")
			break
		}
	}
	r.facts = facts(c, g)
	for _, d := range c.Doses {
		r.lots += string(d.Product) + " "
	}
	for _, part := range c.Parts {
		r.lots += string(part.Load) + " "
	}
	return r
}

// whose job it is: of who holds it, or of whose clock runs.
func whose(s *cellar.State, v *cellar.Vessel, st cellar.Standing) string {
	if st.Mark == cellar.MarkHeld && v.Hold != nil {
		return string(v.Hold.Releaser)
	}
	if k, ok := s.ClockByID(st.Clock); ok {
		return string(k.Owner)
	}
	return ""
}

// since is from when on a row is as it stands.
func since(t time.Time, g face.Sight) string {
	if t.IsZero() {
		return ""
	}
	return "since " + face.Clock(t, g.Now, g.State.Zone())
}

// rowName is the variety; what is not plain juice says so.
func rowName(c *cellar.Content) string {
	band := bandOf[c.Stage]
	plain := c.Kind == stage.Juice || c.Kind == stage.ClearJuice
	switch band { // which says so
	case bandSkins, bandRed:
		plain = plain || c.Kind == stage.RedMust || c.Kind == stage.WhiteMust
	case bandHot:
		plain = plain || c.Kind == stage.HotMust
	}
	if plain && c.Volume > 0 {
		return c.Variety()
	}
	return c.Name()
}

// checkWord is how the clarity checks stand, in the word that may open a gate or
// keep it shut; but first that juice is too cold on a running clock.
func checkWord(s *cellar.State, v *cellar.Vessel, g face.Sight) string {
	c := &v.Now
	if c.Stage == stage.Contact {
		if k, ok := s.ContactOf(v, g.Now); ok && k.Cold {
			return "COLD"
		}
	}
	if k := c.Check(); k != nil {
		if k.Sample == clarity.FaintHaze { // being watched
			return "haze"
		}
		return string(k.Sample)
	}
	if b := c.BroughtLast(); b != nil {
		return strings.ToLower(string(b.Verdict))
	}
	if n := len(c.Checks); n > 0 {
		return strings.ToLower(string(c.Checks[n-1].Verdict))
	}
	return ""
}

// facts are what a wide screen adds: how the contact stands, and the last dose.
func facts(c *cellar.Content, g face.Sight) (out []string) {
	if !c.PectinGone.IsZero() {
		out = append(out, "negative "+face.Clock(c.PectinGone, g.Now, g.State.Zone()))
	}
	for i := len(c.Doses) - 1; i >= 0; i-- {
		if d := c.Doses[i]; d.Where != "" {
			return append(out, fmt.Sprintf("%s %s %s", d.Product, d.Rate, face.Clock(d.At, g.Now, g.State.Zone())))
		}
	}
	return out
}

func pressRow(p *cellar.Press, g face.Sight) row {
	s := g.State
	r := row{band: bandPress, sub: face.Subject{Press: p.Number}, number: string(p.Number)}
	r.name = p.Name()
	if from := drainedFrom(p); from != "" { // "502 Sauvignon" beside a press reads as tank 502
		r.name, r.short = from+" "+p.Parts[0].Variety, from
	}
	if m := p.Mass(); m > 0 {
		r.size, r.fill = grapes(m, g), fmt.Sprintf("%d %%", int(100*float64(m)/float64(p.Rated)+0.5))
	} else {
		for _, x := range p.Parts {
			r.size = x.Volume.Text(g.Units())
		}
	}
	st := pressClock(s, p, g.Now)
	r.mark = st.Mark
	if k, ok := s.ClockByID(st.Clock); ok {
		r.whose = string(k.Owner)
	}
	timed := face.Standing(st, g.Now, s.Zone())
	switch p.State {
	case cellar.PressReady:
		r.name, r.short = "free", "free"
		r.add(since(p.Since, g))
	case cellar.PressRunning:
		if p.Main != "" {
			r.check = "to " + string(p.Main)
		}
		r.add(timed)
		if _, waits := s.EmptyAt(p); !waits.IsZero() {
			r.add(s.Words(waits))
		}
		r.since = since(p.Started, g)
		r.facts = []string{p.Programme, "pressings to " + orNone(p.Fraction)}
	case cellar.PressStopped, cellar.PressLocked:
		r.add(string(p.State) + ", " + p.Why)
		r.mark, r.since = cellar.MarkHeld, since(p.Since, g)
	default:
		if r.add(timed); timed == "" {
			r.add(string(p.State))
		}
		r.since = since(p.Since, g)
	}
	for _, m := range s.RunningMoves() {
		for _, to := range m.To {
			if to.Vessel == p.Number {
				r.says = append([]string{fmt.Sprintf("%s runs in", m.From)}, r.says...)
			}
		}
	}
	if in, ok := s.Inhabited(p.Number); ok {
		r.says, r.mark = []string{s.Words(in.Short())}, cellar.MarkOver
	}
	if g.Saving[p.Ref()] {
		r.says = []string{"saving"}
	}
	return r
}

// drainedFrom names the vessels that what is in a press came from, "" for loads.
func drainedFrom(p *cellar.Press) string {
	var from []string
	for _, x := range p.Parts {
		if x.From == "" {
			return ""
		}
		if !slices.Contains(from, string(x.From)) {
			from = append(from, string(x.From))
		}
	}
	if len(from) == 0 {
		return ""
	}
	return "from " + strings.Join(from, " ")
}

func orNone(p cellar.TankNumber) string {
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
	for _, k := range s.ClocksOf(p.Ref()) {
		if first == nil || k.Raised(now) && !first.Raised(now) {
			first = k
		}
	}
	if first == nil {
		return cellar.Standing{}
	}
	st := cellar.Standing{Text: first.Says(), At: first.Due, Kind: first.DueKind, Clock: first.ID}
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
	r := row{band: bandYard, sub: face.Subject{Load: l.ID}, number: string(l.ID), size: "? t"}
	r.name = l.Variety
	if l.Net > 0 {
		r.size = grapes(l.Net, g)
	}
	switch l.State {
	case cellar.LoadExpected:
		if l.Booked.Sub(g.Now) > loadAhead {
			return r, false
		}
		r.since = "booked " + face.Clock(l.Booked, g.Now, g.State.Zone())
		if late := l.Late(g.Now); late > 0 {
			r.mark = cellar.MarkDue
			r.add(face.Late(late))
		} else {
			r.add("expected " + face.Left(l.Booked, g.Now))
		}
	case cellar.LoadWaiting:
		r.since = since(l.Arrived, g)
		r.add("waiting " + face.Length(l.Waits(g.Now)))
		if l.Waits(g.Now) > 90*time.Minute {
			r.mark = cellar.MarkDue
		}
	case cellar.LoadTipping:
		if r.add(tipping(l, g)); l.Arrived.IsZero() {
			r.add("no ticket yet")
		}
	default:
		return r, false
	}
	if l.To != "" && l.State != cellar.LoadTipping {
		r.facts = []string{"for " + l.To}
	}
	return r, true
}

// tipping says into which press a load is tipped.
func tipping(l *cellar.Load, g face.Sight) string {
	for _, p := range g.State.Presses() {
		for _, x := range p.Parts {
			if x.Load == l.ID {
				return "tipping into " + string(p.Number)
			}
		}
	}
	return "tipping"
}
