package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// TestAClockIsAnsweredByItsAct: one that a person set in words, by the act that the
// words name and by no other.
func TestAClockIsAnsweredByItsAct(t *testing.T) {
	yeastIn := `20:00 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL","temp":"14 °C"}`
	so2In := `20:00 NS {"do":"dose","vessel":"102","product":"S-1","rate":"2 g/hL","temp":"14 °C"}`
	read := `20:00 NS {"do":"reading","vessel":"102","temp":"14 °C"}`
	for _, c := range []struct {
		verb, in string
		given    []string
		act      string
		answered bool
	}{
		{verb: "pour yeast", in: "2h", given: yeast, act: yeastIn, answered: true},
		{verb: "Inoculate", in: "2h", given: yeast, act: yeastIn, answered: true},
		{verb: "yeast, 20 g/hL", in: "2h", given: yeast, act: yeastIn, answered: true},
		{verb: "dose", in: "2h", given: yeast, act: yeastIn, answered: true},
		{verb: "add Y-1", in: "2h", given: yeast, act: yeastIn, answered: true},
		{verb: "pour yeast", in: "2h", given: yeast, act: so2In},
		{verb: "call OF about yeast", in: "2h", given: yeast, act: yeastIn},
		{verb: "add nutrient", in: "2h", given: yeast, act: yeastIn},
		{verb: "SO2", in: "2h", act: so2In, answered: true},
		{verb: "pour yeast", in: "2h", act: `20:00 NS {"do":"stage","vessel":"102","stage":"fermenting",` +
			`"reason":"from 101"}`},
		{verb: "inoculate", in: "2h", act: `20:00 NS {"do":"stage","vessel":"102","stage":"fermenting"}`,
			answered: true},
		{verb: "settle", in: "2h", act: `20:00 NS {"do":"stage","vessel":"102","stage":"settling"}`, answered: true},
		{verb: "float", in: "2h", act: `20:00 NS {"do":"stage","vessel":"102","stage":"settling"}`},
		{verb: "test", in: "2h", act: `20:00 NS {"do":"pectin-test","vessel":"102"}`, answered: true},
		{verb: "look", in: "1h15", act: read, answered: true},
		{verb: "look", in: "4h", act: read},
		{verb: "look", in: "1h15", act: so2In},
		{verb: "rack", in: "2h", act: `20:00 MA {"do":"move","from":"102","to":[{"vessel":"201","volume":"120.5 hL"}]}`,
			answered: true},
		{verb: "rack", in: "2h", act: `20:00 MA {"do":"move","from":"102","to":[{"vessel":"201","volume":"20 hL"}],` +
			`"part":true}`},
		{verb: "move 20 hL", in: "2h", act: `20:00 MA {"do":"move","from":"102","to":[{"vessel":"201",` +
			`"volume":"20 hL"}],"part":true}`, answered: true},
		{verb: "rack", in: "2h", act: `20:00 MA {"do":"move","from":"101","to":[{"vessel":"102","volume":"1 hL"}],` +
			`"part":true,"blend":true}`},
		{verb: "warm water off", in: "2h", act: read},
	} {
		t.Run(c.verb+" "+c.act, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, c.given...)
			h.say(t, fmt.Sprintf(`19:00 NS {"do":"clock","subject":"102","verb":%q,"in":%q}`, c.verb, c.in))
			k := h.s.ClocksOf(h.s.Known("102"))[0]
			h.say(t, c.act)
			require.Equal(t, c.answered, k.Done)
			if c.answered {
				require.Contains(t, h.s.Words(k.How), "done by ")
			}
		})
	}
}

