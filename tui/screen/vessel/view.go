package vessel

import (
	"fmt"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
)

// twoColumnsFrom is the width from which the history stands beside the rest.
const twoColumnsFrom = 110

// View implements face.Face.
func (v *Vessel) View(g face.Sight, box layout.Box) []string {
	x, ok := g.State.Vessel(v.number)
	if !ok {
		return layout.Lines([]string{" There is no tank " + string(v.number) + "."}, box)
	}
	lot := v.lot(x, g)
	if box.W >= twoColumnsFrom {
		left := box.W / 2
		right := box.W - left - 1
		bar := make([]string, box.H)
		for i := range bar {
			bar[i] = g.Theme.Rule.Render("│")
		}
		a := v.window(v.page(g, lot, left), layout.Box{W: left, H: box.H})
		b := layout.Lines(history(g, lot, right, box.H), layout.Box{W: right, H: box.H})
		return layout.Beside(layout.Beside(a, bar, left, 1), b, left+1, right)
	}
	return v.window(append(v.page(g, lot, box.W), history(g, lot, box.W, mostHistory)...), box)
}

// window shows the lines from the top on and says when there are more.
func (v *Vessel) window(lines []string, box layout.Box) []string {
	v.lines = len(lines)
	v.top = max(0, min(v.top, v.lines-box.H))
	out := layout.Lines(lines[v.top:min(len(lines), v.top+box.H)], box)
	if v.top+box.H < len(lines) && box.H > 0 {
		out[box.H-1] = cell.Fit(fmt.Sprintf("   … %d more lines, down shows them", len(lines)-v.top-box.H+1), box.W)
	}
	return out
}

func title(g face.Sight, text string) string { return g.Theme.Band.Render(" " + text) }

// page is all that is told of a lot beside its log.
func (v *Vessel) page(g face.Sight, lot cellar.Lot, w int) []string {
	if lot.Past() {
		return append(pastHead(g, lot, w), past(g, lot, w)...)
	}
	return append(head(g, lot.Vessel, w), v.body(g, lot, w)...)
}

// pastHead says which lot this was, and from when to when.
func pastHead(g face.Sight, lot cellar.Lot, w int) []string {
	x := lot.Vessel
	out := []string{g.Theme.Title.Render(cell.Fit(fmt.Sprintf(" %s  %s, A LOT BEFORE", x.Number, x.Now.Name()), w))}
	says := g.Say("lot {lot}, until it was emptied {until}", x.Now.Lot, dated(g, lot.Until))
	if !lot.From.IsZero() {
		says = g.Say("lot {lot}, from when the tank was emptied {from}, until it was emptied again {until}", x.Now.Lot,
			dated(g, lot.From), dated(g, lot.Until))
	}
	out = append(out, told(says, w)...)
	out = append(out, told(g.Say("{volume} left it in the end, {stage}", face.Volume(&x.Now, g.Units()),
		x.Now.Stage), w)...)
	if c := &x.Now; !c.PectinGone.IsZero() {
		out = append(out, told(g.Say("pectin negative {time}", dated(g, c.PectinGone)), w)...)
	}
	return append(out, told("v goes back to what is in it now; p to the lot before this one", w)...)
}

// dated is an instant with its day, for what may be weeks ago.
func dated(g face.Sight, t time.Time) string { return t.In(g.State.Zone()).Format("Mon 2 Jan 15:04") }

// past is the body of a lot that has left.
func past(g face.Sight, lot cellar.Lot, w int) []string {
	x := lot.Vessel
	p := parts{w: w, g: g}
	p.add("COMPOSITION", shares(g, x))
	p.add("ADDED", doses(g, x))
	p.add("PECTIN TESTS", checks(g, lot))
	p.add("PAPER DROP, house method, no published limit", drops(g, x))
	p.add("READINGS", readings(g, lot))
	return p.out
}

