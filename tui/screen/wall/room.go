package wall

import (
	"fmt"
	"strings"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
)

// entryLine is the standing caution, as large words and a sentence. It never
// says that anybody may go in: a permit is for one vessel and one person, and
// everybody else reads NO ENTRY.
func entryLine(g face.Sight, brief bool) (large, says string) {
	e := g.State.Entry(g.Now)
	if large, says = "NO ENTRY", g.State.Words(e.Line()); brief && e.NoPermit() {
		says = g.State.Words(e.Head())
	}
	if len(e.In) > 0 {
		large = spell(fmt.Sprintf("%s IN %s", e.In[0].Who, e.In[0].Place))
	}
	return large, says
}

// gasLine is what the readings in the rooms say, with meters and ages, in w
// cells. Where that is too long, what must not be cut off goes first: the worst
// air and that everybody leaves, then the age.
func gasLine(g face.Sight, w int) string {
	says := face.GasLine(g.State, g.Now)
	if says == "" {
		return "no gas reading saved"
	}
	if cell.Width(says) <= w {
		return says
	}
	r, leave := cellar.GasReading{}, ""
	if bad := face.BadAir(g.State, g.Now); len(bad) > 0 {
		r, leave = bad[0], strings.TrimSuffix(caution.BadGas.Text(), ".")+": "
	} else {
		r, _ = g.State.LastGas()
	}
	for _, try := range []string{
		fmt.Sprintf("%sgas %s %s: %s", leave, r.Where(), face.Ago(r.At, g.Now), r.Text()),
		fmt.Sprintf("%sgas %s %s: %s", leave, r.Where(), face.Ago(r.At, g.Now), r.Air()),
		fmt.Sprintf("%s%s %s: %s", leave, r.Where(), face.Ago(r.At, g.Now), r.Air()),
	} {
		if says = try; cell.Width(says) <= w {
			break
		}
	}
	return says
}

// holds are the numbers on hold: in large letters, and as a sentence of at most
// w cells.
func holds(g face.Sight, w int) (large, says string) {
	var numbers, told []string
	for _, v := range g.State.Vessels() {
		if h := v.Hold; h != nil {
			numbers = append(numbers, string(v.Number))
			one := fmt.Sprintf("%s, %s to release", v.Number, h.Releaser)
			if !h.Until.IsZero() {
				one += " by " + face.Clock(h.Until, g.Now, g.State.Zone())
			}
			told = append(told, one)
		}
	}
	switch {
	case len(numbers) == 0:
		return "", "nothing is on hold"
	case len(numbers) <= 2:
		large = "HOLD " + spell(strings.Join(numbers, " "))
	default:
		large = fmt.Sprintf("HOLD %s +%d", spell(numbers[0]), len(numbers)-1)
	}
	for _, try := range []string{"× on hold: " + strings.Join(told, "; "), "× HOLD " + strings.Join(numbers, " "),
		fmt.Sprintf("× HOLD %d tanks", len(numbers))} {
		if says = try; len([]rune(try)) <= w {
			break
		}
	}
	return large, says
}
