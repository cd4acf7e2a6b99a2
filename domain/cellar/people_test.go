package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// A line changes whom it names: the others stay, the person who set the house up among
// them, and what it does not say of somebody stays as well.
func TestALineOfPeopleChangesWhomItNames(t *testing.T) {
	h := openHouse(t)
	before := len(h.s.House.People)
	h.say(t, `20:00 MA {"do":"house","people":[{"initials":"NS","roles":["tank","lead"]},{"initials":"KV",`+
		`"name":"K. Vale","roles":["press"]}]}`)
	require.Len(t, h.s.House.People, before+1)
	for _, want := range []cellar.Person{
		{Initials: "MA", Name: "M", Roles: []cellar.Role{cellar.RoleLead}},
		{Initials: "NS", Name: "N", Roles: []cellar.Role{cellar.RoleTank, cellar.RoleLead}},
		{Initials: "KV", Name: "K. Vale", Roles: []cellar.Role{cellar.RolePress}},
	} {
		got, ok := h.s.House.Person(want.Initials)
		require.True(t, ok, want.Initials)
		require.Equal(t, want, got)
	}
	h.say(t, `20:05 NS {"do":"house","people":[{"initials":"KV","left":true},{"initials":"OF","name":"Oona"}]}`)
	_, there := h.s.House.Person("KV")
	require.False(t, there)
	of, _ := h.s.House.Person("OF")
	require.Equal(t, "Oona", of.Name)
	require.NotEmpty(t, of.Roles)
}

// No line and no file leaves a house that nobody can change any more.
func TestAHouseIsNeverLockedForGood(t *testing.T) {
	for _, c := range []struct{ name, line, says string }{
		{"the last of them gone", `20:00 MA {"do":"house","people":[{"initials":"MA","left":true},{"initials":"OF",` +
			`"left":true}]}`, "lead or winemaker"},
		{"the last role given away", `20:00 MA {"do":"house","people":[{"initials":"MA","roles":["tank"]},` +
			`{"initials":"OF","roles":[]}]}`, "lead or winemaker"},
		{"a stranger has left", `20:00 MA {"do":"house","people":[{"initials":"ZZ","left":true}]}`,
			"not on the list of people"},
		{"named twice", `20:00 MA {"do":"house","people":[{"initials":"NS","roles":["lead"]},{"initials":"NS",` +
			`"roles":["tank"]}]}`, "one person"},
	} {
		h := openHouse(t)
		before := h.s.House.People
		err := h.hear(c.line)
		var no *cellar.Rejection
		require.ErrorAs(t, err, &no, c.name)
		require.Contains(t, no.Field, "people", c.name)
		require.Contains(t, no.Message(), c.says, c.name)
		require.Equal(t, before, h.s.House.People, c.name)
	}
	h := newHouse(t)
	require.ErrorContains(t, h.line(`{"do":"house","at":"2026-09-24T18:00:00+02:00","by":"AL","name":"Locked",`+
		`"zone":"Europe/Paris","units":"metric","people":[{"initials":"AL","name":"A","roles":["tank"]}]}`),
		"lead or winemaker")
}

// Whose word alone releases a hold does not leave the list before it is given.
func TestWhoReleasesAHoldStaysOnTheList(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"hold","vessel":"101","reason":"sample first","releaser":"OF"}`)
	off := `20:00 MA {"do":"house","people":[{"initials":"OF","left":true}]}`
	require.ErrorContains(t, h.hear(off), "hand on first what waits for OF")
	h.say(t, `20:05 OF {"do":"release","vessel":"101","reason":"sample is well"}`)
	h.say(t, `20:10`+off[5:])
}
