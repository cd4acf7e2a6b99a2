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
		{"no product", intent.FormDose, "104", "<tab>1.5", "product", "still needed: pick one"},
		{"no rate", intent.FormDose, "104", "1<enter>", "rate", "still needed"},
		{"thousands", intent.FormDose, "104", "11,500", "rate", `"1,500" can be read in two ways: type 1.5 or 1500`},
		{"other basis", intent.FormDose, "104", "13 g/100kg", "rate", "E-2204 is dosed in g/hL, on the juice; g/100 kg is another basis"},
		{"juice for grapes", intent.FormDose, "305", "43 g/hL", "rate", "E-1987 is dosed in g/100 kg, on the grapes; g/hL is another basis"},
		{"plain tons", intent.FormDose, "305", "43 g/ton", "rate", `"3 g/ton" can be read in two ways: type 3 g/t or`},
		{"no rate at all", intent.FormDose, "104", "1lots", "rate", "Type a dose with its unit"},
		{"hot as an oven", intent.FormDose, "104", "11<tab>200", "temp", "Type a temperature such as 15.2"},
		{"second person", intent.FormDose, "104", "11<tab><tab><tab><tab><tab><tab>xx", "second", "XX is not on the list of people; MA NS TQ OF are"},
		{"weighed in millilitres", intent.FormDose, "104", "11<tab><tab><tab>150mL", "amount", "This product is weighed"},
		{"to come", intent.FormReading, "104", "13<tab><tab><tab><tab><tab><tab><tab>2130", "at", "21:30 is still to come"},
		{"density", intent.FormReading, "104", "<tab>2.5", "density", "Type a density"},
		{"pH", intent.FormReading, "104", "<tab><tab><tab><tab>33", "ph", "Type the pH"},
		{"gallons", intent.FormReading, "104", "<tab><tab><tab><tab><tab>600gal", "dip", `"600gal" can be read in two ways: type 600 US gal or 600 imp gal`},
		{"no such plate", intent.FormMove, "101", "204", "to", "there is no 204; in that row stand 203 206 209"},
		{"no such row", intent.FormMove, "101", "X1", "to", "there is no X1; type the plate as painted"},
		{"past look", intent.FormCheck, "602", "sf2030", "next", "20:30 has just been"},
		{"promise to a stranger", intent.FormNote, "104", "ring<tab>pxx<tab>2200", "for", "XX is not on the list"},
		{"rot", intent.FormLoad, "0414", "31260<tab>12460<tab><tab><tab><tab>some", "rot", "Type the share in per cent"},
		{"rows", intent.FormProduct, "", "1l<tab><tab><tab><tab><tab><tab>warm", "card", "write the rows as 15-20 2h"},
		{"a wait that may be hours or minutes", intent.FormProduct, "", "1l<tab><tab><tab><tab><tab><tab>12-15 3h; 15-20 2", "card", `15-20 2: "2" has no unit: type 2 h or 2 min.`},
		{"releaser", intent.FormHold, "104", "why<tab>zz", "releaser", "ZZ is not on the list"},
		{"crew", intent.FormShift, "", "<tab>NS, QQ", "crew", "QQ is not on the list"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			h := newHouse(t)
			h.at("21:00")
			h.lines(`{"do":"check","at":"2026-09-24T20:54:00+02:00","by":"NS","vessel":"602"}`)
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
		{"no volume", intent.FormMove, "101", "203<tab><backspace><backspace><backspace><backspace><backspace>", "volume", "how much goes to 203?"},
		{"over the brim", intent.FormMove, "101", "203<tab>100<tab>405<tab>90", "volume2", "405 takes 60.0 hL to the brim and 0.0 hL is in it"},
		{"nowhere", intent.FormMove, "101", "", "to", "where does it go? Type the plate"},
		{"no lees volume", intent.FormMove, "101", "203<tab>100<tab><tab>701", "lees_volume", "how much lees went to 701?"},
		{"pump to nowhere", intent.FormMove, "101", "<tab><tab><tab><tab>s", "to", "where does it go? Type the plate"},
		{"neither weighed nor booked", intent.FormLoad, "0414", "", "gross", "type the gross weight, or when it is expected to book it only"},
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

// The forms look anew at every turn: the state and the time may move on.
func TestFormsSeeTheCellarMoveOn(t *testing.T) {
	h := newHouse(t)
	h.at("19:15")
	e := h.open(intent.FormDose, "104")
	h.types(e, "11.5<tab>13.5")
	h.lines(`{"do":"move","by":"MA","from":"104","to":[{"vessel":"103","volume":"4 hL"}],"part":true}`)
	h.at("19:25")
	assert.Contains(t, live(e), "1.5 g/hL on 100.0 hL")
	assert.Contains(t, live(e), "test 22:25")
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

var everyForm = []intent.Form{intent.FormDose, intent.FormReading, intent.FormCheck, intent.FormMove, intent.FormStage, intent.FormLoad, intent.FormPress,
	intent.FormJuice, intent.FormNote, intent.FormHold, intent.FormClock, intent.FormProduct, intent.FormCorrect, intent.FormShift}

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
	h.lines(`{"do":"check","at":"2026-09-24T20:54:00+02:00","by":"NS","vessel":"602"}
{"do":"hold","by":"MA","vessel":"209","reason":"rose in it","releaser":"OF"}
{"do":"note","by":"MA","subject":"104","text":"call","what":"promise","for":"NS","until":"2026-09-24T23:00:00+02:00"}`)
	names := []string{"101", "102", "104", "103", "209", "305", "602", "701", "P1", "P2", "0414", "0409", ""}
	pieces := rapid.OneOf(
		rapid.SampledFrom([]string{"<tab>", "<shift+tab>", "<left>", "<right>", "<backspace>", "<home>", "<enter>", "<delete>"}),
		rapid.SampledFrom([]string{"1", "2", "3", "n", "y", "h", "s", "o", "m", "l", "203", "405", "701", "P1", "1.5", "13.5", "2230", "+45", "1,500", "-3", "1e9", "999999999999999999", "NaN", "OF", "g/hL", "15-20 2h"}),
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
