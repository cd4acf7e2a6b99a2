package entry_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/tuitest"
)

// What cannot be read is refused at its own field, with what would be taken, and
// the form is not handed in.
func TestRefusedAtTheField(t *testing.T) {
	for _, tt := range []struct {
		name string
		kind intent.Form
		on   string
		keys string
		at   string
		says string
	}{
		{name: "no product", kind: intent.FormDose, on: "104", keys: "<tab>1.5", at: "product",
			says: "needed: pick one"},
		{name: "no rate", kind: intent.FormDose, on: "104", keys: "1<enter>", at: "rate", says: "needed: type it"},
		{name: "thousands", kind: intent.FormDose, on: "104", keys: "11,500", at: "rate",
			says: `"1,500" can be read in two ways: type 1.5 or 1500`},
		{name: "other basis", kind: intent.FormDose, on: "104", keys: "13 g/100kg", at: "rate",
			says: "type the rate of E-2204 on the juice in g/hL, not in g/100 kg"},
		{name: "juice for grapes", kind: intent.FormDose, on: "305", keys: "43 g/hL", at: "rate",
			says: "type the rate of E-1987 on the grapes in g/100 kg, not in g/hL"},
		{name: "plain tons", kind: intent.FormDose, on: "305", keys: "43 g/ton", at: "rate",
			says: `"3 g/ton" can be read in two ways: type 3 g/t or`},
		{name: "no rate at all", kind: intent.FormDose, on: "104", keys: "1lots", at: "rate",
			says: "Type a dose with its unit"},
		{name: "hot as an oven", kind: intent.FormDose, on: "104", keys: "11<tab>200", at: "temp",
			says: "Type a temperature such as 15.2"},
		{name: "second person", kind: intent.FormDose, on: "104", keys: "11<tab><tab><tab><tab><tab><tab>xx",
			at: "second", says: "XX is not on the list of people: type one of MA NS TQ OF"},
		{name: "weighed in millilitres", kind: intent.FormDose, on: "104", keys: "11<tab><tab><tab>150mL", at: "amount",
			says: "This product is weighed"},
		{name: "to come", kind: intent.FormReading, on: "104", keys: "13<tab><tab><tab><tab><tab><tab><tab>2130",
			at: "at", says: "21:30 is in the future"},
		{name: "density", kind: intent.FormReading, on: "104", keys: "<tab>2.5", at: "density", says: "Type a density"},
		{name: "pH", kind: intent.FormReading, on: "104", keys: "<tab><tab><tab><tab>33", at: "ph",
			says: "Type the pH"},
		{name: "gallons", kind: intent.FormReading, on: "104", keys: "<tab><tab><tab><tab><tab>600gal", at: "dip",
			says: `"600gal" can be read in two ways: type 600 US gal or 600 imp gal`},
		{name: "no such number", kind: intent.FormMove, on: "101", keys: "204", at: "to",
			says: "there is no 204: type one of 203 206 209"},
		{name: "no such row", kind: intent.FormMove, on: "101", keys: "X1", at: "to",
			says: "there is no X1: type the number as painted"},
		{name: "past look", kind: intent.FormCheck, on: "602", keys: "sf2030", at: "next",
			says: "20:30 has just passed"},
		{name: "promise to a stranger", kind: intent.FormNote, on: "104", keys: "ring<tab>pxx<tab>2200", at: "for",
			says: "XX is not on the list"},
		{name: "rot", kind: intent.FormLoad, on: "0414", keys: "31260<tab>12460<tab><tab><tab><tab>some", at: "rot",
			says: "Type the share in per cent"},
		{name: "rows", kind: intent.FormProduct, keys: "1l<tab><tab><tab><tab><tab><tab>warm", at: "card",
			says: "type the rows as 15-20 2h"},
		{name: "a wait that may be hours or minutes", kind: intent.FormProduct,
			keys: "1l<tab><tab><tab><tab><tab><tab>12-15 3h; 15-20 2", at: "card",
			says: `15-20 2: "2" has no unit: type 2 h or 2 min.`},
		{name: "releaser", kind: intent.FormHold, on: "104", keys: "why<tab>zz", at: "releaser",
			says: "ZZ is not on the list"},
		{name: "crew", kind: intent.FormShift, keys: "<tab>NS, QQ", at: "crew", says: "QQ is not on the list"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := newHouse(t)
			h.at("21:00")
			h.lines(`{"do":"pectin-test","at":"2026-09-24T20:54:00+02:00","by":"NS","vessel":"602"}`)
			e := h.open(tt.kind, tt.on)
			h.types(e, tt.keys)
			before := e.Form.Draft()
			if h.types(e, "<enter>") {
				_, err := e.Command(e.Form.Values())
				var rej *cellar.Rejection
				require.ErrorAs(t, err, &rej)
				e.Form.Fail(rej.Field, rej.Message())
			}
			assert.Equal(t, tt.at, e.Form.Focused())
			shown := strings.Join(strings.Fields(screen(e, 120, 40)), " ")
			assert.Contains(t, shown, "! "+tt.says)
			assert.Equal(t, before, e.Form.Draft(), "nothing typed is lost")
		})
	}
}