// head is who this is, how full, in which stage, and the one thing that is next.
func head(g face.Sight, x *cellar.Vessel, w int) []string {
	c, s := &x.Now, g.State
	what := c.Name()
	if c.Stage.Empty() {
		what = string(c.Stage)
	}
	out := []string{g.Theme.Title.Render(cell.Fit(fmt.Sprintf(" %s  %s", x.Number, what), w))}
	size := fmt.Sprintf("%s of %s, %s; working limit %s (%.0f %%)", face.Volume(c, g.Units()), x.Brim.Text(g.Units()),
		face.Fill(x), x.Limit().Text(g.Units()), x.LimitPct)
	out = append(out, told(size, w)...)
	if from := face.Gauge(c, g.Now, g.Units()); from != "" {
		out = append(out, told("volume: "+from, w)...)
	}
	words := fmt.Sprintf("%s since %s", c.Stage, face.Clock(sinceOf(g, x), g.Now, s.Zone()))
	if not := c.NotYet(); not != "" {
		words += ", " + not
	}
	if c.Note != "" {
		words += ", " + c.Note
	}
	if r := s.RouteOf(x); r != "" {
		words += ", route: " + string(r)
	}
	if !c.PectinGone.IsZero() {
		words += ", pectin negative " + face.Clock(c.PectinGone, g.Now, s.Zone())
	}
	if until, ok := s.CleanUntil(x); ok && g.Now.After(until) {
		words += ", too long ago: rinse it again"
	} else if ok {
		words += ", counts as clean until " + face.Clock(until, g.Now, s.Zone())
	}
	out = append(out, told(words, w)...)
	if seen := c.Seen(); seen != "" {
		out = append(out, told("done: "+seen, w)...)
	}
	if st := s.StandingOf(x, g.Now); st.Text != "" && x.Hold == nil {
		for _, l := range told("next: "+face.Standing(st, g.Now, s.Zone()), w) {
			out = append(out, g.Theme.Strong.Render(l))
		}
	}
	if says := s.StartedSays(x); says != "" {
		for _, l := range cell.Wrap(" "+says, w-1) {
			out = append(out, g.Theme.Soon.Render(cell.Fit(l, w)))
		}
	}
	if h := x.Hold; h != nil {
		line := g.Say(" × ON HOLD since {time} by {who}: {reason}. {releaser} to release.", h.At, h.By,
			h.Reason, h.Releaser)
		for _, l := range cell.Wrap(line, w-1) {
			out = append(out, g.Theme.Held.Render(" "+l))
		}
	}
	return append(out, cautions(g, x, w)...)
}

// sinceOf is since when a vessel is in its stage. A contact counts from the last dose, or
// from the last untreated juice when that came later.
func sinceOf(g face.Sight, x *cellar.Vessel) time.Time {
	if k, ok := g.State.ContactOf(x, g.Now); ok && x.Now.Stage == stage.Contact {
		return k.Start
	}
	return x.Now.Since
}

// told breaks a sentence of the head into lines: a figure that is cut is another one.
func told(text string, w int) (out []string) {
	if cell.Width(text) < w {
		return []string{" " + text}
	}
	for i, l := range cell.Wrap(text, w-4) {
		lead := " "
		if i > 0 {
			lead = "   "
		}
		out = append(out, lead+l)
	}
	return out
}

// cautions are the lines of safety that fit what is in front of the reader.
func cautions(g face.Sight, x *cellar.Vessel, w int) []string {
	var out []string
	for _, text := range caution.Texts(append(g.State.CautionsOf(x), x.Now.Stage.Cautions()...)...) {
		for _, l := range cell.Wrap(text, w-2) { // never cut: the last word is the one that matters
			out = append(out, g.Theme.Soon.Render(cell.Fit(" "+l, w)))
		}
	}
	return out
}

// parts are the parts of a page, each under its name.
type parts struct {
	g   face.Sight
	w   int
	out []string
}

