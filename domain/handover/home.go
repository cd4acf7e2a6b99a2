package handover

import (
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/room"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
)

// noHome fills the block no other paper has: what will want a place or a word
// soon and has none. Whether two flows want one vessel is known only where
// somebody wrote it, for the facts hold no plans.
func (h *handover) noHome() {
	add := func(rows ...sheet.Row) { h.out.NoHome = append(h.out.NoHome, rows...) }
	for _, x := range room.Without(h.s) {
		add(sheet.Row{When: h.when(x.At), Where: string(x.Where()), What: room.Tell(h.s, x)})
	}
	for _, l := range h.s.Loads {
		if l.State == cellar.LoadWaiting && l.To == "" && l.Style == "" && l.Route == "" {
			add(sheet.Row{When: h.when(l.Arrived), Where: string(l.ID),
				What: h.say("{variety} {mass} waits: no press or tank named.", l.Variety, l.Net.Load(h.sys))})
		}
	}
	add(h.startedByItself()...)
	add(h.undecided()...)
	add(h.doubtfulDoses()...)
	var asked []told
	for _, n := range h.s.OpenNotes(subject.Ref{}) {
		if n.What == cellar.NoteQuestion {
			asked = append(asked, told{n.At, h.noteRow(n, "")})
		}
	}
	add(inOrder(h.aged(asked, "questions"))...)
}

// undecided is all juice that waits without a route, in one row, the warm first: the
// codes are the question.
func (h *handover) undecided() []sheet.Row {
	var warm, others []string
	for _, v := range h.s.Vessels() {
		if !h.noRoute(v) {
			continue
		}
		text := h.say("{tank} {variety} {volume}", v.Number, v.Now.Variety(), h.bare(v.Now.Volume))
		if _, is := h.s.WarmSince(v, h.now); is {
			warm = append(warm, text)
		} else {
			others = append(others, text)
		}
	}
	text := strings.Join(others, ", ")
	switch {
	case len(warm)+len(others) == 0:
		return nil
	case len(others) == 0:
		text = "WARM: " + strings.Join(warm, ", ")
	case len(warm) > 0:
		text = "WARM: " + strings.Join(warm, ", ") + "; others: " + text
	}
	return []sheet.Row{{Where: "clear?",
		What: "settle or float? Nobody has decided (" + h.out.Units.Volume + "). " + text + "."}}
}

// startedByItself is juice that may ferment already and nobody has said so.
func (h *handover) startedByItself() (out []sheet.Row) {
	for _, v := range h.s.Vessels() {
		if says := h.s.StartedSays(v); says != "" {
			out = append(out, sheet.Row{When: h.when(v.Now.DensityAt), Where: string(v.Number),
				What: v.Now.Name() + ", " + h.vol(v.Now.Volume) + ": " + says})
		}
	}
	return out
}

// noRoute reports whether a vessel holds product that waits for a decision.
func (h *handover) noRoute(v *cellar.Vessel) bool {
	k := v.Now.Kind
	return v.Use != stage.UseNotProduct && v.Use != stage.UseYeast && v.Use != stage.UseLees && k != stage.Wine &&
		k != stage.Yeast && k != stage.NoProduct && k != stage.Lees &&
		h.s.StandingOf(v, h.now).Route
}

// doubtfulDoses are doses that a correction has made doubtful.
func (h *handover) doubtfulDoses() (out []sheet.Row) {
	seen := map[cellar.Seq]bool{}
	for _, v := range h.s.Vessels() {
		for _, x := range v.Now.Doses {
			if x.LookAt != "" && !seen[x.Seq] {
				seen[x.Seq] = true
				out = append(out, sheet.Row{When: h.when(x.At), Where: string(v.Number), Who: string(x.By),
					What: h.say("check the dose again: {product} {amount} was {why}.", x.Product, x.Drawn,
						x.LookAt)})
			}
		}
	}
	return out
}

