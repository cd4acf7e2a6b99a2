package face

import (
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/text"
)

// StepLines puts the next steps of a vessel into words: "yes" or the one reason
// why not. Where somebody is in it nothing else is said.
func StepLines(s *cellar.State, v *cellar.Vessel, by cellar.Initials, now time.Time) []string {
	if said := s.InhabitedSays(v.Number, now); said != nil {
		return said // whatever else stands of it, that comes first and alone
	}
	if v.Now.Stage.Empty() {
		return []string{text.Of("{tank} is {stage}.", v.Number, v.Now.Stage).In(s)}
	}
	var out []string
	for _, st := range s.Steps(v, by, now) {
		switch {
		case st.May && st.Why != "" && st.Rule != "":
			out = append(out, step(st.Verb, text.Of("yes, but it asks: {why}", st.Why).In(s)))
		case st.May && st.Why != "":
			out = append(out, step(st.Verb, text.Of("yes, {why}", st.Why).In(s)))
		case st.May:
			out = append(out, step(st.Verb, "yes"))
		case st.Rule != "":
			out = append(out, step(st.Verb, text.Of("no, {rule}: {why}", st.Rule, st.Why).In(s)))
		default:
			out = append(out, step(st.Verb, text.Of("not yet: {why}", st.Why).In(s)))
		}
	}
	return out
}

func step(verb, says string) string { return fmt.Sprintf("%-14s %s", verb, says) }