func (p *parts) add(name string, lines []string) {
	if len(lines) == 0 {
		return
	}
	p.out = append(p.out, "", title(p.g, name))
	for _, l := range lines {
		if cell.Width(l) <= p.w-3 { // columns stay under each other
			p.out = append(p.out, "  "+l)
			continue
		}
		for _, part := range cell.Hang(l, p.w-3, 2) {
			p.out = append(p.out, "  "+part)
		}
	}
}

func (v *Vessel) body(g face.Sight, lot cellar.Lot, w int) []string {
	x, p := lot.Vessel, parts{g: g, w: w}
	add := p.add
	add("DOES NOT ADD UP", g.State.Amiss(x))
	add("COMPOSITION", shares(g, x))
	add("ORDERED", orders(g, x))
	add("ADDED", doses(g, x))
	add("WHAT IT CAN DO NEXT", face.StepLines(g.State, x, g.Who, g.Now))
	add("CONTACT", contactLines(g, x))
	add("PECTIN TESTS", checks(g, lot))
	add("PAPER DROP, house method, no published limit", drops(g, x))
	add("COOLING", cooling(g, x))
	add("READINGS", readings(g, lot))
	add("CLOCKS", clocks(g, x))
	add("NOTES", notes(g, x))
	return p.out
}

// shares are the loads in it, greatest first, and the lots they came from.
func shares(g face.Sight, x *cellar.Vessel) []string {
	c := &x.Now
	if c.Volume == 0 {
		return nil
	}
	parts := append([]cellar.Part(nil), c.Parts...)
	sort.SliceStable(parts, func(i, j int) bool { return parts[i].Volume > parts[j].Volume })
	var out []string
	for _, p := range parts {
		out = append(out, fmt.Sprintf("%-16s %-20s %9s %6.1f %%", p.Load, p.Variety, p.Volume.Text(g.Units()),
			100*float64(p.Volume)/float64(c.Volume)))
	}
	out = append(out, "lot "+c.Lot)
	for _, p := range c.Parents {
		out = append(out, fmt.Sprintf("  from %s, lot %s, %s at %s", p.From, p.Lot, p.Volume.Text(g.Units()),
			face.Clock(p.At, g.Now, g.State.Zone())))
	}
	return out
}

// orders are what somebody has said is to be done with it.
func orders(g face.Sight, x *cellar.Vessel) []string {
	var out []string
	for _, o := range g.State.OpenOrders(x.Number, g.Now) {
		line := fmt.Sprintf("%s  %s: %s", face.Clock(o.At, g.Now, g.State.Zone()), o.From, g.State.Words(o.Say()))
		if !o.Until.IsZero() {
			line += ", by " + face.Clock(o.Until, g.Now, g.State.Zone())
		}
		out = append(out, line)
	}
	return out
}

// doses are the additions on this content, with the sum per product.
func doses(g face.Sight, x *cellar.Vessel) []string {
	var out []string
	sums, came := map[cellar.ProductID]float64{}, map[cellar.ProductID]bool{}
	poured, here := map[cellar.ProductID]quantity.Amount{}, map[cellar.ProductID]quantity.Amount{}
	var order []cellar.ProductID
	for _, d := range x.Now.Doses {
		where := ""
		if d.Where != "" && d.Where != x.Number {
			where = " (in " + string(d.Where) + ")"
		}
		line := fmt.Sprintf("%s  %-10s %-12s %-9s %s%s", face.Clock(d.At, g.Now, g.State.Zone()), d.Product, d.Rate,
			d.Here.Text(g.Units()), d.By, where)
		if d.Second != "" {
			line += "+" + string(d.Second)
		}
		if m := measured(d); d.Here != d.Amount { // the column has what of it is here
			line += ", of " + m.Text(g.Units())
		} else if m != d.Amount { // the column has what is active in it
			line += ", " + m.Text(g.Units()) + map[bool]string{true: " poured", false: " weighed"}[m.Liquid()]
		}
		if d.Number > 1 {
			line += fmt.Sprintf(", dose %d", d.Number)
		}
		if d.Reason != "" {
			line += ", " + d.Reason
		}
		if d.LookAt != "" {
			line += " ▲ look again: " + d.LookAt
		}
		out = append(out, line)
		if _, known := sums[d.Product]; !known {
			order = append(order, d.Product)
		}
		sums[d.Product] += d.PerHL
		poured[d.Product] = poured[d.Product].Add(measured(d))
		here[d.Product] = here[d.Product].Add(d.Got())
		came[d.Product] = came[d.Product] || d.Where != "" && d.Where != x.Number
	}
	for _, id := range order {
		got := "poured " + poured[id].Text(g.Units())
		if came[id] { // poured elsewhere, and only its share is here
			got = here[id].Text(g.Units()) + " of it is here"
		}
		out = append(out, fmt.Sprintf("sum    %-10s %s, %s", id, sumText(g, id, sums[id]), got))
	}
	return out
}

