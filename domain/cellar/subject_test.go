package cellar_test

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/domain/show"
	"cellar.example/mustwatch/domain/subject"
)

// namesakes is a cellar with a vessel, a press and a person whose names three loads have
// as well: a load comes with the number that its grower gave it, and is taken in.
func namesakes(t *testing.T) *house {
	t.Helper()
	h := openHouse(t)
	for _, id := range []string{"101", "P1", "NS"} {
		h.say(t, `18:30 MA {"do":"load","load":"`+id+`","variety":"Sauvignon","gross":"30000 kg","tare":"22000 kg",`+
			`"answers":[{"rule":"D23"}]}`)
	}
	return h
}

// TestNamesakesAreToldApart: a vessel, a press and a person on one side and the loads of
// their names on the other have clocks, notes and histories of their own.
func TestNamesakesAreToldApart(t *testing.T) {
	for _, own := range []subject.Ref{subject.Of(subject.Vessel, "101"), subject.Of(subject.Press, "P1"),
		subject.Of(subject.Person, "NS")} {
		t.Run(own.Full(), func(t *testing.T) {
			h := namesakes(t)
			load := subject.Of(subject.Load, own.Name)
			before, weighed := len(h.s.EventsOf(own)), len(h.s.EventsOf(load))
			h.say(t, `19:00 MA {"do":"clock","subject":"`+own.Full()+`","verb":"look","in":"1h"}`,
				`19:00 MA {"do":"clock","subject":{"kind":"load","name":"`+own.Name+`"},"verb":"ask","in":"2h"}`,
				`19:00 MA {"do":"note","subject":"load `+own.Name+`","text":"of the load"}`)
			require.Len(t, h.s.ClocksOf(own), 1)
			require.Equal(t, "look", h.s.ClocksOf(own)[0].Says())
			require.Len(t, h.s.ClocksOf(load), 1)
			require.Equal(t, "ask", h.s.ClocksOf(load)[0].Says())
			require.Empty(t, h.s.OpenNotes(own))
			require.Len(t, h.s.OpenNotes(load), 1)
			require.Len(t, h.s.EventsOf(own), before+1)
			require.Len(t, h.s.EventsOf(load), weighed+2, "a clock, a note")
			require.Equal(t, own.Full(), h.s.NameOf(own), "shown with its kind, for another has its name")

			which := h.hear(`19:10 MA {"do":"note","subject":"` + own.Name + `","text":"whose?"}`)
			require.ErrorContains(t, which, own.Full())
			require.ErrorContains(t, which, load.Full())
			require.ErrorContains(t, which, "type the word before it")
			require.ErrorContains(t, h.hear(`19:10 MA {"do":"clock","subject":"`+own.Name+`","verb":"look","in":"1h"}`),
				"type the word before it")
			require.ErrorContains(t, h.hear(`19:10 MA {"do":"clock-move","subject":"`+own.Name+
				`","off":true,"reason":"done"}`), "type the word before it")
			h.say(t, `19:20 MA {"do":"clock-move","subject":"load `+own.Name+`","off":true,"reason":"asked"}`)
			require.Empty(t, h.s.ClocksOf(load))
			require.Len(t, h.s.ClocksOf(own), 1)
			h.say(t, `19:30 MA {"do":"clock-move","subject":"`+own.Name+
				`","off":true,"reason":"one runs only, so it is that"}`,
				`19:30 MA {"do":"note-done","subject":"`+own.Name+`"}`)
			require.Empty(t, h.s.OpenNotes(load))
		})
	}
}

// TestADerivedClockIsOfTheVessel: the contact of a vessel is none of the load of its name.
func TestADerivedClockIsOfTheVessel(t *testing.T) {
	h := namesakes(t)
	h.say(t, `19:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`)
	require.Len(t, h.s.ClocksOf(subject.Of(subject.Vessel, "101")), 1)
	require.Empty(t, h.s.ClocksOf(subject.Of(subject.Load, "101")))
}

// TestASubjectThatIsNot: a kind with a name that nothing of that kind has is a slip; a
// bare name that nothing has is words.
func TestASubjectThatIsNot(t *testing.T) {
	h := namesakes(t)
	for _, of := range []string{"vessel 999", "load 102", "person ZZ", "press 101"} {
		require.ErrorContains(t, h.hear(`19:10 MA {"do":"note","subject":"`+of+`","text":"x"}`), "there is no", of)
	}
	h.say(t, `19:10 MA {"do":"note","subject":"chiller","text":"loud"}`, `19:10 MA {"do":"note","text":"to all"}`)
	require.Len(t, h.s.OpenNotes(subject.Of(subject.Words, "chiller")), 1)
	require.Len(t, h.s.OpenNotes(subject.Of(subject.House, "cellar")), 1)
}