// Refusals that only the command can make.
func TestCommandRefuses(t *testing.T) {
	for _, tt := range []struct {
		name       string
		kind       intent.Form
		on         string
		keys       string
		field, say string
	}{
		{name: "no volume", kind: intent.FormMove, on: "101",
			keys: "203<tab><backspace><backspace><backspace><backspace><backspace>", field: "volume",
			say: "type how much goes to 203"},
		{name: "over the brim", kind: intent.FormMove, on: "101", keys: "203<tab>100<tab>405<tab>90", field: "volume2",
			say: "type less: 405 takes 60.0 hL to the brim and has 0.0 hL in it"},
		{name: "nowhere", kind: intent.FormMove, on: "101", field: "to", say: "type the number of the tank it goes to"},
		{name: "no lees volume", kind: intent.FormMove, on: "101", keys: "203<tab>100<tab><tab>701",
			field: "lees_volume", say: "type how much lees went to 701"},
		{name: "pump to nowhere", kind: intent.FormMove, on: "101", keys: "<tab><tab><tab><tab>s", field: "to",
			say: "type the number of the tank it goes to"},
		{name: "neither weighed nor booked", kind: intent.FormLoad, on: "0414", field: "gross",
			say: "type the gross weight; to only book it, type when it is expected"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := newHouse(t)
			e := h.open(tt.kind, tt.on)
			require.True(t, h.types(e, tt.keys+"<enter>"), screen(e, 80, 24))
			_, err := e.Command(e.Form.Values())
			var rej *cellar.Rejection
			require.ErrorAs(t, err, &rej)
			assert.Equal(t, tt.field, rej.Field)
			assert.Equal(t, tt.say, rej.Message())
		})
	}
}

func TestDraftComesBack(t *testing.T) {
	h := newHouse(t)
	e := h.open(intent.FormMove, "101")
	h.types(e, "203<tab>165<tab>405<tab>33.5<esc>")
	again := h.open(intent.FormMove, "101")
	assert.Equal(t, e.Key, again.Key)
	again.Form.Restore(e.Form.Draft())
	h.types(again, "<tab><tab><tab><tab>701<tab>14")
	assert.Equal(t, "1.5", again.Form.Value("loss"))
	assert.NotEqual(t, e.Key, h.open(intent.FormMove, "102").Key)
}

// The forms look again at every turn: the state and the time may move on.
func TestFormsSeeTheCellarMoveOn(t *testing.T) {
	h := newHouse(t)
	h.at("19:15")
	e := h.open(intent.FormDose, "104")
	h.types(e, "11.5<tab>13.5")
	h.lines(`{"do":"move","by":"MA","from":"104","to":[{"vessel":"103","volume":"4 hL"}],"part":true}`)
	h.at("19:25")
	assert.Contains(t, live(e), "1.5 g/hL on 100.0 hL")
	assert.Contains(t, live(e), "test at 22:25")
	c := h.typed(e, "<enter>").(*cellar.GiveDose)
	assert.Zero(t, c.Volume, "the ledger's own volume, not what was proposed at the start")
}

func TestInAUSHouse(t *testing.T) {
	h := newHouse(t)
	h.s.House.Units = quantity.US
	h.at("21:00")
	e := h.open(intent.FormDose, "104")
	c := h.typed(e, "11.5<tab>59<enter>").(*cellar.GiveDose)
	assert.InDelta(t, 15, float64(*c.Temp), 1e-9)
	assert.Zero(t, c.Volume)
	assert.Contains(t, live(e), "on 2747 gal")
	l := h.typed(h.open(intent.FormLoad, "0414"), "68900<tab>27500<tab>61<enter>").(*cellar.WeighLoad)
	assert.InDelta(t, 31252.5, l.Gross.Kilograms(), 0.1)
	m := h.typed(h.open(intent.FormMove, "106"), "206<enter>").(*cellar.Move)
	assert.InDelta(t, 62.7, m.To[0].Volume.HL(), 0.02)
}

