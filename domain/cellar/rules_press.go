package cellar

import (
	"cellar.example/mustwatch/domain/gate"
)

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
