package handover

import (
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
)

// The lengths on the sheet (common practice, no source): what is near enough to
// be done by whoever comes in, and how long a printed sheet may be believed.
const (
	sheetSoon  = 2 * time.Hour
	sheetValid = 2 * time.Hour
)

// Sheet makes the handover sheet of the state at now. It says only what the
// facts carry: what nobody wrote down is shown as not known, never as in order.
func Sheet(s *cellar.State, now time.Time, mark sheet.Mark) sheet.Sheet {
	var p cellar.PastShift
	if all := s.Shifts(); len(all) > 0 {
		p = all[len(all)-1]
	}
	return newHandover(s, p, cellar.Instant(now)).fill(mark)
}

// Past makes the sheet of a shift that another has followed. then is the cellar as it was
// at its end, by all that is known of it now.
func Past(then *cellar.State, p cellar.PastShift, printed time.Time, mark sheet.Mark) sheet.Sheet {
	out := newHandover(then, p, p.Last()).fill(mark)
	out.Past = printed.In(then.Zone()).Format("Mon 2 Jan 2006 15:04")
	return out
}

func (h *handover) fill(mark sheet.Mark) sheet.Sheet {
	h.out.Mark = mark
	h.head()
	h.safety()
	h.holds()
	h.due()
	h.noHome()
	h.floor()
	h.yard()
	h.tanks()
	h.empties()
	h.happened()
	h.answered()
	h.short()
	h.sums()
	h.promised()
	h.back()
	h.words()
	h.out.Valid = h.stamp(h.now.Add(sheetValid))
	return h.out
}

// handover is a sheet in the making: the window of the shift and the words of
// the house.
type handover struct {
	s     *cellar.State
	shift cellar.PastShift // that hands over
	now   time.Time
	from  time.Time // begin of the shift that hands over
	to    time.Time // end of the coming one
	sys   quantity.System
	out   sheet.Sheet
}

// newHandover finds the window. Without a shift it is the twelve hours before,
// but never earlier than the cellar was opened.
func newHandover(s *cellar.State, p cellar.PastShift, now time.Time) *handover {
	h := &handover{s: s, shift: p, now: now, sys: s.House.Units}
	h.from = p.Started
	if h.from.IsZero() {
		h.from = now.Add(-cellar.UsualShift)
		if h.from.Before(s.Opened) {
			h.from = s.Opened
		}
	}
	h.to = h.ends().Add(cellar.UsualShift)
	if h.to.Before(now.Add(sheetSoon)) {
		h.to = now.Add(cellar.UsualShift)
	}
	h.out.Units = sheet.Units{Volume: "hL", Temp: "°C"}
	if h.sys == quantity.US {
		h.out.Units = sheet.Units{Volume: "gal", Temp: "°F"}
	}
	return h
}

// ends is the end of the shift that hands over: as it ended, as planned, or now.
func (h *handover) ends() time.Time {
	switch sh := h.shift; {
	case !sh.Over().IsZero():
		return sh.Over()
	case !sh.Ends.IsZero():
		return sh.Ends
	}
	return h.now
}

func (h *handover) head() {
	sh := h.shift
	local := h.now.In(h.s.Zone())
	h.out.Head = sheet.Head{
		House: h.s.House.Name, Span: h.span(), Changes: append(h.lapses(), h.changes()...),
		Out: h.name(sh.Lead), In: h.name(sh.Next), Crew: h.crew(),
		Day: local.Format("Mon 2 Jan"), Time: h.clock(h.now), Counts: h.counts(),
	}
}

// crew names the others of the shift.
func (h *handover) crew() string {
	var out []string
	for _, who := range h.shift.Crew {
		if who != h.shift.Lead {
			out = append(out, h.name(who))
		}
	}
	return strings.Join(out, ", ")
}