// TestOneNameMeansOneThingInTheHouse: what would be ambiguous at the keys is refused when
// the house is set, at its field.
func TestOneNameMeansOneThingInTheHouse(t *testing.T) {
	for _, c := range []struct{ name, line, field, says string }{
		{"a vessel by somebody's initials", `{"do":"vessel","vessel":"NS","brim":"100 hL","use":"settle"}`, "vessel",
			"initials"},
		{"in small letters", `{"do":"vessel","vessel":"ns","brim":"100 hL","use":"settle"}`, "vessel", "initials"},
		{"a press by somebody's initials", `{"do":"press","press":"NS","rated":"8 t"}`, "press", "initials"},
		{"a press by a vessel's number", `{"do":"press","press":"101","rated":"8 t"}`, "press",
			"there is already a vessel 101"},
		{"initials that a press has", `{"do":"house","people":[{"initials":"P1","name":"Pia One","roles":["tank"]}]}`,
			"people[0]", "P1 is also a press"},
		{"initials that a vessel has", `{"do":"house","people":[{"initials":"101","name":"Ona","roles":["tank"]}]}`,
			"people[0]", "101 is also a vessel"},
		{"a place by a number", `{"do":"house","gas_places":["101"]}`, "gas_places", "101 is also a vessel"},
		{"a place by initials", `{"do":"house","gas_places":["ns"]}`, "gas_places", "initials"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := openHouse(t)
			err := h.hear("19:00 MA " + c.line)
			var rej *cellar.Rejection
			require.ErrorAs(t, err, &rej)
			require.Equal(t, c.field, rej.Field)
			require.Contains(t, rej.Message(), c.says)
		})
	}
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"house","gas_places":["pump pit"],"people":[{"initials":"ZZ","name":"Zoe",`+
		`"roles":["tank"]}]}`)
	require.ErrorContains(t, h.hear(`19:00 MA {"do":"vessel","vessel":"ZZ","brim":"100 hL","use":"settle"}`),
		"initials of Zoe")
}

// TestABareSubjectOfAnOlderJournal: it was written as a name, and is what the house knew
// under that name then.
func TestABareSubjectOfAnOlderJournal(t *testing.T) {
	h := openHouse(t)
	for i, c := range []struct {
		kind, fact string
		want       subject.Ref
	}{
		{"clock-set", `{"id":"c901","subject":"101","kind":"other","due_kind":"act-at","verb":"look",` +
			`"start":"2026-09-24T16:00:00Z","due":"2026-09-24T18:00:00Z"}`, subject.Of(subject.Vessel, "101")},
		{"clock-set", `{"id":"c902","subject":"P1","kind":"other","due_kind":"act-at","verb":"look",` +
			`"start":"2026-09-24T16:00:00Z","due":"2026-09-24T18:00:00Z"}`, subject.Of(subject.Press, "P1")},
		{"clock-set", `{"id":"c903","subject":"NS","kind":"break","due_kind":"act-at","verb":"back",` +
			`"start":"2026-09-24T16:00:00Z","due":"2026-09-24T18:00:00Z"}`, subject.Of(subject.Person, "NS")},
		{"clock-set", `{"id":"c904","subject":"shaft","kind":"permit","due_kind":"not-after","verb":"all out",` +
			`"start":"2026-09-24T16:00:00Z","due":"2026-09-24T18:00:00Z"}`, subject.Of(subject.Place, "shaft")},
		{"clock-set", `{"id":"c905","subject":"shift","kind":"shift end","due_kind":"not-before","verb":"hand over",` +
			`"start":"2026-09-24T16:00:00Z","due":"2026-09-24T18:00:00Z"}`, subject.Of(subject.Shift, "shift")},
		{"noted", `{"id":"n901","subject":"chiller","text":"loud","what":"info"}`, subject.Of(subject.Words,
			"chiller")},
		{"stopped", `{"subject":"101","what":"a dose","rule":"H07","why":"twice"}`, subject.Of(subject.Vessel, "101")},
		{"rule-answered",
			`{"subject":"P1","what":"a dose","rule":"H07","stop":true,"message":"twice","answer_by":"MA"}`,
			subject.Of(subject.Press, "P1")},
	} {
		f, ok := cellar.NewFact(c.kind)
		require.True(t, ok)
		require.NoError(t, json.Unmarshal([]byte(c.fact), f))
		before := len(h.s.EventsOf(c.want))
		cellar.Apply(h.s, cellar.Record{Seq: h.s.Seq + 1, At: at("18:00"), Written: at("18:00"), By: "MA", Fact: f})
		require.Len(t, h.s.EventsOf(c.want), before+1, "%d: %s", i, c.fact)
	}
}

// TestALoadWithTheNumberOfATankComesFromNoTank: what is tipped from load 101 is none of
// what left vessel 101, in the balance, in the list of what can be corrected, and for the
// rules.
func TestALoadWithTheNumberOfATankComesFromNoTank(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 MA {"do":"load","load":"101","variety":"Sauvignon","gross":"20000 kg","tare":"12000 kg",`+
		`"answers":[{"rule":"D23"}]}`,
		`18:40 MA {"do":"tip","load":"101","to":"103","kind":"juice"}`)
	require.Equal(t, subject.Of(subject.Load, "101"), holds(t, h, "103").Source)
	h.say(t, `19:00 MA {"do":"tipped","load":"101","to":"103","volume":"60 hL"}`)
	for c := range h.s.Correctables("") {
		require.False(t, c.Vessel == "103" && c.About("101"), "%+v", c)
	}
	doc := show.Cellar(h.s, h.now)
	i := slices.IndexFunc(doc.Balance, func(b document.Balance) bool { return b.Load == "101" })
	require.GreaterOrEqual(t, i, 0)
	require.Equal(t, int64(6_000_000), doc.Balance[i].In)
	require.True(t, doc.Balance[i].AddsUp(), "%+v", doc.Balance[i])
}
