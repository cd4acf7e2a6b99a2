package handover

import (
	"cmp"
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
)

// scaldsFrom is the temperature from which must counts as hot on the sheet
// (common practice, no source): hoses that carry it burn a hand.
const scaldsFrom quantity.Celsius = 40

// safety fills the block that is read first: who is in a vessel in the line above all,
// then what is written, in the order of time. A kind of thing of which nothing
// is written is named as not reported, for silence must not look like order.
func (h *handover) safety() {
	b := &h.out.Safety
	above := map[string]bool{} // places whose air is told as an emergency
	for _, e := range h.s.Emergencies(h.now) {
		b.Emergencies = append(b.Emergencies, e.Line()+" "+e.Ends)
		above[e.Place] = above[e.Place] || e.Kind == cellar.EmergencyGas
	}
	b.NoEntry = h.s.EntryLine(h.now) + "."
	var all []told
	gas, off := h.gasRead(), h.locksOff()
	for _, part := range []struct {
		none string
		rows []told
	}{
		{"", append(h.insides(), h.permits()...)}, // the line above says when there is none
		{"head counts", h.heads()},
		{"gas readings", gas},
		{lockOuts, h.locked()},
		{"hot must", h.hot()},
		{"gas cover", h.gassed()},
		{"cleaning", h.cleaning()},
		{"safety notes", h.safetyNotes()},
	} {
		if len(part.rows) == 0 && part.none != "" && !(part.none == lockOuts && off) {
			b.None = append(b.None, part.none)
		}
		all = append(all, part.rows...)
	}
	all = slices.DeleteFunc(all, func(t told) bool { return above[t.Where] && slices.Contains(gas, t) })
	near := h.nearMisses()
	if near == "" {
		b.None = append(b.None, "near misses")
	}
	b.Rows = inOrder(all)
	if near != "" {
		b.Rows = append(b.Rows, sheet.Row{What: near + "."})
	}
}

// lockOuts is what is named where no press was locked out in the shift.
const lockOuts = "press lock-outs"

// locksOff reports whether lock-outs of the shift have ended: whose they were stands at
// the back, among what happened and the warnings, and there is no want of a report.
func (h *handover) locksOff() bool { return len(h.s.Lockouts(h.from)) > 0 }

// nearMisses are what hard stops have prevented, in one row: when and where. What
// happened tells them in full.
func (h *handover) nearMisses() string {
	var at []string
	for _, x := range h.s.Stopped {
		if h.within(x.At) && x.Rule[0] == 'H' { // slips of the pen are no near misses
			at = append(at, h.when(x.At)+" at "+h.s.NameOf(x.Subject))
		}
	}
	if len(at) == 0 {
		return ""
	}
	return "near misses, stopped: " + strings.Join(at, ", ")
}

func (h *handover) locked() (out []told) {
	for _, p := range h.s.Presses() {
		switch p.State {
		case cellar.PressLocked:
			out = append(out, h.tell(p.Since, string(p.Number), "",
				"LOCKED OUT: {reason}. Restart only when everyone is counted.", p.Why))
		case cellar.PressStopped:
			out = append(out, h.tell(p.Since, string(p.Number), "",
				"stopped, NOT locked: {reason}. Lock and tag in your own name before you reach in.", p.Why))
		}
	}
	return out
}

func (h *handover) hot() (out []told) {
	for _, v := range h.s.Vessels() {
		c := &v.Now
		hot := c.Kind == stage.HotMust || c.Stage == stage.HotHold || c.Last.Temp != nil && *c.Last.Temp >= scaldsFrom
		if c.Stage.Empty() || !hot || c.Last.Temp != nil && *c.Last.Temp < scaldsFrom && c.Stage != stage.HotHold {
			continue
		}
		temp := "temperature not read"
		if c.Last.Temp != nil {
			temp = c.Last.Temp.Text(h.sys) + " at " + h.when(c.TempAt)
		}
		out = append(out, h.tell(c.Since, string(v.Number), "", "{must}, {temp}: hoses are hot.", cmp.Or(c.Name(),
			"hot must"),
			temp))
	}
	for _, p := range h.s.Presses() {
		if p.Kind == stage.HotMust && p.State != cellar.PressReady {
			out = append(out, h.tell(p.Since, string(p.Number), "", "hot must in the press: {what}.", pressHolds(p)))
		}
	}
	return out
}

