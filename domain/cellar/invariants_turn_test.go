package cellar_test

import (
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
		if got, want := inNoOrder(out[1]), inNoOrder(out[0]); got != want {
			t.Fatalf("differs:\n%s", firstDifference(got, want))
		}
	})
	if asked == 0 {
		t.Fatal("nothing was asked")
	}
}

// doubt is by how much a volume may be out: two moves round it to a microlitre.
var doubt = regexp.MustCompile(`, least sure \{[^}]*\}`)

// inNoOrder is what stands of a cellar, with what is of one minute in no order.
func inNoOrder(s *cellar.State) string {
	all := strings.Split(doubt.ReplaceAllString(strings.ReplaceAll(standing(s), ",\n", "\n"), ""), "\n")
	slices.Sort(all)
	return strings.Join(all, "\n")
}

// turnCommand draws a command of a move, a dose, a sample or a stage.
func turnCommand(t *rapid.T, h *house) cellar.Command {
	for {
		c := flowCommand(t, h)
		switch c.(type) {
		case *cellar.Move, *cellar.GiveDose, *cellar.StartCheck, *cellar.SetStage:
			return c
		}
	}
}

// saveInTurn saves a command of a past time and answers which was first.
func saveInTurn(t *rapid.T, s *cellar.State, c cellar.Command, at, now time.Time, partner cellar.Seq, before bool, asked *int) (cellar.Seq, bool) {
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
		first := s.Seq + 1
		for _, r := range cellar.Records(c, facts, now, "test") {
			r.Seq = s.Seq + 1
			cellar.Apply(s, r)
		}
		return first, true
	}
	return 0, false
}
