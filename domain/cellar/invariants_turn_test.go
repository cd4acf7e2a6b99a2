package cellar_test

import (
	"cmp"
	"errors"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
)

// 1, of one minute: two things that were so at one time, saved in either order, are the
// same cellar once it is said which was first, or where nobody is asked.
func TestInvariantTurn(t *testing.T) {
	asked := 0
	rapid.Check(t, func(t *rapid.T) {
		h, night := drawNight(t)
		first, second := turnCommand(t, h), turnCommand(t, h)
		if oneWeighing(h.s, first, second) {
			return
		}
		at := h.now.Truncate(time.Minute)
		if len(night) > 0 && rapid.Bool().Draw(t, "beside others") {
			at = night[rapid.IntRange(0, len(night)-1).Draw(t, "beside")].At.Truncate(time.Minute)
		}
		var out [2]*cellar.State
		for i := range out {
			s := replayed(t, night)
			s.Seq = h.s.Seq // the numbers go on as they did
			order := []cellar.Command{first, second}
			if i == 1 {
				order = []cellar.Command{second, first}
			}
			partner := cellar.Seq(0)
			for n, c := range order {
				// Of what stood before, both were after; of each other as they were drawn.
				seq, ok := saveInTurn(t, s, c, at, h.now.Add(time.Duration(n+1)*time.Minute), partner, i == 1, &asked)
				if !ok {
					return
				}
				partner = seq
			}
			out[i] = s
		}
		if got, want := inNoOrder(out[1]), inNoOrder(out[0]); !slices.Equal(got, want) {
			t.Fatalf("differs:\n%s\n%s", onlyIn(" got", got, want), onlyIn("want", want, got))
		}
	})
	if asked == 0 {
		t.Fatal("nothing was asked")
	}
}

// doubt is by how much a volume may be out: two moves round it to a microlitre.
var doubt = regexp.MustCompile(`, least sure \{[^}]*\}`)

// inNoOrder is what stands of a cellar, with what is of one minute in no order.
func inNoOrder(s *cellar.State) []string {
	all := strings.Split(doubt.ReplaceAllString(strings.ReplaceAll(standing(s), ",\n", "\n"), ""), "\n")
	slices.Sort(all)
	return all
}

// onlyIn are the lines of one cellar that another has fewer of.
func onlyIn(name string, lines, others []string) string {
	left := map[string]int{}
	for _, l := range others {
		left[l]++
	}
	out := name
	for _, l := range lines {
		if left[l]--; left[l] < 0 {
			out += "\n  " + l
		}
	}
	return out
}

// oneWeighing reports whether two doses could be what was weighed once: the one that is saved
// first is, whichever was first.
func oneWeighing(s *cellar.State, a, b cellar.Command) bool {
	x, ok := a.(*cellar.GiveDose)
	y, too := b.(*cellar.GiveDose)
	return ok && too && x.Vessel == y.Vessel && x.Product == y.Product &&
		slices.ContainsFunc(s.WeighedFor(x.Vessel), func(w *cellar.Weighed) bool { return w.Product == x.Product })
}

// turnCommand draws a command of a move, a dose, a sample or a stage.
func turnCommand(t *rapid.T, h *house) cellar.Command {
	for {
		c := flowCommand(t, h)
		switch c := c.(type) {
		case *cellar.Move, *cellar.StartCheck, *cellar.SetStage:
			return c
		case *cellar.GiveDose:
			// To its rounding, what was poured counts as what its rate asked for of what its vessel held
			// when it was typed: that has no order. It is drawn as more than the rounding.
			c.Amount.Volume += c.Amount.Volume / 4
			return c
		}
	}
}

// saveInTurn saves a command of a past time and answers which was first.
func saveInTurn(t *rapid.T, s *cellar.State, c cellar.Command, at, now time.Time, partner cellar.Seq, before bool,
	asked *int) (cellar.Seq, bool) {
	text, _ := cellar.FormatLine(c)
	c, err := cellar.ParseLine(text)
	if err != nil {
		t.Fatal(err)
	}
	head := cellar.HeadOf(c)
	head.At = at
	for range 9 {
		facts, err := cellar.Decide(s, c, now)
		var no *cellar.Rejection
		if errors.As(err, &no) && no.Code == cellar.WhichFirst {
			*asked++
			if partner != 0 && no.With >= partner && before {
				head.Before = no.With
			} else {
				head.After = max(head.After, no.With)
			}
			continue
		}
		if err != nil {
			return 0, false
		}
		if drawn := *head; partner != 0 && head.Before == 0 && head.After < partner {
			if drawn.After = partner; before {
				drawn.Before, drawn.After = partner, head.After
			}
			if !canBeSaid(s, c, drawn, now) {
				return 0, false // it was inferred, for it cannot be said as drawn
			}
		}
		first := s.Seq + 1
		stood := cmp.Or(partner, first) - 1
		for _, r := range cellar.Records(c, facts, now, "test") {
			if r.Turn != 0 && r.Turn < int(stood)<<16 {
				// It cannot have been after what stood, as drawn: so it is before the other too, if that was saved
				// before it, for that is after what stood at other places by where it was saved.
				return 0, false
			}
			r.Seq = s.Seq + 1
			cellar.Apply(s, r)
		}
		return first, true
	}
	return 0, false
}

// canBeSaid reports whether a command is not refused with a head, which it keeps not.
func canBeSaid(s *cellar.State, c cellar.Command, with cellar.Head, now time.Time) bool {
	head := cellar.HeadOf(c)
	was := *head
	defer func() { *head = was }()
	*head = with
	var no *cellar.Rejection
	_, err := cellar.Decide(s, c, now)
	return err == nil || errors.As(err, &no) && no.Code == cellar.WhichFirst
}