func (h *handover) gassed() (out []told) {
	for _, v := range h.s.Vessels() {
		if g := v.Now.Stage; g == stage.Flotation || g == stage.CapRise {
			what := string(g)
			if v.Now.Method != "" {
				what += ", " + v.Now.Method
			}
			out = append(out, h.tell(v.Now.Since, string(v.Number), "", "{stage}: gas-covered, treat as deadly.", what))
		}
	}
	return out
}

// cleaning lists what is being cleaned, with the full vessels on the same
// manifold: that is where caustic finds wine.
func (h *handover) cleaning() (out []told) {
	for _, v := range h.s.Vessels() {
		if v.Now.Stage != stage.Cleaning {
			continue
		}
		what := "being cleaned"
		for _, x := range []string{v.Now.Method, v.Now.Note} {
			if x != "" {
				what += ", " + x
			}
		}
		var mates []cellar.TankNumber
		for _, m := range h.s.Vessels() {
			if m != v && v.Manifold != "" && m.Manifold == v.Manifold && !m.Now.Stage.Empty() {
				mates = append(mates, m.Number)
			}
		}
		what += ". Keep the vent open"
		if len(mates) > 0 {
			what += " and the bend off: " + cellar.Spaced(mates) + " on its manifold is full"
		}
		what += "."
		out = append(out, h.tell(v.Now.Since, string(v.Number), "", "{what}", what))
	}
	return out
}

// safetyNotes are the latest open safety note of each subject: an older gas
// reading beside a newer one only confuses.
func (h *handover) safetyNotes() (out []told) {
	latest := map[subject.Ref]*cellar.Note{}
	for _, n := range h.s.OpenNotes(subject.Ref{}) {
		if n.What == cellar.NoteSafety && (latest[n.Subject] == nil || !n.At.Before(latest[n.Subject].At)) {
			latest[n.Subject] = n
		}
	}
	for _, n := range h.s.OpenNotes(subject.Ref{}) {
		if latest[n.Subject] == n {
			out = append(out, told{n.At, h.noteRow(n, "")})
		}
	}
	return h.aged(out, "safety notes")
}

// noteRow is a note as a line; whoever is asked to act stands at its end.
func (h *handover) noteRow(n *cellar.Note, lead string) sheet.Row {
	text := lead + n.Text
	if n.Pinned {
		text = "pinned: " + text
	}
	if n.For != "" {
		text += " For " + n.For + "."
	}
	if !n.Until.IsZero() {
		text += " By " + h.when(n.Until) + "."
	}
	return sheet.Row{When: h.when(n.At), Where: h.s.NameOf(n.Subject), What: text, Who: string(n.By)}
}

func (h *handover) holds() {
	for _, v := range h.s.Vessels() {
		k := v.Hold
		if k == nil {
			continue
		}
		what := "empty"
		if v.Now.Volume > 0 {
			what = v.Now.Name() + ", " + h.vol(v.Now.Volume)
		}
		what += ": " + strings.TrimSuffix(k.Reason, ".") + ". Release: " + h.name(k.Releaser) + " only"
		if !k.Until.IsZero() {
			what += ", expected by " + h.when(k.Until)
		}
		if k.Tag != "" {
			what += "; tag " + k.Tag
		}
		h.out.Holds = append(h.out.Holds, sheet.Row{When: h.when(k.At), Where: string(v.Number), What: what + ".",
			Who: string(k.By)})
	}
}

// due lists the clocks up to the end of the coming shift, in two parts, overdue
// first. A not-before that has passed is no due: its vessel says "may". Loads
// stand in the yard, with the presses they wait for.
func (h *handover) due() {
	soon := h.now.Add(sheetSoon)
	h.out.Next.Until, h.out.Later.Until = h.when(soon), h.when(h.to)
	var over, next []sheet.Row
	for _, d := range h.s.Next(h.now) {
		if k, ok := h.s.ClockByID(d.Clock); ok && k.Kind == cellar.KindShift {
			continue
		}
		if len(d.Folded) > 0 {
			over = append(over, h.older(d))
			continue
		}
		if d.Clock == "" || d.At.After(h.to) || d.Kind == cellar.NotBefore && !h.now.Before(d.At) {
			continue
		}
		row := sheet.Row{When: h.when(d.At), Where: h.s.NameOf(d.Subject), What: h.dueWords(d), Who: string(d.Owner)}
		switch {
		case h.over(d.Kind, d.At):
			row.Over, row.Late = true, int(h.now.Sub(d.At).Minutes())
			over = append(over, row)
		case d.At.After(soon):
			h.out.Later.Rows = append(h.out.Later.Rows, row)
		default:
			next = append(next, row)
		}
	}
	h.out.Next.Rows = append(over, next...)
}