// measured is what was weighed or poured of a dose.
func measured(d cellar.Dose) quantity.Amount {
	if d.Drawn.IsZero() { // carried by an older journal
		return d.Amount
	}
	return d.Drawn
}

// sumText is what a content has had of a product, so much a volume, beside what
// the card allows, both in the unit of the card.
func sumText(g face.Sight, id cellar.ProductID, sum float64) string {
	p, ok := g.State.Product(id)
	rate := quantity.Rate{Value: sum, Unit: quantity.GPerHL}
	if ok {
		rate.Unit = p.SumUnit()
	}
	if ok && !p.Card.Max.IsZero() {
		if same, err := rate.To(p.Card.Max.Unit); err == nil {
			is, most := face.SumOf(same, p.Card.Max)
			return is + " of " + most
		}
	}
	if g.Units() == quantity.US {
		return rate.Text(quantity.US)
	}
	return face.Sum(sum) + " " + string(rate.Unit)
}

func contactLines(g face.Sight, x *cellar.Vessel) []string {
	k, ok := g.State.ContactOf(x, g.Now)
	if !ok {
		return nil
	}
	zone := g.State.Zone()
	out := []string{"from " + face.Clock(k.Start, g.Now, zone)}
	if k.Open {
		return []string{out[0] + ", no due time: juice still runs in, and contact counts from the last of it"}
	}
	out[0] += ", " + g.State.Words(k.Basis)
	if k.HasDue && k.OnCard {
		out[0] += ", label time up " + face.Clock(k.Due, g.Now, zone)
	} else if !k.Off.IsZero() {
		out[0] += ", " + cellar.VerbWords(cellar.CannotTell, "")
	}
	if k.Cold {
		out = append(out, "COLD: below the card's range. The enzyme is slow: do not trust the clock.")
	}
	if k.Hot {
		out = append(out, "HOT: above the card's range.")
	}
	line := g.Say("estimate: {share:%.0f} % of the contact time", 100*k.Progress)
	switch {
	case k.HasModel && (k.ModelDiffers() || !k.OnCard):
		line += ", forecast " + face.Clock(k.Model, g.Now, zone)
	case k.ModelWhy != "":
		line += ", no forecast: " + string(k.ModelWhy)
	}
	return append(out, line+". The clock says when to test; the test decides.")
}

// cooling is when the vessel meets the temperature it is taken to.
func cooling(g face.Sight, x *cellar.Vessel) []string {
	k, ok := g.State.CoolingOf(x)
	if !ok {
		return nil
	}
	out := []string{g.Say("from {temp} to {target}: {energy:%.0f} kWh", face.Temp(&x.Now, g.Units()), k.Target,
		k.Energy.KWh())}
	if !k.ByPower.IsZero() {
		out[0] += g.Say(", at the jacket's {power:%.0f} kW by {time}", float64(k.Power), k.ByPower)
	}
	if !k.ByJacket.IsZero() {
		out = append(out, g.Say("by its jacket, {ua:%g} kW/K and coolant of {coolant}: {time}", x.UA, x.Coolant,
			k.ByJacket))
	}
	if !k.ByFit.IsZero() {
		curve := "a curve towards the coolant"
		if k.Curve.Straight {
			curve = "a line"
		}
		out = append(out, g.Say("by {curve} through {count} readings: {time}", curve, k.Fitted, k.ByFit))
	}
	return out
}