// counts are the numbers that must be on the front whatever else is cut.
func (h *handover) counts() []sheet.Count {
	open, over, held, lifted, invalid := 0, 0, 0, 0, 0
	for _, c := range h.s.Clocks() {
		if c.Kind == cellar.KindShift { // the sheet itself is what it calls for
			continue
		}
		open++
		if h.over(c.DueKind, c.Due) {
			over++
		}
	}
	for _, v := range h.s.Vessels() {
		if v.Hold != nil {
			held++
		}
	}
	for _, a := range h.s.Answered {
		if a.Stop && !a.Broken && h.within(a.At) {
			lifted++
		}
	}
	for _, t := range h.tests() {
		if t.provesNothing() {
			invalid++
		}
	}
	return []sheet.Count{{Name: "OPEN CLOCKS", N: open}, {Name: "OVERDUE", N: over}, {Name: "ON HOLD", N: held},
		{Name: "OVERRIDES", N: lifted}, {Name: "INVALID TESTS", N: invalid}}
}

// over reports whether something is past its due. What may be done from an
// instant on is never overdue.
func (h *handover) over(k cellar.DueKind, due time.Time) bool {
	return k != cellar.NotBefore && !h.now.Before(due)
}

// within reports whether an instant belongs to the shift that hands over.
func (h *handover) within(t time.Time) bool {
	if h.shift.Started.IsZero() && t.Before(h.from) {
		return false
	}
	return h.shift.Holds(t) && !t.After(h.now)
}

// unheld is how long nobody may have had the cellar before the sheet says so (common
// practice, no source).
const unheld = 30 * time.Minute

// lapses says what was forgotten of the shift, and what of the time after it is on its sheet.
func (h *handover) lapses() []string {
	p := h.shift
	until := p.Until
	if until.IsZero() {
		until = h.now
	}
	switch {
	case p.Started.IsZero():
	case p.Forgotten():
		return []string{h.say("No end of this shift was saved: it ends at {time}, when the shift of {lead} began.",
			p.Until, p.By)}
	case p.Open() && h.now.Sub(p.Plan()) > unheld:
		return []string{h.say("This shift was to end at {time}, and nobody has handed it over.", p.Plan())}
	case !p.Ended.IsZero() && until.Sub(p.Ended) > unheld:
		return []string{h.say("No shift was open from {time} to {end}: what was done then is on this sheet.", p.Ended,
			until)}
	}
	return nil
}

// span is the shift with its weekdays, and both zones when they differ.
func (h *handover) span() string {
	a, b := h.from.In(h.s.Zone()), h.ends().In(h.s.Zone())
	zone, _ := b.Zone()
	first, _ := a.Zone()
	if first == zone {
		first = ""
	} else {
		first = " " + first
	}
	return a.Format("Mon 2 Jan 15:04") + first + " - " + b.Format("Mon 2 Jan 15:04 ") + zone
}

// changes says when the clocks change in this shift or the coming one: hours
// that come twice or never are where tired people calculate wrong.
func (h *handover) changes() []string {
	var out []string
	for _, w := range []struct {
		name     string
		from, to time.Time
	}{{"this shift", h.from, h.ends()}, {"the coming shift", h.ends(), h.to}} {
		a := w.from.In(h.s.Zone())
		_, end := a.ZoneBounds()
		if end.IsZero() || !end.Before(w.to) {
			continue
		}
		was, is := end.Add(-time.Second), end.In(h.s.Zone())
		oldName, oldOff := was.In(h.s.Zone()).Zone()
		newName, newOff := is.Zone()
		word := "back"
		if newOff > oldOff {
			word = "forward"
		}
		old := is.Add(time.Duration(oldOff-newOff) * time.Second)
		out = append(out, h.say("Clocks in {shift}: at {old} {zone} they go {way} to {new} {new zone}; it lasts "+
			"{length}.", w.name,
			old.Format("15:04"), oldName, word, is.Format("15:04"), newName,
			quantity.Span(w.to.Sub(w.from).Round(time.Minute))))
	}
	return out
}

// clock is an instant's time of day, with the zone in an hour that comes twice.
func (h *handover) clock(t time.Time) string { return cellar.Clock(t, t, h.s.Zone()) }

// nearAhead is how far ahead an hour of the day can be no other than the next such hour
// (common practice, no source).
const nearAhead = 24 * time.Hour

