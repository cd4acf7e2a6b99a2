package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/stage"
)

// TestAStageAtTheOpeningHasItsClock: every stage that an opening or a house file names
// has the clock that it would have had, or is refused with the reason.
func TestAStageAtTheOpeningHasItsClock(t *testing.T) {
	const since = `"since":"2026-09-24T15:00:00+02:00"`
	held := func(stage, more string) string {
		return fmt.Sprintf(`{"vessel":"101","volume":"100 hL","variety":"Muscat","kind":"juice","stage":%q,%s%s}`,
			stage, since, more)
	}
	dosed := `,"doses":[{"at":"2026-09-24T15:00:00+02:00","product":%q,"rate":"2 g/hL","amount":"200 g",` +
		`"counted":true}]`
	clocked := func(kind string) string {
		return fmt.Sprintf(`,"clocks":[{"subject":"101","kind":%q,"verb":"look","due":"2026-09-24T21:00:00+02:00"}]`,
			kind)
	}
	for _, c := range []struct {
		stage  stage.Stage
		more   string
		clocks string // of the opening
		says   string // the clock, or the refusal
	}{
		{stage.Settling, "", "", "rack not-before"},
		{stage.Settling, "", clocked("settling"), "look act-at 21:00"},
		{stage.Flotation, "", "", "end run act-at"},
		{stage.CapRise, "", "", "rack not-before"},
		{stage.Contact, `,"temp":"14 °C"` + fmt.Sprintf(dosed, "E-1"), "", "test act-at 18:00"},
		{stage.Contact, fmt.Sprintf(dosed, "E-1"), "", "no: vessels[0]: 101: the contact time depends on the " +
			"temperature"},
		{stage.Contact, `,"temp":"14 °C"`, "", "no: vessels[0]: 101 is in contact with what?"},
		{stage.Contact, "", clocked("contact"), "look act-at 21:00"},
		{stage.HotHold, "", "", "no: vessels[0]: 101 is in hot hold; until when?"},
		{stage.HotHold, "", clocked("hot hold"), "look act-at 21:00"},
		{stage.SkinContact, "", "", "no: vessels[0]: 101 is in skin contact; until when?"},
		{stage.SkinContact, "", clocked("skin contact"), "look act-at 21:00"},
		{stage.CheckDue, "", "", "no: vessels[0]: 101: a running test is not taken over; type the stage it was in, " +
			"then start a new test"},
	} {
		t.Run(string(c.stage)+c.more+c.clocks, func(t *testing.T) {
			h := &house{t: t, s: cellar.NewState(), now: sixPM}
			for _, l := range smallHouse[:len(smallHouse)-1] {
				require.NoError(t, h.line(l))
			}
			err := h.line(`{"do":"opening","by":"MA","vessels":[` + held(string(c.stage), c.more) + `]` + c.clocks +
				`}`)
			got := ""
			if err != nil {
				got = "no: " + err.Error()
			}
			for _, k := range h.s.ClocksOf(h.s.Known("101")) {
				got += fmt.Sprintf("%s %s %s; ", k.Says(), k.DueKind, h.s.Clock(k.Due))
			}
			require.Contains(t, got, c.says)
			if err == nil && c.clocks == "" {
				require.Equal(t, at("15:00").UTC(), h.s.ClocksOf(h.s.Known("101"))[0].Start, "from when it began")
			}
		})
	}
	// Every other stage wants no clock.
	for _, g := range stage.Stages() {
		switch g {
		case stage.Settling, stage.Flotation, stage.CapRise, stage.Contact, stage.HotHold, stage.SkinContact,
			stage.CheckDue, stage.Cleaning:
			continue
		}
		h := &house{t: t, s: cellar.NewState(), now: sixPM}
		for _, l := range smallHouse[:len(smallHouse)-1] {
			require.NoError(t, h.line(l))
		}
		line := held(string(g), "")
		if g.Empty() {
			line = fmt.Sprintf(`{"vessel":"101","stage":%q,%s}`, g, since)
		}
		require.NoError(t, h.line(`{"do":"opening","by":"MA","vessels":[`+line+`]}`), g)
		require.Empty(t, h.s.ClocksOf(h.s.Known("101")), g)
	}
}
