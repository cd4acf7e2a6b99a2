package cellar

import (
	"fmt"
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/sheet"
)

// noHome fills the block no other paper has: what will want a place or a word
// soon and has none. Whether two flows want one vessel is known only where
// somebody wrote it, for the facts hold no plans.
func (h *handover) noHome() {
	add := func(rows ...sheet.Row) { h.out.NoHome = append(h.out.NoHome, rows...) }
	if rows := h.fractions(); len(rows) > 0 {
		add(rows...)
		add(sheet.Row{What: h.cleanSmall()})
	}
	add(h.sharedFractions()...)
	for _, l := range h.s.Loads {
		if l.State == LoadWaiting && l.To == "" && l.Route == "" {
			add(sheet.Row{When: h.when(l.Arrived), Where: string(l.ID), What: fmt.Sprintf("%s %s waits: no press or vessel named.", l.Variety, l.Net.Load(h.sys))})
		}
	}
	add(h.startedByItself()...)
	add(h.undecided()...)
	add(h.doubtfulDoses()...)
	for _, n := range h.s.OpenNotes("") {
		if n.What == NoteQuestion {
			add(h.noteRow(n, ""))
		}
	}
	settle, free := 0, 0
	for _, v := range h.s.Vessels() {
		if v.Use == UseSettle {
			settle++
			if v.Now.Stage == Clean && v.Hold == nil {
				free++
			}
		}
	}
	if settle > 0 && free == 0 {
		add(sheet.Row{What: "NO SETTLING TANK FREE."})
	}
}

// homelessAhead is how far ahead the board looks for what has no tank.
const homelessAhead = 2 * time.Hour

// Homeless says which press fractions of the next two hours have no tank, and
// which have one that is too small for what will come: one sentence each, as it
// stands on the sheet.
func (s *State) Homeless(now time.Time) (out []string) {
	h := s.newHandover(now)
	for _, r := range append(h.fractions(), h.sharedFractions()...) {
		if p := s.presses[Plate(r.Where)]; p != nil && !p.Started.IsZero() && p.End.Sub(now) > homelessAhead {
			continue
		}
		text := r.Where + " " + r.What
		if r.When != "" {
			text = r.Where + " " + r.When + " " + r.What
		}
		out = append(out, text)
	}
	return out
}

// fractions lists the presses whose press fraction has no tank. Hot must leaves
// none apart (rule H05).
func (h *handover) fractions() (out []sheet.Row) {
	for _, p := range h.s.Presses() {
		if p.Fraction != "" || p.Kind == HotMust || len(p.Parts) == 0 || p.State == PressReady || p.State == PressEmptying {
			continue
		}
		started := !p.Started.IsZero()
		comes, known := h.expects(p)
		about := "of unknown volume"
		if known {
			about = "about " + h.vol(comes)
		}
		row := sheet.Row{Where: string(p.Plate), What: "press fraction " + about + ": no tank named."}
		switch {
		case started:
			row.When = h.when(p.End)
		case h.mainOf(p) == "":
			row.What = "main juice and " + row.What
		}
		row.What += h.takers(p)
		out = append(out, row)
	}
	return out
}

// expects is the press fraction that a press has still to give, by the house's
// hectolitres a tonne.
func (h *handover) expects(p *Press) (quantity.Volume, bool) {
	v, _, known := h.s.PressFraction(p)
	return max(v-p.FracOut, 0), known
}

// mainOf is the vessel a press runs into: named, or filling from it already.
func (h *handover) mainOf(p *Press) Plate {
	if p.Main != "" {
		return p.Main
	}
	for _, v := range h.s.Vessels() {
		if v.Now.Open && v.Now.Source == string(p.Plate) {
			return v.Plate
		}
	}
	return ""
}

// room is what a vessel still takes up to its working limit.
func room(v *Vessel) quantity.Volume { return max(v.Limit()-v.Now.Volume, 0) }

