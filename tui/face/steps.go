package face

import (
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/cellar"
)

// StepLines puts the next steps of a vessel into words: "yes" or the one reason
// why not. Where somebody is in it nothing else is said.
func StepLines(s *cellar.State, v *cellar.Vessel, by cellar.Initials, now time.Time) []string {
	if said := s.InhabitedSays(v.Number, now); said != nil {
		return said // whatever else stands of it, that comes first and alone
	}
	if v.Now.Stage.Empty() {
		return []string{fmt.Sprintf("%s is %s.", v.Number, v.Now.Stage)}
	}
	var out []string
	for _, st := range s.Steps(v, by, now) {
		switch {
		case st.May && st.Why != "":
			out = append(out, fmt.Sprintf("%-14s yes, %s", st.Verb, st.Why))
		case st.May:
			out = append(out, fmt.Sprintf("%-14s yes", st.Verb))
		case st.Rule != "":
			out = append(out, fmt.Sprintf("%-14s no, %s: %s", st.Verb, st.Rule, st.Why))
		default:
			out = append(out, fmt.Sprintf("%-14s not yet: %s", st.Verb, st.Why))
		}
	}
	return out
}
