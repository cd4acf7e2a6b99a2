package face

import (
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
)

// Asymmetry is why a clear tube is not believed by itself.
const Asymmetry = "flocs mean positive; clear counts only beside a control that flocs"

// Trail is how the checks of a content went, each with the time its alcohol went
// in: "20:30 large → 23:00 small → 04:30 clear, INVALID". More useful than the
// last word alone. Empty when none has been read.
func Trail(g Sight, v *cellar.Vessel) string {
	var out []string
	for _, k := range v.Now.Checks {
		if k.Sample == "" {
			continue
		}
		look := clarity.Trend([]clarity.Look{k.Sample})
		if k.Second == clarity.SecondFlocs {
			look += ", then flocs"
		}
		if k.Verdict != clarity.Positive && k.Verdict != clarity.Negative {
			look += ", " + string(k.Verdict)
		}
		out = append(out, Clock(k.Started, g.Now, g.State.Zone())+" "+look)
	}
	return strings.Join(out, " → ")
}