// takers names the small vessels with the grapes of a press and room left.
func (h *handover) takers(p *Press) string {
	var same []string
	for _, v := range h.s.Vessels() {
		g := v.Now.Stage
		if v.Use != UseFraction && v.Use != UsePallet || v.Hold != nil || g.Empty() || g == Fermenting || g == Stored || room(v) == 0 {
			continue
		}
		if v.Now.Variety() == p.Parts[0].Variety {
			same = append(same, h.takes(v))
		}
	}
	if len(same) == 0 {
		return ""
	}
	return " Same grapes: " + strings.Join(same, ", ") + "."
}

// cleanSmall names the clean vessels that a press fraction could go to, last those on
// which something of the house's cleaning list is not seen to.
func (h *handover) cleanSmall() string {
	var clean, look []string
	for _, v := range h.s.Vessels() {
		if (v.Use == UseFraction || v.Use == UsePallet) && v.Hold == nil && v.Now.Stage == Clean {
			if not := v.Now.NotYet(); not != "" {
				look = append(look, h.takes(v)+" ("+not+")")
				continue
			}
			clean = append(clean, h.takes(v))
		}
	}
	clean = append(clean, look...)
	if len(clean) == 0 {
		return "No small tank is clean."
	}
	return "Small tanks clean: " + strings.Join(clean, ", ") + "."
}

// takes is a vessel with its room: "401 takes 9.0 hL".
func (h *handover) takes(v *Vessel) string { return string(v.Plate) + " takes " + h.vol(room(v)) }

// sharedFractions lists the fraction tanks that cannot take all that the presses
// named for them have still to give, together.
func (h *handover) sharedFractions() (out []sheet.Row) {
	comes, from, ends := map[Plate]quantity.Volume{}, map[Plate][]Plate{}, map[Plate]time.Time{}
	for _, p := range h.s.Presses() {
		if p.Fraction == "" || p.Started.IsZero() || p.State == PressReady || p.State == PressEmptying {
			continue
		}
		v, ok := h.expects(p)
		if !ok || v == 0 {
			continue
		}
		comes[p.Fraction] += v
		from[p.Fraction] = append(from[p.Fraction], p.Plate)
		if e := ends[p.Fraction]; e.IsZero() || p.End.Before(e) {
			ends[p.Fraction] = p.End
		}
	}
	for _, v := range h.s.Vessels() {
		if n := comes[v.Plate]; n > room(v) {
			out = append(out, sheet.Row{When: h.when(ends[v.Plate]), Where: string(v.Plate),
				What: fmt.Sprintf("takes %s more to its limit; press fraction of %s is about %s.", h.vol(room(v)), plates(from[v.Plate]), h.vol(n))})
		}
	}
	return out
}

// undecided is all juice that waits without a route, on one line: the codes are
// the question.
func (h *handover) undecided() []sheet.Row {
	var all []string
	for _, v := range h.s.Vessels() {
		if !h.noRoute(v) {
			continue
		}
		text := fmt.Sprintf("%s %s %s", v.Plate, v.Now.Variety(), h.bare(v.Now.Volume))
		if _, warm := h.s.WarmSince(v, h.now); warm {
			text += " WARM"
		}
		all = append(all, text)
	}
	if len(all) == 0 {
		return nil
	}
	return []sheet.Row{{What: "No route decided, " + h.out.Units.Volume + ": " + strings.Join(all, "; ") + "."}}
}

// startedByItself is juice that may ferment already and nobody has said so.
func (h *handover) startedByItself() (out []sheet.Row) {
	for _, v := range h.s.Vessels() {
		if says := h.s.StartedSays(v); says != "" {
			out = append(out, sheet.Row{When: h.when(v.Now.DensityAt), Where: string(v.Plate), What: v.Now.Name() + ", " + h.vol(v.Now.Volume) + ": " + says})
		}
	}
	return out
}

// noRoute tells whether a vessel holds product that waits for a decision.
func (h *handover) noRoute(v *Vessel) bool {
	k := v.Now.Kind
	return v.Use != UseNotProduct && v.Use != UseYeast && v.Use != UseLees && k != Wine && k != Yeast && k != NoProduct && k != Lees &&
		h.s.StandingOf(v, h.now).Text == NoRoute
}

