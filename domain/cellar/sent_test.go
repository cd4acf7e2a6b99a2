package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/show"
	"cellar.example/mustwatch/domain/subject"
)

const (
	tanker = `20:00 NS {"do":"move","from":"101","out":{"as":"tanker","volume":"60 hL","to":"plate K 41"},"part":true,` +
		`"answers":[{"rule":"D20"}]}`
	allOut = `{"do":"move","from":"101","out":{"as":"tanker","volume":"200 hL"}`
)

// Item 12 of the nights: what leaves the house has its own word and place, and is no loss.
func TestWhatLeavesTheHouseIsNoLoss(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL"}`, tanker)
	require.Equal(t, 140.0, holds(t, h, "101").Volume.HL())
	d := show.Cellar(h.s, h.now)
	addsUp(t, d)
	require.Equal(t, int64(6_000_000), d.Total.Sent)
	require.Equal(t, int64(6_000_000), d.Total.Out)
	require.Zero(t, d.Loss)
	require.InDelta(t, 180, d.Given[0].Sent, 1e-9, "its share of 600 g")

	out := handover.Sheet(h.s, h.now, sheet.Mark{})
	require.Equal(t, "60.0 hL loaded on a tanker (plate K 41)", out.Back.Moves[0].To)
	require.Contains(t, fmt.Sprint(out.Sums), "{sent out 60.0 hL}")
}

// All of a tank can leave without a word on its balance, and what guards any move guards
// this one: a hold, contact, somebody inside.
func TestTheRulesOnWhatLeavesTheHouse(t *testing.T) {
	for _, c := range []struct{ name, given, says, rule string }{
		{"W15 does not speak", "", allOut, ""},
		{"a hold", held, allOut, "H15"},
		{"contact", `19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`, allOut, "D20"},
		{"a loss beside it", "", `{"do":"move","from":"101","out":{"as":"sold","volume":"190 hL"},"loss":"10 hL"`, "W15"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			if c.given != "" {
				h.say(t, c.given)
			}
			said := "20:00 NS " + c.says + "}"
			if c.rule == "" {
				h.say(t, said)
				require.Equal(t, "empty dirty", string(holds(t, h, "101").Stage))
				return
			}
			rules := fmt.Sprint(h.stopped(t, said))
			require.Contains(t, rules, c.rule)
			if c.rule != "W15" {
				require.NotContains(t, rules, "W15")
			}
		})
	}
}

// Its volume is corrected and the move taken back like any other.
func TestWhatLeftIsCorrectedAndTakenBack(t *testing.T) {
	h := openHouse(t)
	of := h.s.Seq + 1
	h.say(t, tanker)
	require.Equal(t, "tanker load", holdsCorrectable(t, h, of).Says)
	h.say(t, fmt.Sprintf(`20:10 NS {"do":"correct","of":%d,"value":"58 hL","reason":"by the slip"}`, of))
	require.Equal(t, 142.0, holds(t, h, "101").Volume.HL())
	addsUp(t, show.Cellar(h.s, h.now))
	h.say(t, fmt.Sprintf(`20:20 NS {"do":"correct","of":%d,"take_back":true,"reason":"it was 102"}`, of))
	require.Equal(t, 200.0, holds(t, h, "101").Volume.HL())
	require.Zero(t, show.Cellar(h.s, h.now).Total.Sent)
}

func holdsCorrectable(t *testing.T, h *house, of cellar.Seq) cellar.Correctable {
	for _, c := range h.s.CorrectablesIn(of) {
		return c
	}
	t.Fatalf("nothing of entry %d can be corrected", of)
	return cellar.Correctable{}
}

// A pump that runs to a tanker covers what then left that way, and nothing else.
func TestAPumpToATanker(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"move-start","from":"101","out":{"as":"tanker","volume":"60 hL"},"rate":"60 hL"}`,
		`21:00 NS {"do":"move","from":"101","out":{"as":"tanker","volume":"60 hL"},"part":true}`)
	_, runs := h.s.Running("101")
	require.False(t, runs)
	require.Empty(t, h.s.ClocksOf(subject.Of(subject.Vessel, "101")))
}
