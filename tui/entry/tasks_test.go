package entry_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/tuitest"
)

// The tasks of the house's measure, at the level of the form: the strokes from
// the board, number and key included, must stay within the budget.

func TestT1StartAContact(t *testing.T) {
	for _, form := range []string{"1<tab>1.5<tab>13.5<enter>", "11.5<tab>13.5<enter>"} {
		h := newHouse(t)
		h.at("19:15")
		assert.LessOrEqual(t, tuitest.Strokes(t, "104d"+form), 15)
		e := h.open(intent.FormDose, "104")
		require.True(t, h.types(e, form))
		assert.Equal(t, "weigh 156 g · make up in 1.56 L water (1:10)\n1.5 g/hL on 104.0 hL · total 1.5 of 6 g/hL\n"+
			"27 % of the open tub, 424 g left in it\ntest at 22:15: card row 12–15 °C, 3 h\nsay aloud: 156 g into "+
			"one-zero-four", live(e))
		c, err := e.Command(e.Form.Values())
		require.NoError(t, err)
		h.write(c)
		p, _ := h.s.Product("E-2204")
		assert.Equal(t, "424 g", p.Open.String())
		due := h.s.ClocksOf(h.s.Known("104"))
		require.Len(t, due, 1)
		assert.Equal(t, "22:15", h.s.Clock(due[0].Due))
	}
}

func TestT3ReadACheck(t *testing.T) {
	h := newHouse(t)
	h.at("20:05")
	h.lines(`{"do":"product","by":"MA","product":"E-3105","name":"heat enzyme","class":"enzyme-heat","unit":"mL/hL",` +
		`"liquid":true,"open":"1500 mL"}`)
	h.at("21:35")
	h.lines(`{"do":"pectin-test","by":"NS","vessel":"602"}`)
	h.at("21:40")
	assert.LessOrEqual(t, tuitest.Strokes(t, "<space>sf2230<enter>"), 8)
	e := h.open(intent.FormCheck, "602")
	c := h.typed(e, "sf2230<enter>").(*cellar.ReadCheck)
	assert.Equal(t, clarity.SmallFlocs, c.Sample)
	assert.Equal(t, clarity.ControlFlocs, c.Control)
	assert.Equal(t, "22:30", h.s.Clock(c.Next))
	assert.Contains(t, live(e), "POSITIVE: Flocs")
	h.write(c)
	due := h.s.ClocksOf(h.s.Known("602"))
	require.Len(t, due, 1)
	assert.Equal(t, "22:30", h.s.Clock(due[0].Due))
}

func TestT4CorrectAVolume(t *testing.T) {
	h := newHouse(t)
	h.lines(`{"do":"load","by":"MA","load":"0409","variety":"Chardonnay","gross":"32900 kg","tare":"12500 kg","answers":[{"rule":"D23"}]}
{"do":"tip","by":"TQ","load":"0409","to":"P2"}
{"do":"tipped","by":"TQ","load":"0409","to":"P2"}
{"do":"stage","by":"MA","vessel":"108","stage":"empty clean","steps":["rinsed","drained","looked into"]}
{"do":"press-start","by":"TQ","press":"P2","programme":"W-120","free_run":"108","pressings":"403"}
{"do":"juice","by":"TQ","press":"P2","volume":"138.1 hL","closed":true}`)
	h.at("18:20")
	assert.LessOrEqual(t, tuitest.Strokes(t, "x1118.3<enter>"), 8)
	e := h.open(intent.FormCorrect, "108")
	c := h.typed(e, "1118.3<enter>").(*cellar.Correct)
	assert.Equal(t, "mistyped", c.Reason)
	h.write(c)
	assert.Equal(t, "118.3 hL", h.vessel("108").Now.Volume.String())
	require.Len(t, h.s.Mends, 1)
	assert.Equal(t, "138.1 hL", h.s.Mends[0].Was)
}

func TestT5RackingIntoThree(t *testing.T) {
	h := newHouse(t)
	h.at("21:15")
	form := "203<tab>165<tab>405<tab>33.5<tab>701<tab>14<enter>"
	assert.LessOrEqual(t, tuitest.Strokes(t, "101m"+form), 30)
	e := h.open(intent.FormMove, "101")
	c := h.typed(e, form).(*cellar.Move)
	assert.Equal(t, "1.5 hL", c.Loss.String())
	assert.Equal(t, "214 hL", c.Sum().String())
	assert.Contains(t, live(e), "214.0 hL in 101 · accounted for 214.0 · left over 0.0")
	assert.Contains(t, live(e), "203 0.0 hL → 165.0 hL, 82.5 %, 5.0 hL to its limit")
	h.write(c)
	assert.Equal(t, stage.Dirty, h.vessel("101").Now.Stage)
	assert.InDelta(t, 0.825, h.vessel("203").Fill(), 1e-9)
}

func TestT7PressGoesOn(t *testing.T) {
	h := newHouse(t)
	h.at("18:50")
	h.pressing("P2")
	h.at("19:52")
	c := h.typed(h.open(intent.FormPress, "P2"), "xno juice<enter>")
	assert.Equal(t, &cellar.StopPress{Head: cellar.Head{By: "MA"}, Press: "P2", Reason: "no juice"}, c)
	h.write(c)
	h.at("20:47")
	assert.LessOrEqual(t, tuitest.Strokes(t, "P2pg<enter>"), 8)
	h.write(h.typed(h.open(intent.FormPress, "P2"), "g<enter>"))
	p, _ := h.s.Press("P2")
	assert.Equal(t, "21:45", h.s.Clock(p.End))
}

func TestT8WeighALoad(t *testing.T) {
	h := newHouse(t)
	h.at("23:40")
	form := "31260<tab>12460<tab>16<tab>21.1<tab>3.24<enter>"
	assert.LessOrEqual(t, tuitest.Strokes(t, "0414g"+form), 35)
	e := h.open(intent.FormLoad, "0414")
	c := h.typed(e, form).(*cellar.WeighLoad)
	assert.Contains(t, live(e), "net 18800 kg\nwith this load: Sauvignon, 1 of 1 load: 18.8 t\nfits  P1 85 % ready  "+
		"P2 85 % ready\nfree run · fits 103\npressings about 26.3 hL · fits 403, 405; room: 402 8.0 hL (same grapes)")
	h.write(c)
	l, _ := h.s.Load("0414")
	assert.Equal(t, "18800 kg", l.Net.String())
	assert.Equal(t, cellar.LoadWaiting, l.State)
}

func TestT9Hold(t *testing.T) {
	h := newHouse(t)
	assert.LessOrEqual(t, tuitest.Strokes(t, "209o<tab>OF<enter>"), 25)
	c := h.typed(h.open(intent.FormHold, "209"), "rose juice in it<tab>OF<enter>")
	assert.Equal(t, &cellar.HoldVessel{Head: cellar.Head{By: "MA"}, Vessel: "209", Reason: "rose juice in it",
		Releaser: "OF"}, c)
	h.write(c)
	assert.NotNil(t, h.vessel("209").Hold)
}