var everyForm = []intent.Form{intent.FormDose, intent.FormReading, intent.FormCheck, intent.FormMove, intent.FormStage,
	intent.FormLoad, intent.FormPress,
	intent.FormJuice, intent.FormNote, intent.FormHold, intent.FormClock, intent.FormProduct, intent.FormCorrect,
	intent.FormShift}

func TestDangerAndTitlesFit(t *testing.T) {
	h := newHouse(t)
	h.pressing("P2")
	for _, kind := range everyForm {
		for _, on := range []string{"104", "103", "P1", "P2", "0414", ""} {
			e, why := openAs(h, kind, face.SubjectOf(h.s.Known(on)))
			if why != "" {
				assert.True(t, strings.HasSuffix(why, "."), why)
				continue
			}
			assert.LessOrEqual(t, len(screenLines(e, 80, 24)[0]), 80*3, "%s", e.Form.Title)
			assert.NotEmpty(t, e.Key)
		}
	}
}

func screenLines(e *entry.Entry, w, hgt int) []string { return strings.Split(screen(e, w, hgt), "\n") }

// Whatever is typed or pasted into whatever form: every frame is whole, the
// command is one or a refusal, and deciding it never breaks.
func TestGarbageIsHarmless(t *testing.T) {
	h := newHouse(t)
	h.at("21:00")
	h.pressing("P2")
	h.lines(`{"do":"pectin-test","at":"2026-09-24T20:54:00+02:00","by":"NS","vessel":"602"}
{"do":"hold","by":"MA","vessel":"209","reason":"rose in it","releaser":"OF"}
{"do":"note","by":"MA","subject":"104","text":"call","what":"promise","for":"NS","until":"2026-09-24T23:00:00+02:00"}`)
	names := []string{"101", "102", "104", "103", "209", "305", "602", "701", "P1", "P2", "0414", "0409", ""}
	pieces := rapid.OneOf(
		rapid.SampledFrom([]string{"<tab>", "<shift+tab>", "<left>", "<right>", "<backspace>", "<home>", "<enter>",
			"<delete>"}),
		rapid.SampledFrom([]string{"1", "2", "3", "n", "y", "h", "s", "o", "m", "l", "203", "405", "701", "P1", "1.5",
			"13.5", "2230", "+45", "1,500", "-3", "1e9", "999999999999999999", "NaN", "OF", "g/hL", "15-20 2h"}),
		rapid.StringMatching(`[a-z0-9.,:+-]{1,6}`),
	)
	rapid.Check(t, func(rt *rapid.T) {
		kind := rapid.SampledFrom(everyForm).Draw(rt, "form")
		e, why := openAs(h, kind, face.SubjectOf(h.s.Known(rapid.SampledFrom(names).Draw(rt, "on"))))
		if why != "" {
			return
		}
		for range rapid.IntRange(0, 14).Draw(rt, "n") {
			if rapid.IntRange(0, 9).Draw(rt, "paste") == 0 {
				e.Form.Update(tuitest.Paste(rapid.String().Draw(rt, "pasted")))
				continue
			}
			msgs, err := tuitest.ParseKeys(pieces.Draw(rt, "keys"))
			require.NoError(rt, err)
			for _, m := range msgs {
				e.Form.Update(m)
			}
		}
		box := layout.Box{W: rapid.IntRange(20, 120).Draw(rt, "w"), H: rapid.IntRange(3, 40).Draw(rt, "h")}
		require.NoError(rt, layout.Check(strings.Join(e.Form.View(plainTheme(), box), "\n"), box))
		c, err := e.Command(e.Form.Values())
		if err != nil {
			var rej *cellar.Rejection
			require.ErrorAs(rt, err, &rej)
			require.NotEmpty(rt, rej.Message())
			return
		}
		if _, err = cellar.Decide(h.s, c, h.now); err != nil {
			var rej *cellar.Rejection
			var needs *cellar.Needs
			require.True(rt, errors.As(err, &rej) || errors.As(err, &needs), "%v", err)
		}
	})
}
