package cellar_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
)

// anyMove draws moves to several vessels, with lees and loss, late, twice to the
// same, of more than there is.
func anyMove(t *rapid.T, h *house) *cellar.Move {
	plate := func(name string) cellar.Plate {
		return pick[cellar.Plate](t, name, "101", "102", "103", "201", "206", "401", "701")
	}
	c := &cellar.Move{Head: cellar.Head{By: "MA", Happened: rapid.Bool().Draw(t, "happened")}, From: plate("from"), Part: rapid.Bool().Draw(t, "part"), Blend: true}
	if rapid.IntRange(0, 2).Draw(t, "late") == 0 {
		c.At = h.now.Add(-time.Duration(rapid.IntRange(1, 300).Draw(t, "back")) * time.Minute)
	}
	for range rapid.IntRange(1, 3).Draw(t, "legs") {
		c.To = append(c.To, cellar.Portion{Vessel: plate("to"), Volume: hl(t, 120)})
	}
	if rapid.Bool().Draw(t, "lees") {
		c.Lees = &cellar.Portion{Vessel: "701", Volume: hl(t, 20) - 5*quantity.Hectolitre}
	}
	c.Loss = quantity.Volume(rapid.IntRange(-1, 3).Draw(t, "loss")) * quantity.Hectolitre
	if v, _ := h.s.Vessel(c.From); !c.Part {
		c.To[0].Volume += v.Now.Volume - c.Sum()
	}
	return c
}

// gained is what facts say that the vessels hold more or less by; ok is false for
// a correction, which says that it was another volume all along.
func gained(facts []cellar.Fact) (sum quantity.Volume, ok bool) {
	for _, f := range facts {
		switch f := f.(type) {
		case *cellar.Moved:
			sum -= f.Loss + f.Unexplained
		case *cellar.Corrected:
			return 0, false
		}
	}
	return sum, true
}

// TestVolumesAreConserved: whatever is moved, late or not, and whatever is staged
// in between, juice comes from somewhere and goes somewhere.
func TestVolumesAreConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := openHouse(t)
		for range rapid.IntRange(3, 25).Draw(t, "length") {
			h.now = h.now.Add(time.Duration(rapid.IntRange(1, 60).Draw(t, "step")) * time.Minute)
			var c cellar.Command = anyMove(t, h)
			switch rapid.IntRange(0, 3).Draw(t, "what") {
			case 0:
				c = anyCommand(t, h)
			case 1:
				c = &cellar.SetStage{Head: cellar.Head{By: "MA"}, Vessel: pick[cellar.Plate](t, "stage of", "101", "102", "103", "201"), Stage: pick(t, "empty", cellar.Cleaning, cellar.Clean, cellar.Dirty)}
			}
			before := h.s.Total()
			facts, err := h.try(c, h.now)
			if err != nil {
				continue
			}
			sound(t, h.s)
			by, ok := gained(facts)
			off := h.s.Total() - before - by
			if late := !cellar.HeadOf(c).At.IsZero(); late && max(off, -off) <= 2*quantity.Hectolitre {
				off = 0 // what a stick does not show, on either side of a later move
			}
			if ok && off != 0 {
				t.Fatalf("%s %+v: %s became %s, by what was written %s", c.Do(), c, before, h.s.Total(), before+by)
			}
		}
	})
}