// when says an instant for a column: bare within the shift, on the day of printing
// and in the hours after it, with the weekday otherwise, as a date when it lies a
// week off.
func (h *handover) when(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	a, b := t.In(h.s.Zone()), h.now.In(h.s.Zone())
	n := h.now.Sub(t)
	if n > 6*24*time.Hour || n < -6*24*time.Hour {
		if a.Year() != b.Year() {
			return a.Format("2 Jan 2006")
		}
		return a.Format("2 Jan")
	}
	shift := n >= 0 && n < 24*time.Hour && !t.Before(h.from)
	if ahead := -n; shift || ahead > 0 && ahead < nearAhead || a.Format("2006-01-02") == b.Format("2006-01-02") {
		return h.clock(t)
	}
	return a.Format("Mon ") + h.clock(t)
}

// stamp says an instant in full.
func (h *handover) stamp(t time.Time) string {
	return t.In(h.s.Zone()).Format("Mon 2 Jan ") + h.clock(t)
}

// name is a person as the sheet calls them: in full, for the incoming lead may
// not know every pair of initials.
func (h *handover) name(who cellar.Initials) string {
	if who == "" {
		return "?"
	}
	if p, ok := h.s.House.Person(who); ok && p.Name != "" {
		return p.Name + " (" + string(who) + ")"
	}
	return string(who)
}

// words are the codes of the house that may stand on the sheet: the people, the
// product lots, the recipes of the alcohol test.
func (h *handover) words() {
	add := func(code, says string) {
		if says != "" && says != code {
			h.out.Words = append(h.out.Words, sheet.Word{Code: code, Says: says})
		}
	}
	for _, p := range h.s.House.People {
		add(string(p.Initials), p.Name)
	}
	for _, p := range h.s.Products() {
		add(string(p.ID), p.Words())
	}
	for _, t := range h.tests() {
		if r := t.begun.Begun.Recipe; !slices.ContainsFunc(h.out.Words,
			func(w sheet.Word) bool { return w.Code == r.ID }) {
			add(r.ID, "pectin test "+r.Name)
		}
	}
}

// vol is a volume in the units of the house.
func (h *handover) vol(v quantity.Volume) string { return v.Text(h.sys) }

// bare is a volume without the unit of the column; smaller units stay.
func (h *handover) bare(v quantity.Volume) string {
	return strings.TrimSuffix(h.vol(v), " "+h.out.Units.Volume)
}

// sheetTest is a clarity check as its vessel's account holds it, whatever became
// of the vessel since.
type sheetTest struct {
	number  cellar.TankNumber
	begun   *cellar.Item
	read    *cellar.Item
	sample  clarity.Look
	control clarity.ControlLook
	verdict clarity.Verdict
	second  clarity.SecondLook
	why     string
}

// provesNothing reports whether a test was read and decided nothing.
func (t sheetTest) provesNothing() bool {
	return t.verdict != "" && t.verdict != clarity.Pending && t.verdict != clarity.Positive &&
		t.verdict != clarity.Negative
}

// tests lists the checks begun or read within the shift, vessel by vessel.
func (h *handover) tests() []sheetTest {
	var out []sheetTest
	for _, v := range h.s.AllVessels() {
		at := map[string]int{}
		for _, it := range v.Account {
			switch {
			case it.TakenBack:
			case it.Begun != nil:
				at[it.Begun.ID] = len(out)
				out = append(out, sheetTest{number: v.Number, begun: it})
			case it.Read != nil:
				if i, ok := at[it.Read.ID]; ok {
					out[i].reads(it)
				}
			}
		}
	}
	kept := out[:0]
	for _, t := range out {
		if h.within(t.begun.At) || t.read != nil && h.within(t.read.At) {
			kept = append(kept, t)
		}
	}
	return kept
}

// reads takes a reading or a second look into the test.
func (t *sheetTest) reads(it *cellar.Item) {
	r := it.Read
	t.read, t.verdict, t.why = it, r.Verdict, r.Why
	if r.Second != "" {
		t.second = r.Second
		return
	}
	t.sample, t.control = r.Sample, r.Control
}
