package cellar

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// readAhead is how long before the first volume a reading still belongs to it.
const readAhead = 30 * time.Minute

// flowIn takes juice, must or lees into the content.
func (c *Content) flowIn(number TankNumber, it *Item) {
	in := it.In
	was, fresh := c.Volume, c.Stage.Empty()
	var own []contact.Reading
	if fresh {
		was := *c
		*c = Content{Stage: stage.Filling, Since: it.At, Lot: fmt.Sprintf("%s/%d", number, it.Seq), Kind: in.Kind,
			Title: in.Title, CleanSince: was.CleanSince}
		if it.At.Sub(was.TempAt) < readAhead { // read as the first juice came, before its volume was written
			c.Last, c.TempAt, c.Looked = was.Last, was.TempAt, was.Looked
			own = was.Temps.Since(it.At.Add(-readAhead))
		}
	} else if in.Kind != "" && c.Kind != in.Kind && was < in.Volume {
		c.Kind = in.Kind
	}
	c.Volume += in.Volume
	c.Came += in.Volume
	c.Parts = mergeParts(c.Parts, in.Parts)
	if in.FromLot != "" && in.Volume > 0 {
		c.Parents = append(c.Parents[:len(c.Parents):len(c.Parents)], Parent{Lot: in.FromLot, From: in.From.Name,
			Volume: in.Volume, At: it.At})
	}
	c.Doses = blendDoses(c.Doses, in.Doses, c.Volume, was == 0)
	if fresh {
		c.Temps, c.PectinGone = in.Temps.joined(own), in.NegAt
		if t := c.Temps; t != nil {
			c.Last.Temp, c.TempAt, c.TempCalc = &t.T, t.At, in.TempCalc
		}
	} else if in.Volume > 0 {
		c.PectinGone = earlierGone(c.PectinGone, in.NegAt)
		if in.Kind == stage.HotMust { // pumped onto other must: neither reading is the mixture's
			c.Last.Temp, c.TempAt, c.TempCalc = nil, time.Time{}, false
		}
		c.balanceHeat(it, was)
	}
	if in.Brought != nil && in.Volume > 0 {
		brought := *in.Brought
		brought.At = it.At
		c.Brought = &brought
	}
	if in.Volume > 0 {
		c.cameIn, c.cameSeq = it.At, it.Seq
	}
	if fresh {
		c.contactHere, c.calledOff, c.Timers = Contacted(in.Doses), in.CalledOff, in.Timers
	}
	if in.LastIn.After(c.LastIn) && in.Volume > 0 {
		c.LastIn, c.lastInSeq = in.LastIn, in.lastInSeq
	}
	if in.Untreated && in.Volume > 0 {
		c.LastIn, c.lastInSeq = it.At, it.Seq
		if Contacted(c.Doses) { // whatever was due is due again
			c.ends(KindLook)
		}
	}
	if in.Tested {
		c.Tested = it.At
	}
	switch {
	case in.Opens:
		c.fillsFrom(in.From)
		if Contacted(c.Doses) && c.PectinGone.IsZero() {
			c.ends(KindLook)
		}
		if in.Stage == "" && c.Stage != stage.Contact && c.Stage != stage.CheckDue {
			c.Stage, c.Since = stage.Filling, sinceIf(c.Stage == stage.Filling, c.Since, it.At)
		}
	case in.Closes:
		if c.ends(KindTip); c.lastOf(in) {
			c.closed(it)
		}
	}
	if in.Stage != "" {
		c.Stage, c.Since = in.Stage, sinceIf(c.Stage == in.Stage, c.Since, it.At)
	}
}

func sinceIf(same bool, was, now time.Time) time.Time {
	if same {
		return was
	}
	return now
}

// earlierGone: a blend counts as free of pectin only when both sides were.
func earlierGone(a, b time.Time) time.Time {
	if a.IsZero() || b.IsZero() {
		return time.Time{}
	}
	if b.After(a) {
		return b
	}
	return a
}

