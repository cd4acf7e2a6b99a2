package handover

import (
	"cmp"
	"fmt"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
)

// back fills the tables behind the front page, each in the order of true time.
// The tank table is filled with the front's.
func (h *handover) back() {
	b := &h.out.Back
	b.Additions, b.Tests, b.Moves = h.additions(), h.testTable(), h.moves()
	b.Corrections = inOrder(h.mends())
	b.Alarms = h.alarmSums()
	b.Plan, _ = h.plan()
	var notes []told
	for _, n := range h.s.Notes {
		if n.What == cellar.NoteInfo && (h.within(n.At) || n.Pinned && !n.Done) {
			row := h.noteRow(n, "")
			if n.Done {
				row.What += " Done."
			}
			notes = append(notes, told{n.At, row})
		}
	}
	notes = h.aged(notes, "pinned notes")
	for _, o := range h.s.Orders {
		if h.within(o.At) {
			row := h.tell(o.At, cmp.Or(string(o.Vessel), "cellar"), string(o.By), "order from {person}: {order}",
				o.From, o.Say())
			if o.Done {
				row.What += "; " + h.s.Words(o.How) + " " + h.when(o.Ended)
			}
			notes = append(notes, row)
		}
	}
	b.Notes = inOrder(notes)
	var clock []told
	for _, x := range h.s.Time.Lines {
		if h.within(x.At) {
			clock = append(clock, h.tell(x.At, "clock", string(x.By), "{text}", x.Text))
		}
	}
	b.Clock = inOrder(clock)
}

func (h *handover) additions() []sheet.Addition {
	type line struct {
		at time.Time
		x  sheet.Addition
	}
	var all []line
	for _, v := range h.s.AllVessels() {
		for _, it := range v.Account {
			d := it.Dose
			if d == nil || it.TakenBack || d.Counted || !h.within(it.At) {
				continue
			}
			by := string(it.By)
			if d.Second != "" {
				by += "+" + string(d.Second)
			}
			basis := h.vol(d.Treated)
			if d.OnMass > 0 {
				basis = d.OnMass.Load(h.sys) + " grapes"
			}
			all = append(all, line{it.At, sheet.Addition{When: h.when(it.At), Where: string(v.Number),
				Product: string(d.Product),
				Rate:    d.Rate.Text(h.sys), Basis: basis, Weighed: d.Drawn.Text(h.sys), Number: ordinal(d.Number),
				By: by}})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].at.Before(all[j].at) })
	out := make([]sheet.Addition, len(all))
	for i, l := range all {
		out[i] = l.x
	}
	return out
}

// ordinal is the number of a dose of its class on one juice.
func ordinal(n int) string {
	if n <= 0 {
		return ""
	}
	return fmt.Sprint(n)
}

// testTable is the clarity checks and, among them, the paper drops that support
// them.
func (h *handover) testTable() []sheet.Test {
	type line struct {
		at time.Time
		x  sheet.Test
	}
	var all []line
	for _, t := range h.tests() {
		x := sheet.Test{When: h.when(t.begun.At), Where: string(t.number), Recipe: t.begun.Begun.Recipe.ID,
			Sample:  string(t.sample),
			Control: string(t.control), Verdict: string(t.verdict), By: string(t.begun.By)}
		if t.second != "" {
			x.Sample += ", then " + string(t.second)
		}
		if t.read == nil {
			x.Verdict = "not read"
		} else if t.read.By != t.begun.By {
			x.By += "/" + string(t.read.By)
		}
		all = append(all, line{t.begun.At, x})
	}
	for _, v := range h.s.AllVessels() {
		for _, it := range v.Account {
			if it.Drop == nil || it.TakenBack || !h.within(it.At) {
				continue
			}
			p := *it.Drop
			control := string(p.Beside)
			p.Beside = ""
			all = append(all, line{it.At, sheet.Test{When: h.when(it.At), Where: string(v.Number),
				Recipe: "paper, " + p.Method.Say(),
				Sample: p.Say(), Control: control, Verdict: "supports", By: string(it.By), Paper: true}})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].at.Before(all[j].at) })
	out := make([]sheet.Test, len(all))
	for i, l := range all {
		out[i] = l.x
	}
	return out
}

func (h *handover) moves() []sheet.Move {
	all := h.s.Moves()
	sort.SliceStable(all, func(i, j int) bool { return all[i].At.Before(all[j].At) })
	var out []sheet.Move
	for _, m := range all {
		if !h.within(m.At) {
			continue
		}
		var lees quantity.Volume
		to := ""
		for _, leg := range m.Legs {
			if leg.Lees {
				lees += leg.Volume
				to += h.say(" (lees {tank})", leg.Vessel)
				continue
			}
			if to != "" {
				to += ", "
			}
			to += fmt.Sprintf("%s %s", leg.Vessel, h.bare(leg.Volume))
		}
		if m.Sent != nil {
			to += map[bool]string{true: ", "}[to != ""] + h.s.Words(m.Sent.Say())
		}
		if m.Meant != "" {
			to += ", meant " + string(m.Meant)
		}
		out = append(out, sheet.Move{When: h.when(m.At), Where: string(m.From), To: to, Lees: h.bare(lees),
			Loss:        h.bare(m.Loss),
			Unexplained: h.bare(m.Unexplained), By: string(m.By)})
	}
	return out
}

// alarmSums are the figures of the shift's alarms: whether there were too many
// to be answered, and how long they waited.
func (h *handover) alarmSums() []sheet.Sum {
	to := h.ends()
	if to.After(h.now) {
		to = h.now
	}
	f := h.s.AlarmFigures(h.from, to)
	length := func(d time.Duration) string {
		if d < time.Minute {
			return "1 min" // within it, and 0 min reads as if nobody had waited
		}
		return quantity.Span(d.Truncate(time.Minute)).String()
	}
	if f.Alarms == 0 {
		return []sheet.Sum{{Name: "rang", Value: "0"}}
	}
	out := []sheet.Sum{{Name: "rang", Value: h.say("{n}, {rate:%.1f} per hour", f.Alarms, f.PerHour)}}
	if f.Taken > 0 {
		out = append(out, sheet.Sum{Name: "half of them answered within", Value: length(f.Median)})
	}
	if f.Longest > 0 {
		out = append(out, sheet.Sum{Name: "longest wait", Value: length(f.Longest) + " (" + f.On + ")"})
	}
	return append(out, sheet.Sum{Name: h.say("alarm bursts ({n} within {length})", cellar.FloodOf,
		quantity.Span(cellar.FloodWithin)), Value: fmt.Sprint(f.Floods)}, sheet.Sum{Name: "snoozed",
		Value: fmt.Sprint(f.Reminded)},
		sheet.Sum{Name: "not answered", Value: fmt.Sprint(f.Open)})
}