// doubtfulDoses are doses that a correction has made doubtful.
func (h *handover) doubtfulDoses() (out []sheet.Row) {
	seen := map[Seq]bool{}
	for _, v := range h.s.Vessels() {
		for _, x := range v.Now.Doses {
			if x.LookAt != "" && !seen[x.Seq] {
				seen[x.Seq] = true
				out = append(out, sheet.Row{When: h.when(x.At), Where: string(v.Plate), Who: string(x.By),
					What: fmt.Sprintf("look at the dose again: %s %s was %s.", x.Product, x.Drawn.Text(h.sys), x.LookAt)})
			}
		}
	}
	return out
}

// floor lists the presses, each with what it does and when it is free.
func (h *handover) floor() {
	for _, p := range h.s.Presses() {
		row := sheet.Press{Plate: string(p.Plate), What: h.pressWords(p), Free: "?"}
		switch p.State {
		case PressReady:
			row.Free = "now"
		case PressRunning:
			at, _ := h.s.EmptyAt(p)
			row.Ends = h.when(p.End)
			row.Free = h.when(at.Add(p.Empty.Duration()))
		case PressEmptying:
			row.Free = h.when(p.Since.Add(p.Empty.Duration()))
		case PressFilling:
			for _, c := range h.s.ClocksOf(string(p.Plate)) {
				if c.Kind == KindFill {
					row.Ends = h.when(c.Due)
				}
			}
		}
		h.out.Presses = append(h.out.Presses, row)
	}
}

func (h *handover) pressWords(p *Press) string {
	words := string(p.State)
	switch p.State {
	case PressReady:
		return words + " since " + h.when(p.Since)
	case PressStopped, PressLocked:
		words += ", " + p.Why + ","
	}
	words += " " + pressHolds(p) + h.pressMass(p)
	switch {
	case p.State == PressEmptying:
	case !p.Started.IsZero():
		words += fmt.Sprintf(": to %s, fraction %s", orUnnamed(p.Main), orUnnamed(p.Fraction))
		if at, waits := h.s.EmptyAt(p); waits != "" && p.State == PressRunning {
			words += fmt.Sprintf("; emptied from %s: %s", h.when(at), waits)
		}
	default:
		words += ", not started: to " + orUnnamed(h.mainOf(p))
	}
	return words
}

// orUnnamed is a plate, or that none is named. What leaves no fraction has none
// to be named either.
func orUnnamed(p Plate) string {
	if p == "" {
		return "none"
	}
	return string(p)
}

// yard lists the loads that are not all in: waiting, running in, expected up to
// the end of the coming shift.
func (h *handover) yard() {
	loads := append([]*Load(nil), h.s.Loads...)
	sort.SliceStable(loads, func(i, j int) bool { return loadTime(loads[i]).Before(loadTime(loads[j])) })
	for _, l := range loads {
		row := sheet.Row{When: h.when(loadTime(l)), Where: string(l.ID), What: l.Variety}
		if l.Net > 0 {
			row.What += " " + l.Net.Load(h.sys)
		}
		switch l.State {
		case LoadWaiting:
			row.What += ", waiting " + quantity.Span(l.Waits(h.now).Truncate(time.Minute)).String()
		case LoadTipping:
			row.What += ", running in"
			if rest := l.Net - l.In; rest > 0 {
				row.What += ", " + rest.Load(h.sys) + " not yet begun"
			}
		case LoadExpected:
			if l.Booked.After(h.to) {
				continue
			}
			row.What += ", expected"
			row.Minor = l.Booked.Sub(h.now) > 2*time.Hour // after what is due next
			if late := l.Late(h.now); late > 0 {
				row.Over, row.Late, row.What = true, int(late.Minutes()), row.What+", not seen"
			}
		default:
			continue
		}
		if l.To != "" {
			row.What += ", to " + l.To
		}
		if l.Route != "" {
			row.What += "; route " + l.Route
		}
		h.out.Yard = append(h.out.Yard, row)
	}
}

// loadTime is when a load came, or is to come.
func loadTime(l *Load) time.Time {
	if !l.Arrived.IsZero() {
		return l.Arrived
	}
	return l.Booked
}