// floor lists the presses, each with what it does and when it is free.
func (h *handover) floor() {
	for _, p := range h.s.Presses() {
		row := sheet.Press{Number: string(p.Number), What: h.pressWords(p), Free: "?"}
		switch p.State {
		case cellar.PressReady:
			row.Free = "now"
		case cellar.PressRunning:
			at, _ := h.s.EmptyAt(p)
			row.Ends = h.when(p.End)
			row.Free = h.when(at.Add(p.Empty.Duration()))
		case cellar.PressEmptying:
			row.Free = h.when(p.Since.Add(p.Empty.Duration()))
		case cellar.PressFilling:
			for _, c := range h.s.ClocksOf(p.Ref()) {
				if c.Kind == cellar.KindFill {
					row.Ends = h.when(c.Due)
				}
			}
		}
		h.out.Presses = append(h.out.Presses, row)
	}
}

func (h *handover) pressWords(p *cellar.Press) string {
	words := string(p.State)
	if p.State == cellar.PressReady {
		return words + " since " + h.when(p.Since)
	}
	if p.Stands() { // why stands under safety
		words += ","
	}
	words += " " + pressHolds(p) + h.pressMass(p)
	switch {
	case p.State == cellar.PressEmptying:
	case !p.Started.IsZero():
		words += " to " + orUnnamed(p.Main)
		if p.Kind != stage.HotMust { // it leaves no fraction apart
			words += ", pressings " + orUnnamed(p.Fraction)
		}
		if at, waits := h.s.EmptyAt(p); !waits.IsZero() && p.State == cellar.PressRunning {
			words += h.say("; emptied from {time}: {why}", h.when(at), waits)
		}
	default:
		words += ", not started"
		if to := room.MainOf(h.s, p); to != "" { // what has none stands under no home
			words += ", to " + string(to)
		}
	}
	return words
}

// orUnnamed is a number, or that none is named.
func orUnnamed(p cellar.TankNumber) string {
	if p == "" {
		return "no tank"
	}
	return string(p)
}

// yard lists the loads that are not all in: waiting, running in, expected up to
// the end of the coming shift.
func (h *handover) yard() {
	loads := append([]*cellar.Load(nil), h.s.Loads...)
	sort.SliceStable(loads, func(i, j int) bool { return loadTime(loads[i]).Before(loadTime(loads[j])) })
	var old []*cellar.Load
	for _, l := range loads {
		if l.Overdue(h.now) {
			old = append(old, l)
			continue
		}
		row := sheet.Row{When: h.when(loadTime(l)), Where: string(l.ID), What: l.Variety}
		if l.Net > 0 {
			row.What += " " + l.Net.Load(h.sys)
		}
		row.Brief = row.What
		switch l.State {
		case cellar.LoadWaiting:
			row.What += ", waiting " + quantity.Span(l.Waits(h.now).Truncate(time.Minute)).String()
		case cellar.LoadTipping:
			if row.What += ", running in"; l.Arrived.IsZero() {
				row.What += ", no ticket yet"
			}
			if rest := l.Net - l.In; rest > 0 {
				row.What += ", " + rest.Load(h.sys) + " not yet begun"
			}
		case cellar.LoadExpected:
			if l.Booked.After(h.to) {
				continue
			}
			row.What += ", expected"
			row.Minor = l.Booked.Sub(h.now) > 2*time.Hour // after what is due next
			if late := l.Late(h.now); late > 0 {
				row.Over, row.Late, row.What = true, int(late.Minutes()), row.What+", not arrived"
			}
		default:
			continue
		}
		if l.To != "" {
			row.What += ", to " + l.To
		}
		if ahead := l.Ahead(); ahead != "" {
			row.What += "; " + ahead
		}
		h.out.Yard = append(h.out.Yard, row)
	}
	if len(old) > 0 {
		h.out.Yard = append(h.out.Yard, sheet.Row{When: h.when(old[0].Booked), Minor: true,
			What: h.say("{count} booked, not arrived for a day or more: cancel or book again", len(old))})
	}
}

// loadTime is when a load came, or is to come.
func loadTime(l *cellar.Load) time.Time {
	if !l.Arrived.IsZero() {
		return l.Arrived
	}
	if len(l.Fills) > 0 {
		return l.Fills[0].At
	}
	return l.Booked
}
