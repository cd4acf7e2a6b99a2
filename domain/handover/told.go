package handover

import (
	"cmp"
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// told is a line with its instant, for lists that come from several places.
type told struct {
	at time.Time
	sheet.Row
}

func inOrder(all []told) []sheet.Row {
	sort.SliceStable(all, func(i, j int) bool { return all[i].at.Before(all[j].at) })
	out := make([]sheet.Row, len(all))
	for i, x := range all {
		out[i] = x.Row
	}
	return out
}

// tell is a line of a template and its values.
func (h *handover) tell(at time.Time, where, who, template string, values ...any) told {
	return told{at, sheet.Row{When: h.when(at), Where: where, Who: who, What: h.say(template, values...)}}
}

// say makes a sentence of a template and its values, in the units and the zone of the house.
func (h *handover) say(template string, values ...any) string {
	return h.s.Words(text.Of(template, values...))
}

// happened lists what did not go by the plan in this shift, in the order of true
// time. Warnings that nobody ticked off stay, however old; an incident only where it is
// pinned.
func (h *handover) happened() {
	var all []told
	for _, n := range h.s.Notes {
		if n.What == cellar.NoteIncident && (h.within(n.At) || n.Pinned && !n.Done) ||
			n.What == cellar.NoteWarning && !n.Done {
			row := h.noteRow(n, "")
			if n.What == cellar.NoteWarning {
				row.What, row.Minor = "warning: "+row.What, true
			}
			all = append(all, told{n.At, row})
		}
	}
	all = h.aged(all, "incidents and warnings")
	for _, x := range h.s.Stopped {
		if h.within(x.At) {
			row := h.tell(x.At, h.s.NameOf(x.Subject), string(x.By), "near miss, stopped: {act}. {why}", x.What,
				x.Why.Seen())
			row.Minor = true // named under safety already
			all = append(all, row)
		}
	}
	for _, m := range h.s.Moves() {
		for _, leg := range m.Legs {
			if m.Meant != "" && m.Meant != leg.Vessel && h.within(m.At) {
				all = append(all, h.tell(m.At, string(leg.Vessel), string(m.By),
					"WRONG TANK: {volume} from {tank}, meant for {meant}.", leg.Volume, m.From, m.Meant))
			}
		}
	}
	for _, t := range h.tests() {
		if t.provesNothing() {
			row := h.tell(t.read.At, string(t.number), string(t.read.By),
				"test {verdict}: sample {sample}, control {control}. It proves nothing.{void}",
				t.verdict, orQuestion(string(t.sample)), orQuestion(string(t.control)), h.voidedBy(t))
			row.Minor = true // counted in the head already
			all = append(all, row)
		}
	}
	for _, a := range h.s.Answered {
		if a.Stop && a.Broken && h.within(a.At) {
			all = append(all, told{a.At, h.answerRow(a)})
		}
	}
	all = append(all, h.amissed()...)
	all = append(all, h.lives()...)
	all = append(all, h.mends()...)
	all = append(all, h.stands()...)
	h.out.Happened = inOrder(all)
}

// voidedBy says of a test what came in after its sample, and where its juice is now.
func (h *handover) voidedBy(t sheetTest) (says string) {
	if t.verdict != clarity.Void || t.read.At.After(t.begun.Begun.Void()) {
		return ""
	}
	says = " " + t.why
	for _, v := range h.s.AllVessels() {
		if b := v.Now.BroughtLast(); b != nil && b.In == t.number && b.Begun.Equal(t.begun.At) {
			says += " Its juice is in " + string(v.Number) + "."
		}
	}
	return says
}

// ended is a text with a full stop behind it.
func ended(s string) string { return strings.TrimSuffix(s, ".") + "." }

func orQuestion(s string) string {
	if s == "" {
		return "?"
	}
	return s
}

// amissed lists what does not add up, of this shift or by what was written in it.
func (h *handover) amissed() (out []told) {
	for _, x := range h.s.AllAmiss() {
		if h.within(x.At) || h.within(x.Written) {
			out = append(out, h.tell(x.At, string(x.Vessel), string(x.By), "DOES NOT ADD UP: {what}", x.Says))
		}
	}
	for _, x := range h.s.SinceSheet() {
		if !h.shift.Until.IsZero() && !h.within(x.Written) { // it is told in the shift that it was saved in
			continue
		}
		out = append(out, h.tell(x.Written, string(x.Vessel), string(x.By),
			"CHANGED SINCE YOUR SHEET of {sheets}: {what}",
			x.NameSheets(h.when), x.Say()))
	}
	return out
}

func (h *handover) mends() (out []told) {
	for _, m := range h.s.Mends {
		if !h.within(m.At) {
			continue
		}
		now := h.s.MendText(m.Field, m.Now)
		if now == "" {
			now = "taken back"
		}
		if m.Was == "" && m.Now == "" {
			x := h.tell(m.At, h.s.NameOf(m.Subject), string(m.By), "taken back, {entry} ({reason})", m.What, m.Reason)
			x.Minor = true
			out = append(out, x)
			continue
		}
		x := h.tell(m.At, h.s.NameOf(m.Subject), string(m.By), "corrected, {entry}, {field}: {was} -> {now} ({reason})",
			m.What, m.Field,
			h.s.MendText(m.Field, m.Was), now, m.Reason)
		x.Minor = true
		out = append(out, x)
	}
	return out
}

// stood is one standstill that began, ended and was explained alike on one press
// or several.
type stood struct {
	from, to time.Time
	why, by  string
}

// Stands lists the presses that stood in this shift and run again, each with
// its first reason; one power cut that stopped several is one line.
func (h *handover) stands() (out []told) {
	var order []stood
	on := map[stood][]cellar.TankNumber{}
	for _, p := range h.s.Presses() {
		for _, x := range h.standsOf(p) {
			if on[x] == nil {
				order = append(order, x)
			}
			on[x] = append(on[x], p.Number)
		}
	}
	for _, x := range order {
		row := h.tell(x.from, cellar.Spaced(on[x]), x.by, "stopped for {length}, until {time}: {reason}",
			quantity.Span(x.to.Sub(x.from)),
			h.when(x.to), x.why)
		row.Minor = true
		out = append(out, row)
	}
	return out
}

// standsOf reads the standstills of one press off its log, the only place that
// keeps both ends of them.
func (h *handover) standsOf(p *cellar.Press) (out []stood) {
	var x stood
	for _, e := range h.s.EventsOf(p.Ref()) {
		switch {
		case e.Halt == nil || e.TakenBack:
		case !e.Halt.GoesOn && x.from.IsZero():
			x = stood{from: e.At, why: e.Halt.Why}
		case e.Halt.GoesOn && !x.from.IsZero():
			if x.to, x.by = e.At, string(e.By); h.within(e.At) {
				out = append(out, x)
			}
			x = stood{}
		}
	}
	return out
}

// answered lists the stops that a named person lifted, and apart from them the
// warnings taken. A stop that was broken by what had happened already is no
// override; it stands among what happened.
func (h *handover) answered() {
	for _, a := range h.s.Answered {
		switch {
		case !h.within(a.At) || a.Stop && a.Broken:
		case a.Stop:
			h.out.Overrides = append(h.out.Overrides, h.answerRow(a))
		default:
			h.out.Taken = append(h.out.Taken, h.answerRow(a))
		}
	}
}

func (h *handover) answerRow(a cellar.Answered) sheet.Row {
	what := h.s.Words(a.Said.Seen())
	switch {
	case a.Broken:
		what = "done despite a stop: " + what
	case a.Reason != "":
		what += " Reason: " + a.Reason
	}
	if a.Second != "" {
		what = ended(what) + " Second person " + string(a.Second) + "."
	}
	if a.SavedBy != "" {
		what = ended(what) + " Saved by " + string(a.SavedBy) + "."
	}
	if a.ToConfirm {
		what = ended(what) + " LEAD TO CONFIRM."
	}
	return sheet.Row{When: h.when(a.At), Where: h.s.NameOf(a.Subject), What: what, Who: string(a.By)}
}

// The bounds of what counts as short (common practice, no source).
const (
	shortDoses  = 2                  // doses like the last that must be there
	nearExpires = 7 * 24 * time.Hour // how long before the end of its life a lot is named
)

// short lists the product lots that will give trouble in the coming shift: less in
// all than two doses like the last one, no container behind the open one, or a lot
// near the end of its life; and behind them those of which the open container alone
// runs low, for the next one must be fetched before the dose. A lot that was never
// used and is not opened is none.
func (h *handover) short() {
	last := h.lastDrawn()
	var fetch []sheet.Row
	for _, p := range h.s.InStore() {
		need, left := last[p.ID], p.Left()
		why := h.fewDoses(left, need)
		if p.Sealed == 0 && !p.Size.IsZero() {
			why = append(why, "the last container")
		}
		if days := p.Expires.Sub(h.now); !p.Expires.IsZero() && days < nearExpires && !left.IsZero() {
			word := "expires "
			if days <= 0 {
				word = "EXPIRED "
			}
			why = append(why, word+p.Expiry)
		}
		what := left.Stock(h.sys) + " left"
		if p.Sealed > 0 {
			what = h.say("{open} open and {n} x {size} sealed", p.Open.Stock(h.sys), p.Sealed, p.Size)
		}
		if p.Words() != "" {
			what = p.Words() + ": " + what
		}
		switch {
		case len(why) > 0:
			h.out.Short = append(h.out.Short, sheet.Row{Where: string(p.ID), What: what + ", " + strings.Join(why,
				", ")})
		case p.Sealed > 0 && len(h.fewDoses(p.Open, need)) > 0:
			fetch = append(fetch, sheet.Row{Where: string(p.ID), Minor: true, What: what + ", last dose " +
				need.Text(h.sys) + ": open the next in time"})
		}
	}
	h.out.Short = append(h.out.Short, fetch...)
}

// fewDoses says that an amount is less than two doses like the last one.
func (h *handover) fewDoses(there, need quantity.Amount) []string {
	switch {
	case need.IsZero() || !there.Sub(times(need, shortDoses)).Negative():
		return nil
	case there.Sub(need).Negative():
		return []string{"not one dose (" + need.Text(h.sys) + ")"}
	}
	return []string{"last dose " + need.Text(h.sys)}
}

func times(a quantity.Amount, n int) quantity.Amount {
	return quantity.Amount{Mass: a.Mass * quantity.Mass(n), Volume: a.Volume * quantity.Volume(n)}
}

// lastDrawn is what the last dose of each lot took out of the stock.
func (h *handover) lastDrawn() map[cellar.ProductID]quantity.Amount {
	out, at := map[cellar.ProductID]quantity.Amount{}, map[cellar.ProductID]time.Time{}
	for _, v := range h.s.AllVessels() {
		for _, it := range v.Account {
			if it.Dose == nil || it.TakenBack || it.At.Before(at[it.Dose.Product]) {
				continue
			}
			out[it.Dose.Product], at[it.Dose.Product] = it.Dose.Drawn, it.At
		}
	}
	return out
}

// sums adds the shift up. What is unexplained is added without its sign, so that
// two errors cannot hide each other.
func (h *handover) sums() {
	var in quantity.Mass
	for _, l := range h.s.Loads {
		if !l.Arrived.IsZero() && h.within(l.Arrived) && !l.Arrived.Equal(h.s.Opened) {
			in += l.Net
		}
	}
	var main, fraction, lees, sent, loss quantity.Volume
	doses := 0
	for _, v := range h.s.AllVessels() {
		for _, it := range v.Account {
			switch {
			case it.TakenBack || !h.within(it.At):
			case it.Dose != nil && !it.Dose.Counted:
				doses++
			case it.In != nil && it.In.Share == cellar.ShareMain:
				main += it.In.Volume
			case it.In != nil && it.In.Share == cellar.ShareFraction:
				fraction += it.In.Volume
			}
		}
	}
	for _, m := range h.s.Moves() {
		if !h.within(m.At) {
			continue
		}
		loss += m.Loss
		if m.Sent != nil {
			sent += m.Sent.Volume
		}
		for _, leg := range m.Legs {
			if leg.Lees || leg.Kind == stage.Lees {
				lees += leg.Volume
			}
		}
	}
	h.out.Sums = []sheet.Sum{{Name: "grapes in", Value: in.Load(h.sys)}, {Name: "free run", Value: h.vol(main)},
		{Name: "pressings", Value: h.vol(fraction)}, {Name: "lees", Value: h.vol(lees)}, {Name: "loss",
			Value: h.vol(loss)},
		{Name: "UNEXPLAINED", Value: h.vol(h.s.Unexplained(h.within))}, {Name: "additions", Value: fmt.Sprint(doses)},
		{Name: "tests", Value: fmt.Sprint(h.testsBegun())}}
	if sent > 0 {
		h.out.Sums = slices.Insert(h.out.Sums, 4, sheet.Sum{Name: "sent out", Value: h.vol(sent)})
	}
	_, open := h.plan()
	h.out.Sums = append(h.out.Sums, open...)
}

// testsBegun counts a test once, in the shift in which it was begun.
func (h *handover) testsBegun() (n int) {
	for _, t := range h.tests() {
		if h.within(t.begun.At) {
			n++
		}
	}
	return n
}

// promised lists the promises that stand and the calls to be made, by time.
func (h *handover) promised() {
	var all []told
	for _, n := range h.s.OpenNotes(subject.Ref{}) {
		if n.What == cellar.NotePromise {
			x := h.tell(n.Until, h.s.NameOf(n.Subject), n.For, "{promise} (promised to {person})", n.Text, n.By)
			x.Over = h.over(cellar.ActAt, n.Until)
			if x.Over {
				x.Late = int(h.now.Sub(n.Until).Minutes())
			}
			all = append(all, x)
		}
	}
	all = h.aged(all, "promises")
	for _, c := range h.s.Clocks() {
		if c.Kind == cellar.KindCall {
			all = append(all, h.tell(c.Due, h.s.NameOf(c.Subject), string(c.Owner), "call: {whom}", c.Says()))
		}
	}
	for _, o := range h.s.OpenOrders("", h.now) {
		all = append(all, h.tell(o.Until, cmp.Or(string(o.Vessel), "--"), string(o.Asks()), "ordered: {order}",
			o.Say()))
	}
	h.out.Promised = inOrder(all)
}

// plan are the sums against the plan for the sheet: all of them, and those that are
// not as booked by now.
func (h *handover) plan() (all []sheet.Booked, open []sheet.Sum) {
	for _, x := range h.s.Intakes(h.now) {
		b := sheet.Booked{Name: x.Name(), Loads: x.Count(), Mass: x.Weight(h.sys)}
		all = append(all, b)
		if x.Came < x.Due || x.Came > x.Booked || x.Over() {
			open = append(open, sheet.Sum{Name: b.Name, Value: b.Loads + ", " + b.Mass})
		}
	}
	return all, open
}