// olderNamed is how many of what is older the sheet names, the oldest first.
const olderNamed = 4

// older is the one row of what came due before this shift and the last.
func (h *handover) older(d cellar.Due) sheet.Row {
	var named []string
	for _, o := range d.Folded[:min(olderNamed, len(d.Folded))] {
		named = append(named, h.s.NameOf(o.Subject)+" "+o.Verb)
	}
	what := h.say("{count} OLDER: {named}", len(d.Folded), strings.Join(named, ", "))
	if n := len(d.Folded) - len(named); n > 0 {
		what = h.say("{older} and {count} more", what, n)
	}
	row := sheet.Row{When: h.when(d.At), What: what}
	if row.Over = d.Late(h.now); row.Over {
		row.Late = int(h.now.Sub(d.At).Minutes())
	}
	return row
}

// dueWords is what is due: its verb first, then what it is done to.
func (h *handover) dueWords(d cellar.Due) string {
	c, _ := h.s.ClockByID(d.Clock)
	text := strings.ToUpper(d.Verb) // a verb like "empty" must not read as a state
	switch {
	case c != nil && (c.Kind == cellar.KindPromise || c.Kind == cellar.KindCall):
		return text + h.because(c)
	case c != nil && c.Kind == cellar.KindBreak:
		text += " from break"
	case c != nil && c.Kind == cellar.KindClean:
		text += ", being cleaned"
	case c != nil && c.Kind == cellar.KindCooling:
		text = "forecast: at " + c.Object
	case d.Kind == cellar.NotBefore:
		text = "not before: " + text
	case d.Kind == cellar.NotAfter:
		text += " by then at the latest"
	}
	if on := h.content(d.Subject); on != "" {
		text += " (" + on + ")"
	}
	if d.AcknowledgedBy != "" {
		text += ", acknowledged by " + string(d.AcknowledgedBy)
	}
	return text
}

// because is what somebody said of a clock that they set, after a colon.
func (h *handover) because(c *cellar.AlarmClock) string {
	if c.Basis.Code != "" { // the program's own words say nothing of why
		return ""
	}
	return ": " + h.s.Words(c.Basis)
}

// content is what a vessel or a press holds, in a few words, or "".
func (h *handover) content(of subject.Ref) string {
	if v, ok := h.s.Vessel(cellar.TankNumber(of.Name)); ok && v.Ref() == of && v.Now.Volume > 0 {
		return v.Now.Name() + ", " + h.vol(v.Now.Volume)
	}
	if p, ok := h.s.Press(cellar.TankNumber(of.Name)); ok && p.Ref() == of && len(p.Parts) > 0 {
		return pressHolds(p) + h.pressMass(p)
	}
	return ""
}

func (h *handover) pressMass(p *cellar.Press) string {
	if m := p.Mass(); m > 0 {
		return " " + m.Load(h.sys)
	}
	return ""
}

// pressHolds names what is in a press, a variety that several loads share once:
// "0418+0419 Riesling".
func pressHolds(p *cellar.Press) string {
	if len(p.Parts) == 0 {
		return ""
	}
	var ids, out []string
	for i, x := range p.Parts {
		id := string(x.Load)
		if x.From != "" { // must: the press got it from a vessel
			id = "from " + string(x.From)
		}
		if n := len(ids); n == 0 || ids[n-1] != id {
			ids = append(ids, id)
		}
		if i+1 == len(p.Parts) || p.Parts[i+1].Variety != x.Variety {
			out = append(out, strings.Join(ids, "+")+" "+x.Variety)
			ids = nil
		}
	}
	return strings.Join(out, " + ")
}
