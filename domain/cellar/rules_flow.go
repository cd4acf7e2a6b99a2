package cellar

import (
	"fmt"
	"slices"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
)

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