// flowOut takes volume out, each load by its share.
func (c *Content) flowOut(it *Item) {
	out := it.Out
	c.Volume -= out.Volume
	if c.Volume <= 0 || out.Empties {
		*c = Content{Stage: stage.Dirty, Since: it.At}
		return
	}
	c.Parts = slices.DeleteFunc(slices.Clone(out.Left), func(p Part) bool { return p.Volume == 0 })
	c.Doses = spread(out.Doses, c.Volume)
}

// splitParts takes a volume out of a content, each load by its share, whole
// millilitres by the largest remainder, so that the sum is exact.
func splitParts(parts []Part, take quantity.Volume) []Part {
	var total quantity.Volume
	for _, p := range parts {
		total += p.Volume
	}
	weights := make([]int64, len(parts))
	for i, p := range parts {
		weights[i] = int64(p.Volume)
	}
	if total == 0 && len(weights) > 0 {
		weights[0], total = 1, 1
	}
	shares := largestRemainder(int64(take/quantity.Millilitre), weights, int64(total))
	out := make([]Part, len(parts))
	for i, p := range parts {
		out[i] = Part{Load: p.Load, Variety: p.Variety, Volume: quantity.Volume(shares[i]) * quantity.Millilitre}
	}
	return out
}

// largestRemainder splits n by weights into whole numbers that add up to n.
func largestRemainder(n int64, weights []int64, total int64) []int64 {
	out := make([]int64, len(weights))
	if total <= 0 || len(weights) == 0 {
		return out
	}
	type rest struct {
		i int
		r float64
	}
	rests := make([]rest, len(weights))
	left := n
	for i, w := range weights {
		exact := float64(n) * float64(w) / float64(total)
		out[i] = int64(exact)
		rests[i] = rest{i, exact - float64(out[i])}
		left -= out[i]
	}
	sort.SliceStable(rests, func(a, b int) bool { return rests[a].r > rests[b].r })
	for k := 0; left > 0; k, left = k+1, left-1 {
		out[rests[k%len(rests)].i]++
	}
	return out
}

// mergeParts adds parts load by load.
func mergeParts(a, b []Part) []Part {
	out := append([]Part(nil), a...)
	for _, p := range b {
		found := false
		for i := range out {
			if out[i].Load == p.Load && out[i].Variety == p.Variety {
				out[i].Volume += p.Volume
				found = true
				break
			}
		}
		if !found && p.Volume != 0 {
			out = append(out, p)
		}
	}
	return out
}

// balanceHeat gives a mixture the temperature at which the heat of both sides is in it,
// by their volumes: juices and musts hold nearly the same heat a litre, and the few per
// cent between them are less than a reading is out by (common practice, no source).
// Where either was never read nothing is known of the mixture.
func (c *Content) balanceHeat(it *Item, was quantity.Volume) {
	in := it.In
	if was <= 0 || c.Last.Temp == nil || in.Temps == nil {
		return
	}
	own, come := float64(*c.Last.Temp)*float64(was), float64(in.Temps.T)*float64(in.Volume)
	mixed := quantity.Celsius(math.Round((own+come)/float64(was+in.Volume)*10) / 10)
	if mixed == *c.Last.Temp {
		return
	}
	c.Temps = c.Temps.and(contact.Reading{At: it.At, T: mixed})
	c.Last.Temp, c.TempAt, c.TempCalc = &mixed, it.At, true
}

// TempText is the temperature of a content as it is shown, "?" where nobody knows it. One
// that nobody has read is marked, and told to the degree.
func (c *Content) TempText(sys quantity.System) string {
	if c.Last.Temp == nil {
		return "?"
	}
	if !c.TempCalc {
		return c.Last.Temp.Text(sys)
	}
	half := quantity.Celsius(0.5)
	if sys == quantity.US {
		half /= 1.8
	}
	figure, unit, _ := strings.Cut((*c.Last.Temp + half).Text(sys), " ")
	whole, _, _ := strings.Cut(figure, ".")
	return "~" + whole + " " + unit
}
