package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

const ofToRelease = `19:00 MA {"do":"hold","vessel":"101","reason":"sample first","releaser":"OF"}`

func (h *house) onHold(p cellar.TankNumber) (cellar.Hold, bool) {
	v, _ := h.s.Vessel(p)
	if v.Hold == nil {
		return cellar.Hold{}, false
	}
	return *v.Hold, true
}

// A hold could be ended by its releaser alone: when they had left the list it stood for
// ever. It ends by its releaser, by the winemaker, and by a lead with a second person and a
// reason; nobody else's word does.
func TestAHoldCanAlwaysBeEnded(t *testing.T) {
	second := func(by, second, reason string) string {
		return `,"answers":[{"rule":"H15","by":"` + by + `","second":"` + second + `","reason":"` + reason + `"}]}`
	}
	const release = `{"do":"release","vessel":"101","reason":"seal changed"`
	for _, c := range []struct {
		name, releaser, line, lacks string
	}{
		{"its releaser", "NS", `20:00 NS ` + release + `}`, ""},
		{"the winemaker", "NS", `20:00 OF ` + release + `}`, ""},
		{"the winemaker without a reason", "NS", `20:00 OF {"do":"release","vessel":"101"}`, "say why"},
		{"a lead alone", "OF", `20:00 MA ` + release + `}`, "lead with a second person"},
		{"a lead who answers alone", "OF", `20:00 MA ` + release + second("MA", "", "x"), "second person"},
		{"a lead who seconds herself", "OF", `20:00 MA ` + release + second("MA", "MA", "x"), "second person"},
		{"a lead without a reason", "OF", `20:00 MA ` + release + second("MA", "NS", ""), "Say why"},
		{"a hand with a second person", "OF", `20:00 NS ` + release + second("NS", "MA", "x"), "Only OF"},
		{"a lead with a second person and a reason", "OF", `20:00 MA ` + release + second("MA", "NS", "OF is ill"), ""},
	} {
		h := openHouse(t)
		h.say(t, `19:00 MA {"do":"hold","vessel":"101","reason":"sample first","releaser":"`+c.releaser+`"}`)
		err := h.hear(c.line)
		_, held := h.onHold("101")
		if c.lacks != "" {
			require.ErrorContains(t, err, c.lacks, c.name)
			require.True(t, held, c.name)
			continue
		}
		require.NoError(t, err, c.name)
		require.False(t, held, c.name)
	}
}