// clockOf puts instants as the cellar says them.
func clockOf(g face.Sight) func(time.Time) string {
	return func(t time.Time) string { return face.Clock(t, g.Now, g.State.Zone()) }
}

// readings are the last ones of a lot, newest first.
func readings(g face.Sight, lot cellar.Lot) []string {
	var out []string
	for it := range lot.Vessel.Latest {
		if len(out) == 8 || !it.At.After(lot.From) {
			break
		}
		if it.Reading == nil || !lot.Holds(it.At) {
			continue
		}
		line := fmt.Sprintf("%s  %s · %s", face.Clock(it.At, g.Now, g.State.Zone()), it.Reading.Say(g.Units()), it.By)
		if x := it.Reading.Turbidity; x != nil {
			line += "  " + g.State.House.Limits.Band(*x)
		}
		if it.TakenBack {
			line += "  taken back"
		}
		for _, m := range it.Mended {
			line += fmt.Sprintf("  (was %s: %s, %s)", g.State.MendText(m.Field, m.Was), m.Reason, m.By)
		}
		out = append(out, line)
	}
	return out
}

func clocks(g face.Sight, x *cellar.Vessel) []string {
	var out []string
	for _, k := range g.State.ClocksOf(x.Ref()) {
		word := map[cellar.DueKind]string{cellar.ActAt: "at", cellar.NotBefore: "from",
			cellar.NotAfter: "by"}[k.DueKind]
		line := fmt.Sprintf("%s %s %s", k.Says(), word, face.Clock(k.Due, g.Now, g.State.Zone()))
		if over := k.Overdue(g.Now); over > 0 {
			line += ", " + face.Late(over)
		}
		if !k.Basis.IsZero() {
			line += ", " + g.State.Words(k.Basis)
		}
		if text := k.RemindedText(); text != "" {
			line += ", " + text
		}
		if k.AcknowledgedBy != "" {
			line += g.Say(", acknowledged by {who} {time}", k.AcknowledgedBy, k.AcknowledgedAt)
		}
		out = append(out, line)
	}
	return out
}

func notes(g face.Sight, x *cellar.Vessel) []string {
	var out []string
	for _, n := range g.State.OpenNotes(x.Ref()) {
		line := fmt.Sprintf("%s  %s: %s  %s", face.Clock(n.At, g.Now, g.State.Zone()), n.What, n.Text, n.By)
		if n.For != "" {
			line += ", for " + n.For
		}
		out = append(out, line)
	}
	return out
}

// mostHistory is more lines than anybody pages through.
const mostHistory = 1000

// history is what was saved about a lot, newest first, as far as it fits.
func history(g face.Sight, lot cellar.Lot, w, most int) []string {
	out := []string{title(g, "LOG OF THIS LOT (newest first)")}
	if w < twoColumnsFrom/2 {
		out = append([]string{""}, out...)
	}
	for e := range g.State.LatestOf(lot.Vessel.Ref()) {
		if len(out) >= most || !e.At.After(lot.From) {
			break
		}
		if !lot.Holds(e.At) {
			continue
		}
		stamp := face.Clock(e.At, g.Now, g.State.Zone())
		if e.Written.Sub(e.At) > oldWriting {
			stamp += " (saved " + face.Clock(e.Written, g.Now, g.State.Zone()) + ")"
		}
		lead := fmt.Sprintf("  %s  %-3s ", stamp, e.By)
		for j, l := range cell.Wrap(face.Written(e), max(20, w-cell.Width(lead)-1)) {
			if j > 0 {
				lead = cell.Blank(cell.Width(lead))
			}
			out = append(out, lead+l)
		}
	}
	return out
}

// oldWriting is when the time of writing is worth showing beside the true one.
const oldWriting = 10 * 60 * 1e9