// TestEveryKindOfClockHasItsAct: the clocks that the board sets, each with what
// ends it.
func TestEveryKindOfClockHasItsAct(t *testing.T) {
	started := append(append([]string{}, inP1...), pressed[0])
	for kind, c := range map[cellar.ClockKind]struct {
		subject string
		given   []string
		acts    []string
	}{
		cellar.KindContact:  {"101", dosed101[:1], []string{dosed101[1]}},
		cellar.KindReading:  {"101", dosed101[:2], []string{dosed101[2]}},
		cellar.KindLook:     {"101", dosed101, []string{`23:40 NS {"do":"pectin-test","vessel":"101"}`}},
		cellar.KindFloat:    {"101", floated101, []string{capOn101[len(capOn101)-1]}},
		cellar.KindCap:      {"101", capOn101, []string{`02:40 NS {"do":"stage","vessel":"101","stage":"racked"}`}},
		cellar.KindSettling: {"102", settled, []string{`08:00 NS {"do":"stage","vessel":"102","stage":"racked"}`}},
		cellar.KindHot: {"H1", hotHeldMost,
			[]string{`20:20 NS {"do":"stage","vessel":"H1","stage":"cooled down"}`}},
		cellar.KindSkin:      {"X1", skins, []string{`21:50 NS {"do":"stage","vessel":"X1","stage":"draining"}`}},
		cellar.KindProgramme: {"P1", started, []string{ended[len(ended)-1]}},
		cellar.KindFill: {"P1", []string{weighed, `20:05 NS {"do":"tip","load":"0501","to":"P1",` +
			`"until":"2026-09-24T20:40:00+02:00"}`},
			[]string{`20:40 NS {"do":"tipped","load":"0501","to":"P1"}`,
				`20:38 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`}},
		cellar.KindClean: {"103", []string{`19:00 NS {"do":"stage","vessel":"103","stage":"cleaning"}`},
			[]string{`19:50 NS {"do":"stage","vessel":"103","stage":"empty clean"}`,
				`19:50 NS {"do":"stage","vessel":"103","stage":"empty dirty"}`,
				`19:50 NS {"do":"stage","vessel":"103","stage":"out of service"}`,
				`19:50 NS {"do":"stage","vessel":"103","stage":"cleaning"}`}},
		cellar.KindMove: {"101", []string{`19:00 NS {"do":"move-start","from":"101","to":[{"vessel":"103",` +
			`"volume":"50 hL"}],"rate":"100 hL"}`},
			[]string{`19:30 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"50 hL"}],"part":true}`}},
		cellar.KindPour: {"101", []string{`19:00 NS {"do":"weighed","vessel":"101","product":"S-1","rate":"2 g/hL"}`},
			[]string{`19:05 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL"}`,
				`19:05 NS {"do":"weighed-back","vessel":"101","product":"S-1","reason":"x"}`}},
		cellar.KindBreak: {"NS", []string{`18:30 MA {"do":"shift-start","lead":"MA","crew":["NS"]}`,
			`19:00 MA {"do":"break","who":"NS","for":"30m"}`},
			[]string{`19:30 MA {"do":"back","who":"NS"}`}},
	} {
		for _, act := range c.acts {
			h := openHouse(t)
			h.say(t, c.given...)
			var ran []*cellar.AlarmClock
			for _, k := range h.s.ClocksOf(h.s.Known(c.subject)) {
				if k.Kind == kind {
					ran = append(ran, k)
				}
			}
			require.NotEmpty(t, ran, kind)
			h.say(t, act)
			for _, k := range ran {
				require.True(t, k.Done, "%s, %s %s, by %s", kind, k.Says(), k.DueKind, act)
			}
		}
	}
}

// TestYeastPouredEarlyRingsNoMore: the night's yeast is poured a quarter of an hour
// before its time.
func TestYeastPouredEarlyRingsNoMore(t *testing.T) {
	h := nightUntil(t, "21:55")
	k := h.s.StandingOf(h.vessel("203"), nightAt("21:55"))
	require.Equal(t, "pour yeast", k.Text)
	h.say(t, `21:56 NS {"do":"dose","vessel":"203","product":"yeast","rate":"20 g/hL","temp":"13 °C"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("203")))
	for _, a := range h.s.Alarms(nightAt("22:30")) {
		require.NotEqual(t, "203", a.Subject)
	}
}

// A batch is decided on a copy of the state; the clocks of the state itself stay as they
// are listed, though one of them has ended just before.
func TestABatchLeavesTheClocksAlone(t *testing.T) {
	h := openHouse(t)
	for _, l := range []string{
		`{"do":"clock","by":"NS","subject":"yard","verb":"look","in":"10min"}`,
		`{"do":"clock","by":"NS","subject":"yard","verb":"sweep","in":"20min"}`,
		`{"do":"clock","by":"NS","subject":"yard","verb":"lock","in":"30min"}`,
		`{"do":"clock-move","by":"NS","subject":"yard","verb":"look","done":true}`,
	} {
		if err := h.line(l); err != nil {
			t.Fatal(l, err)
		}
	}
	c, err := cellar.ParseLine([]byte(`{"do":"together","by":"NS","happened":true,"lines":[{"do":"pectin-test",` +
		`"vessel":"101"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		_, _ = cellar.Decide(h.s, c, h.now)
	}
	var verbs []string
	for _, k := range h.s.ClocksOf(h.s.Known("yard")) {
		verbs = append(verbs, k.Says())
	}
	if fmt.Sprint(verbs) != "[sweep lock]" {
		t.Errorf("in the yard run %v", verbs)
	}
}
