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

// adds is what came from outside the vessels less what left them, by what is written:
// loss, presses, and what is unexplained.
func adds(s *cellar.State) (sum quantity.Volume) {
	for _, v := range s.Vessels() {
		for _, it := range v.Items() {
			if it.In == nil || it.Struck {
				continue
			}
			if _, vessel := s.Vessel(cellar.Plate(it.In.From)); !vessel {
				sum += it.In.Volume
			}
		}
	}
	for _, m := range s.Moves() {
		sum -= m.Loss + m.Unexplained
		for _, leg := range m.Legs {
			if leg.Press {
				sum -= leg.Volume
			}
		}
	}
	return sum
}

// TestVolumesAreConserved: whatever is moved, late or not, corrected, and whatever is
// staged in between, juice comes from somewhere and goes somewhere, to the millilitre.
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
			if _, err := h.try(c, h.now); err != nil {
				continue
			}
			sound(t, h.s)
			if have, want := h.s.Total(), adds(h.s); have != want {
				t.Fatalf("%s %+v: the vessels hold %s, by what was written %s", c.Do(), c, have, want)
			}
		}
	})
}
