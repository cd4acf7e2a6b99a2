package cellar

import (
	"fmt"

	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/gate"
)

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

// findNoResult is H10: read before its time, after void, or a clear sample
// without a control. A late or unproved reading is kept, but opens no gate.
func findNoResult(t *trying) []gate.Finding {
	if t.check == nil {
		return nil
	}
	k := t.check.check
	read, void := k.Started.Add(k.Recipe.ReadAt.Duration()), k.Started.Add(k.Recipe.VoidAfter.Duration())
	s := t.d.s
	switch t.check.verdict {
	case clarity.Early:
		return []gate.Finding{{Field: "sample", Right: gate.Nobody,
			Message: fmt.Sprintf("Too early: the tubes are read at %s.", s.Clock(read))}}
	case clarity.Void:
		return []gate.Finding{{Field: "sample", Right: gate.Anyone,
			Message: fmt.Sprintf("Void since %s, protein falls out by then. It is kept but opens no gate: test again.", s.Clock(void))}}
	case clarity.NoProof:
		return []gate.Finding{{Field: "control", Right: gate.Anyone,
			Message: "A clear sample proves nothing without a control that flocs. It is kept but opens no gate."}}
	}
	return nil
}
