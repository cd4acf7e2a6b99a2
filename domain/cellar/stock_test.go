package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// A dose that was said by its rate draws what its vessel held by the ledger, however late
// that is known; of one whose weight was said that weight is gone.
func TestTheTubFollowsTheRateAndNotTheWeight(t *testing.T) {
	for says, left := range map[string]string{"": "1.64 kg", `,"amount":"400 g"`: "1.6 kg"} {
		h := openHouse(t)
		p, _ := h.s.Product("E-1")
		h.say(t, `19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"`+says+`}`)
		require.Equal(t, "1.6 kg", p.Open.String())
		away := seqOf[*cellar.Moved](t, h, func() {
			require.NoError(t, h.late(t, "20:30", `18:30 NS {"do":"move","from":"101","to":[{"vessel":"201",`+
				`"volume":"20 hL"}],"part":true}`))
		})
		require.Equal(t, left, p.Open.String(), says)
		h.say(t, fmt.Sprintf(
			`20:40 NS {"do":"correct","of":%d,"vessel":"201","take_back":true,"reason":"it never ran"}`, away))
		require.Equal(t, "1.6 kg", p.Open.String(), says)
	}
}

// What was counted is so, whatever is saved later of the time before.
func TestACountStandsForWhatWasPouredBeforeIt(t *testing.T) {
	h := openHouse(t)
	p, _ := h.s.Product("E-1")
	h.say(t, `19:30 NS {"do":"tub","product":"E-1","count":"1.5 kg"}`)
	dose := seqOf[*cellar.Dosed](t, h, func() {
		require.NoError(t, h.late(t, "20:30", `19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL",`+
			`"temp":"14 °C"}`))
	})
	require.Equal(t, "1.5 kg", p.Open.String(), "the count knew of it")
	h.say(t, fmt.Sprintf(`20:40 NS {"do":"correct","of":%d,"vessel":"101","field":"at","value":%q,"reason":"misread"}`,
		dose, at("19:40").Format("2006-01-02T15:04:05Z07:00")))
	require.Equal(t, "1.1 kg", p.Open.String(), "poured after it")
}

// The lines of a batch draw on the tub one after another.
func TestABatchDrawsOnTheTub(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:50 NS {"do":"tub","product":"E-1","count":"500 g"}`)
	dose := `{"do":"dose","vessel":"%s","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`
	err := h.hear("19:00 NS " + fmt.Sprintf(`{"do":"together","lines":[`+dose+`,`+dose+`]}`, "101", "102"))
	require.ErrorContains(t, err, "lines[1].product: the open tub of E-1 holds 100 g and you need 241 g;")
}

// The route is that of the juice in the vessel, also when it is known later that other
// juice came first.
func TestTheRouteStaysWhenOtherJuiceCameFirst(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"50 hL"}],"part":true}`,
		`20:10 NS {"do":"route","vessel":"201","route":"float"}`)
	v, _ := h.s.Vessel("201")
	require.Equal(t, cellar.RouteFloat, h.s.RouteOf(v))
	require.NoError(t, h.late(t, "20:30", `19:30 NS {"do":"move","from":"101","to":[{"vessel":"201",`+
		`"volume":"10 hL"}],"part":true,"blend":true}`))
	require.Equal(t, cellar.RouteFloat, h.s.RouteOf(v))
}

// A word releases the hold that it was given for, and no other.
func TestAHoldIsReleasedByItsOwnWord(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 NS {"do":"hold","vessel":"101","reason":"smell","releaser":"OF"}`,
		`20:00 OF {"do":"release","vessel":"101","reason":"it is gone"}`)
	require.NoError(t, h.late(t, "20:30", `19:30 NS {"do":"hold","vessel":"101","reason":"glass in the hose",`+
		`"releaser":"OF"}`))
	v, _ := h.s.Vessel("101")
	require.NotNil(t, v.Hold, "nobody has released this one")
	require.Equal(t, "glass in the hose", v.Hold.Reason)
	h.say(t, `20:40 OF {"do":"release","vessel":"101","reason":"found all of it"}`)
	require.Nil(t, v.Hold)
}

// A pump that was written late has stopped when its move was over.
func TestAPumpThatIsWrittenLateHasStopped(t *testing.T) {
	h := openHouse(t)
	h.say(t, `20:40 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"100 hL"}],"part":true}`)
	require.NoError(t, h.late(t, "21:00", `20:00 NS {"do":"move-start","from":"101","to":[{"vessel":"201",`+
		`"volume":"100 hL"}],"happened":true}`))
	require.Empty(t, h.s.RunningMoves())

	h = openHouse(t)
	h.say(t, `20:10 NS {"do":"move-start","from":"101","to":[{"vessel":"201","volume":"100 hL"}]}`)
	require.Len(t, h.s.RunningMoves(), 1)
	move := seqOf[*cellar.Moved](t, h, func() { // its time is said a little before the pump's
		require.NoError(t, h.late(t, "20:40", `20:05 NS {"do":"move","from":"101","to":[{"vessel":"201",`+
			`"volume":"100 hL"}],"part":true}`))
	})
	require.Empty(t, h.s.RunningMoves())
	h.say(t, fmt.Sprintf(`20:50 NS {"do":"correct","of":%d,"vessel":"201","take_back":true,"reason":"it still runs"}`,
		move))
	require.Len(t, h.s.RunningMoves(), 1)
}
