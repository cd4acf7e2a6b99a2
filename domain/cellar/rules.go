package cellar

import (
	"fmt"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

// trying is what a decision lays before the rules: only the parts that matter
// to what is being tried are set.
type trying struct {
	d        *decision
	out      *Vessel     // content leaves this vessel
	into     []inflowTry // content comes into these
	racking  bool        // the content is racked, from vessel to vessel
	blend    bool        // "blend" was said
	dose     *doseTry
	stage    Stage
	of       *Vessel // the vessel whose stage, dose or check it is
	check    *checkTry
	press    *Press
	main     Plate
	fraction Plate
}

type inflowTry struct {
	vessel  *Vessel
	volume  quantity.Volume
	kind    Substance
	from    string
	loads   []LoadID // what it is of
	field   string
	running bool // it has run in already; only the amount is still open
	lees    bool
}

type doseTry struct {
	product *Product
	active  quantity.Amount
	perHL   float64
	temp    *quantity.Celsius
	testAt  time.Time
	due     time.Time // by the card's row
	hasDue  bool
}

type checkTry struct {
	check   *Check
	verdict clarity.Verdict
}

// rules is the one table of what stands in the way. A rule is added here: its
// code, what it guards, and what it finds. Limits are the house's, see Limits;
// those without a source beside them are common practice, no source.
var rules = gate.Table[*trying]{
	{Code: "H02", Title: "clean destination", Find: findUnclean},
	{Code: "H05", Title: "juice tanks named before the press starts", Find: findUnnamed},
	{Code: "H06", Title: "working limit of a vessel", Find: findTooFull},
	{Code: "H07", Title: "double dose, dose maximum", Find: findDoubleDose},
	{Code: "H09", Title: "pectin gone before flotation or bentonite", Find: findPectin},
	{Code: "H10", Title: "a test result that is none", Find: findNoResult},
	{Code: "H11", Title: "racking onto another lot or a barred vessel", Find: findOtherLot},
	{Code: "H15", Title: "hold", Find: findHeld},
	{Code: "W09", Title: "too cold for the card", Find: findCold},
	{Code: "W10", Title: "enzyme apart from SO2 and bentonite", Find: findTooClose},
	{Code: "W21", Title: "looking earlier than the card says", Find: findEarly},
}

// Rules lists the rules with their titles, in the order they are asked.
func Rules() []struct {
	Code  gate.Code
	Title string
} {
	var out []struct {
		Code  gate.Code
		Title string
	}
	for _, r := range rules {
		out = append(out, struct {
			Code  gate.Code
			Title string
		}{r.Code, r.Title})
	}
	return out
}

// findUnclean is H02: grapes, must or press juice go only into a clean vessel
// or onto the open lot they belong to.
func findUnclean(t *trying) (out []gate.Finding) {
	if t.racking {
		return nil // racking has its own rule, H11
	}
	for _, in := range t.into {
		v := in.vessel
		g := v.Now.Stage
		if g == Clean || sameOpenLot(v, in) || in.running && !g.Empty() {
			continue
		}
		msg := fmt.Sprintf("%s is %s.", v.Plate, g)
		if !g.Empty() {
			msg = fmt.Sprintf("%s holds %s %s, closed.", v.Plate, v.Now.Volume.Text(t.d.s.House.Units), v.Now.Name())
		}
		out = append(out, gate.Finding{Field: in.field, Message: msg + " Clean vessel or the same open lot.", Right: gate.Lead, Reason: true})
	}
	return out
}

// sameOpenLot: a fraction or pallet vessel, and a tank that still fills, is one
// open lot until it is closed; and juice of the very loads that are in a vessel
// belongs to what is in it.
func sameOpenLot(v *Vessel, in inflowTry) bool {
	if v.Now.Stage.Empty() {
		return false
	}
	return v.Now.Open || v.Use == UseFraction || v.Use == UsePallet || v.Use == UseLees || v.Now.Source == in.from || sameLoads(v.Now.Parts, in.loads)
}

func sameLoads(parts []Part, loads []LoadID) bool {
	for _, p := range parts {
		if !slices.Contains(loads, p.Load) {
			return false
		}
	}
	return len(parts) > 0
}

// findUnnamed is H05: no programme starts without a tank for its juice and one
// for its press fraction. Hot must leaves no fraction apart.
func findUnnamed(t *trying) (out []gate.Finding) {
	if t.press == nil {
		return nil
	}
	if t.main == "" {
		out = append(out, gate.Finding{Field: "main", Message: "No tank is named for the juice of " + string(t.press.Plate) + ".", Right: gate.Lead, Reason: true})
	}
	if t.fraction == "" && t.press.Kind != HotMust {
		out = append(out, gate.Finding{Field: "fraction", Message: "No tank is named for the press fraction of " + string(t.press.Plate) + ".", Right: gate.Lead, Reason: true})
	}
	return out
}

// findTooFull is H06: after the move no vessel stands above its working limit;
// the lead may go to 98 % of the brim, nobody higher.
func findTooFull(t *trying) (out []gate.Finding) {
	lim := t.d.s.House.Limits
	for _, in := range t.into {
		v := in.vessel
		after := v.Now.Volume + in.volume
		if in.volume <= 0 || after <= v.Limit() {
			continue
		}
		f := gate.Finding{Field: in.field, Right: gate.Lead, Reason: true}
		f.Message = fmt.Sprintf("%s would hold %s, %s; its limit is %s (%.0f %%).", v.Plate, after.Text(t.d.s.House.Units),
			percent(after, v.Brim), v.Limit().Text(t.d.s.House.Units), v.LimitPct)
		if float64(after) > float64(v.Brim)*max(lim.MaxFillLead, v.LimitPct)/100 {
			f.Right = gate.Nobody
			f.Message += fmt.Sprintf(" Above %.0f %% nobody may fill it.", max(lim.MaxFillLead, v.LimitPct))
		}
		out = append(out, f)
	}
	return out
}

func percent(a, b quantity.Volume) string {
	return fmt.Sprintf("%d %%", int(float64(a)/float64(b)*100+0.5))
}

// findDoubleDose is H07. SO2 goes by the sum, for split doses are normal; other
// products by count and by the sum on the card.
func findDoubleDose(t *trying) (out []gate.Finding) {
	if t.dose == nil {
		return nil
	}
	v, p := t.of, t.dose.product
	last, sum := sameClass(t.d, v, p.Class)
	if last == nil && !overMax(p, 0, t) {
		return nil
	}
	if p.Class == SO2 {
		return findSO2(t, last, sum)
	}
	total := sum + t.dose.perHL
	switch {
	case overMax(p, sum, t):
		msg := fmt.Sprintf("The sum on %s would be %.1f g/hL; the card allows %s.", v.Plate, total, p.Card.Max)
		out = append(out, gate.Finding{Field: "rate", Message: msg + since(t.d.s, last), Right: gate.Lead, Second: true, Reason: true})
	case last != nil:
		msg := fmt.Sprintf("%s has had %s of %s already.", v.Plate, last.Amount.Text(t.d.s.House.Units), p.Class)
		out = append(out, gate.Finding{Field: "product", Message: msg + since(t.d.s, last), Right: gate.Lead, Second: true, Reason: true})
	}
	return out
}

func since(s *State, d *Dose) string {
	if d == nil {
		return ""
	}
	return fmt.Sprintf(" %s %s by %s at %s, %s.", d.Product, d.Amount.Text(s.House.Units), d.By, s.Clock(d.At), d.Rate)
}

func findSO2(t *trying, last *Dose, sum float64) []gate.Finding {
	if last == nil || t.d.at.Sub(last.At) > 24*time.Hour {
		return nil
	}
	s := t.d.s
	limit, err := s.House.Limits.SO2Max.To(quantity.GPerHL)
	msg := fmt.Sprintf("SO2 is in %s already: %s by %s at %s (%s).", t.of.Plate, last.Amount.Text(s.House.Units), last.By, s.Clock(last.At), last.Rate)
	if err == nil && sum+t.dose.perHL > limit.Value+1e-9 {
		return []gate.Finding{{Field: "rate", Right: gate.Lead, Second: true, Reason: true,
			Message: msg + fmt.Sprintf(" With this it would be %.1f g/hL; the house allows %.1f.", sum+t.dose.perHL, limit.Value)}}
	}
	return []gate.Finding{{Field: "rate", Right: gate.Anyone, Message: msg + " One more on purpose?"}}
}

// sameClass finds the last dose of the same family on this content since its
// last change, and the sum of all of them.
func sameClass(d *decision, v *Vessel, k Class) (last *Dose, sum float64) {
	for i := range v.Now.Doses {
		x := &v.Now.Doses[i]
		if x.Class.family() != k.family() {
			continue
		}
		sum += x.PerHL
		if !changedSince(d, v, x.At) {
			last = x
		}
	}
	return last, sum
}

// changedSince tells whether so much has run in since t that the content is no
// longer the one that was dosed.
func changedSince(d *decision, v *Vessel, t time.Time) bool {
	var came quantity.Volume
	for _, it := range v.Items {
		if it.In != nil && !it.Struck && it.At.After(t) {
			came += it.In.Volume
		}
	}
	return v.Now.Volume > 0 && float64(came) > d.s.House.Limits.SameJuice*float64(v.Now.Volume)
}

func overMax(p *Product, sum float64, t *trying) bool {
	if p.Card.Max.IsZero() {
		return false
	}
	unit := quantity.GPerHL
	if p.Liquid {
		unit = quantity.MLPerHL
	}
	m, err := p.Card.Max.To(unit)
	return err == nil && sum+t.dose.perHL > m.Value+1e-9
}

// findPectin is H09. Flotation lifts no juice that still holds pectin, and
// bentonite takes a working enzyme out (IFV, bentonite sheet; IGWS 2016).
func findPectin(t *trying) []gate.Finding {
	floats := t.stage == Flotation
	bentonite := t.dose != nil && t.dose.product.Class == Bentonite
	if !floats && !bentonite {
		return nil
	}
	v := t.of
	if v.Now.Kind == RedMust || v.Now.Kind == Wine {
		return nil
	}
	if !v.Now.PectinGone.IsZero() {
		return nil
	}
	why := "no clarity check of it stands"
	if n := len(v.Now.Checks); n > 0 {
		k := v.Now.Checks[n-1]
		why = fmt.Sprintf("the check of %s is %s", t.d.s.Clock(k.Started), k.Verdict)
		if k.Open() {
			why = fmt.Sprintf("the check of %s is not read yet", t.d.s.Clock(k.Started))
		} else if k.Verdict.OpensGate() {
			why = fmt.Sprintf("juice or enzyme came in after the check of %s", t.d.s.Clock(k.Started))
		}
	}
	what, field := "flotation", "stage"
	if bentonite {
		what, field = "bentonite", "product"
	}
	return []gate.Finding{{Field: field, Right: gate.Winemaker, Reason: true,
		Message: fmt.Sprintf("No %s on %s yet: %s. A valid negative is needed, sample clear beside a control that flocs.", what, v.Plate, why)}}
}

// findOtherLot is H11.
func findOtherLot(t *trying) (out []gate.Finding) {
	if !t.racking {
		return nil
	}
	for _, in := range t.into {
		v := in.vessel
		if v.Use == UseLees || in.lees && v.Use == UseLees {
			continue
		}
		msg := ""
		switch g := v.Now.Stage; {
		case v.Hold != nil:
			msg = fmt.Sprintf("%s is on hold: %s.", v.Plate, v.Hold.Reason)
		case g == OutOfUse || g == Cleaning || g == Dirty:
			msg = fmt.Sprintf("%s is %s.", v.Plate, g)
		case !g.Empty() && !sameOpenLot(v, in) && !t.blend:
			msg = fmt.Sprintf("%s holds %s %s. Say blend if that is meant.", v.Plate, v.Now.Volume.Text(t.d.s.House.Units), v.Now.Name())
		}
		if msg != "" {
			out = append(out, gate.Finding{Field: in.field, Message: msg, Right: gate.Lead, Reason: true})
		}
	}
	return out
}

// findHeld is H15: nothing leaves a vessel on hold.
func findHeld(t *trying) []gate.Finding {
	if t.out == nil || t.out.Hold == nil {
		return nil
	}
	h := t.out.Hold
	return []gate.Finding{{Field: "from", Right: gate.Releaser, Person: string(h.Releaser), Reason: true,
		Message: fmt.Sprintf("%s is on hold since %s by %s: %s. %s releases it.", t.out.Plate, t.d.s.Clock(h.At), h.By, h.Reason, h.Releaser)}}
}

// findCold is W09: below the card's floor, or below the house's slow limit
// without the longer row.
func findCold(t *trying) []gate.Finding {
	if t.dose == nil || !t.dose.product.HasClock() || t.dose.temp == nil {
		return nil
	}
	temp, card := *t.dose.temp, t.dose.product.Card
	row, on := card.RowFor(temp)
	switch {
	case temp < card.Floor:
		return []gate.Finding{{Field: "temp", Right: gate.Anyone,
			Message: fmt.Sprintf("%s is under the card's floor of %s: slow, do not trust the clock. Warm it.", temp.Text(t.d.s.House.Units), card.Floor.Text(t.d.s.House.Units))}}
	case !on:
		return []gate.Finding{{Field: "temp", Right: gate.Anyone,
			Message: fmt.Sprintf("%s stands on no row of the card: the clock is a forecast only.", temp.Text(t.d.s.House.Units))}}
	case temp < t.d.s.House.Limits.SlowBelow && !t.dose.testAt.IsZero() && t.dose.testAt.Before(t.d.at.Add(row.Wait.Duration())):
		return []gate.Finding{{Field: "test_at", Right: gate.Anyone,
			Message: fmt.Sprintf("%s is cold: the row says %s.", temp.Text(t.d.s.House.Units), row.Wait)}}
	}
	return nil
}

// findTooClose is W10: enzyme and SO2, or enzyme and bentonite, poured to poured.
func findTooClose(t *trying) (out []gate.Finding) {
	if t.dose == nil {
		return nil
	}
	k, gap := t.dose.product.Class, t.d.s.House.Limits.ApartFor.Duration()
	for _, x := range t.of.Now.Doses {
		other := x.Class
		clash := k.enzyme() && (other == SO2 || other == Bentonite) || other.enzyme() && (k == SO2 || k == Bentonite)
		n := t.d.at.Sub(x.At)
		if n < 0 {
			n = -n
		}
		if clash && n < gap && (x.Where == "" || x.Where == t.of.Plate) {
			out = append(out, gate.Finding{Field: "product", Right: gate.Anyone,
				Message: fmt.Sprintf("%s went in at %s, %s ago; enzyme and %s keep %s apart.", other, t.d.s.Clock(x.At), quantity.Span(n.Truncate(time.Minute)), notEnzyme(k, other), t.d.s.House.Limits.ApartFor)})
		}
	}
	return out
}

func notEnzyme(a, b Class) Class {
	if a.enzyme() {
		return b
	}
	return a
}

// findEarly is W21: a typed time for the test that comes before the card's row.
func findEarly(t *trying) []gate.Finding {
	if t.dose == nil || !t.dose.hasDue || t.dose.testAt.IsZero() || !t.dose.testAt.Before(t.dose.due) {
		return nil
	}
	return []gate.Finding{{Field: "test_at", Right: gate.Anyone,
		Message: fmt.Sprintf("The card's row ends at %s; a test at %s may come too early.", t.d.s.Clock(t.dose.due), t.d.s.Clock(t.dose.testAt))}}
}