// The release was taken back after its releaser had left: nobody on the list is named in
// the hold, and it still ends.
func TestAHoldOfSomebodyWhoLeftCanBeEnded(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 MA {"do":"house","people":[{"initials":"KV","name":"K. Vale","roles":["tank"]}]}`,
		`19:00 MA {"do":"hold","vessel":"101","reason":"sample first","releaser":"KV"}`,
		`19:10 KV {"do":"release","vessel":"101","reason":"sample is well"}`)
	released := h.s.Seq
	h.say(t, `19:20 MA {"do":"house","people":[{"initials":"KV","left":true}]}`)
	h.say(t, `19:30 MA {"do":"correct","of":`+fmt.Sprint(released)+`,"take_back":true,"reason":"it was 102"}`)
	hold, held := h.onHold("101")
	require.True(t, held)
	require.Equal(t, cellar.Initials("KV"), hold.Releaser)
	require.ErrorContains(t, h.hear(`19:40 KV {"do":"release","vessel":"101","reason":"x"}`), "not on the list")
	h.say(t, `19:40 MA {"do":"release","vessel":"101","reason":"sampled again",`+
		`"answers":[{"rule":"H15","by":"MA","second":"NS","reason":"KV has left"}]}`)
	_, held = h.onHold("101")
	require.False(t, held)
}

// Anybody could save the release with the releaser's initials, and nothing told whose hand
// it was: the log says whose word it was, and who saved it.
func TestAReleaseSaysWhoseWordItWasAndWhoSavedIt(t *testing.T) {
	h := openHouse(t)
	h.say(t, ofToRelease, `20:00 NS {"do":"release","vessel":"101","reason":"OF by phone",`+
		`"answers":[{"rule":"H15","by":"OF","reason":"by phone"}]}`)
	require.Contains(t, h.said("101"), "released by OF, saved by NS: OF by phone")
	require.Contains(t, h.said("101"), "OF (saved by NS): by phone")
	answered := h.s.Answered[len(h.s.Answered)-1]
	require.Equal(t, cellar.Initials("OF"), answered.By)
	require.Equal(t, cellar.Initials("NS"), answered.SavedBy)

	own := openHouse(t)
	own.say(t, ofToRelease, `20:00 OF {"do":"release","vessel":"101","reason":"tasted"}`)
	require.Contains(t, own.said("101"), "released by OF: tasted")
}

// Somebody leaves, and what waits for them is listed and goes to others by name: a hold, a
// promise, an order, a clock.
func TestWhoLeavesHandsOnWhatWaits(t *testing.T) {
	setUp := func() *house {
		h := openHouse(t)
		h.say(t, ofToRelease, `19:01 NS {"do":"note","subject":"102","text":"call the lab","what":"promise","for":"OF",`+
			`"until":"2026-09-24T23:00:00+02:00"}`, `19:02 NS {"do":"order","act":"float","vessel":"101","from":"OF"}`,
			`19:03 NS {"do":"clock","subject":"102","verb":"taste","in":"4h","owner":"OF"}`)
		return h
	}
	var waits []string
	h := setUp()
	for _, w := range h.s.WaitsFor("OF") {
		waits = append(waits, w.Of)
	}
	require.Len(t, waits, 4, "%v", waits)
	off := ` {"do":"house","people":[{"initials":"OF","left":true}]}`
	require.ErrorContains(t, h.hear(`20:00 MA`+off), "hold 101 (101 on hold: sample first)")
	require.ErrorContains(t, h.hear(`20:00 MA`+off), "call the lab")

	// each by itself
	h.refused(t, `20:05 OF {"do":"hand-on"}`, "to", "who gets what waits for OF")
	h.refused(t, `20:05 OF {"do":"hand-on","each":[{"of":"hold 102","to":"MA"}]}`, "each[0].of", "hold 101")
	h.refused(t, `20:05 OF {"do":"hand-on","each":[{"of":"`+waits[2]+`","to":"NS"}]}`, "to", "a winemaker or a lead")
	h.refused(t, `20:05 OF {"do":"hand-on","to":"OF"}`, "to", "another person")
	h.say(t, `20:05 OF {"do":"hand-on","to":"MA","each":[{"of":"`+waits[1]+`","to":"NS"}],"reason":"last day"}`)
	require.Empty(t, h.s.WaitsFor("OF"))
	require.Len(t, h.s.WaitsFor("NS"), 1)
	hold, _ := h.onHold("101")
	require.Equal(t, cellar.Initials("MA"), hold.Releaser)
	require.Equal(t, "sample first", hold.Reason)
	require.Contains(t, h.said("101"), "MA to release, no longer OF. last day")
	require.Equal(t, cellar.Initials("MA"), h.s.OpenOrders("101", h.now)[0].Asks())
	require.Contains(t, h.said("102"), "call the lab goes from OF to NS")
	h.say(t, `20:10 MA`+off)
	h.say(t, `20:15 MA {"do":"release","vessel":"101","reason":"sampled"}`)

	// or all of it in the line that takes them off the list
	h = setUp()
	to := ` {"do":"house","people":[{"initials":"OF","left":true,"to":"MA"}]`
	require.ErrorContains(t, h.hear(`20:00 MA`+to+`}`), "H15", "a new releaser takes the same word as a release")
	h.say(t, `20:00 MA`+to+`,"answers":[{"rule":"H15","by":"MA","second":"NS","reason":"OF has left"}]}`)
	require.Empty(t, h.s.WaitsFor("OF"))
	require.Len(t, h.s.WaitsFor("MA"), 4)
	_, on := h.s.House.Person("OF")
	require.False(t, on)
}

// A tank hand who may not release does not make herself the releaser either.
func TestWhoMayNotReleaseNamesNoReleaser(t *testing.T) {
	h := openHouse(t)
	h.say(t, ofToRelease)
	require.ErrorContains(t, h.hear(`20:00 NS {"do":"hand-on","who":"OF","to":"NS"}`), "H15")
	hold, _ := h.onHold("101")
	require.Equal(t, cellar.Initials("OF"), hold.Releaser)
}

// Initials that came back for somebody else made two people one in the log.
func TestInitialsOfOneWhoLeftStayTheirs(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"house","people":[{"initials":"KV","name":"Kari Vale","roles":["tank"]}]}`,
		`19:30 MA {"do":"house","people":[{"initials":"KV","left":true}]}`)
	for name, line := range map[string]string{
		"another name": `20:00 MA {"do":"house","people":[{"initials":"KV","name":"Karl Voss","roles":["tank"]}]}`,
		"no name":      `20:00 MA {"do":"house","people":[{"initials":"KV","roles":["tank"]}]}`,
	} {
		require.ErrorContains(t, h.hear(line), "KV was Kari Vale, who left on 24 Sep 2026", name)
	}
	h.say(t, `20:10 MA {"do":"house","people":[{"initials":"KV","name":"kari vale","roles":["tank"]}]}`)
	h.say(t, `20:20 MA {"do":"house","people":[{"initials":"KV","name":"Kari Holm"}]}`) // of one word the same
	require.ErrorContains(t, h.hear(`20:30 MA {"do":"house","people":[{"initials":"KV","name":"Karl Voss"}]}`),
		"KV is Kari Holm on the list and in the log")
	h.say(t, `20:30 MA {"do":"house","people":[{"initials":"KV","name":"Karl Voss","same":true}]}`)
	kv, _ := h.s.House.Person("KV")
	require.Equal(t, cellar.Person{Initials: "KV", Name: "Karl Voss", Roles: []cellar.Role{cellar.RoleTank}}, kv)
}
