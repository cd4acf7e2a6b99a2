package cellar_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// TestCleanIsSeenToStepByStep: each thing of the house's list is said by itself, what
// is missing stays with the vessel, and a look later makes it no cleaner than it was.
func TestCleanIsSeenToStepByStep(t *testing.T) {
	h := openHouse(t)
	h.say(t, unseen...)
	v, _ := h.s.Vessel("103")
	require.Equal(t, "not yet looked into", v.Now.NotYet())
	require.Equal(t, "rinsed, drained", v.Now.Seen())
	until, ok := h.s.CleanUntil(v)
	require.True(t, ok)
	require.ErrorContains(t, h.hear(`19:40 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],`+
		`"part":true}`),
		"D21: 103 is clean, but not yet looked into. Do it from outside and save it (s), or use the tank as it is.")

	h.say(t, `19:45 NS {"do":"stage","vessel":"103","stage":"empty clean","steps":["looked into"]}`)
	require.Empty(t, v.Now.NotYet())
	require.Equal(t, "rinsed, drained, looked into", v.Now.Seen())
	again, _ := h.s.CleanUntil(v)
	require.Equal(t, until, again)
	require.ErrorContains(t, h.hear(`19:50 NS {"do":"stage","vessel":"103","stage":"empty clean"}`),
		"103 is already empty clean, since 19:00")
	h.say(t, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],"part":true}`)
	require.Empty(t, v.Now.Seen(), "what was seen to is of the empty vessel")
}

// TestACleanVesselIsRinsedAgain: what W19 asks for after a day is saved as that, with
// nothing of a cleaning before it; without a word of rinsing it is clean already.
func TestACleanVesselIsRinsedAgain(t *testing.T) {
	h := openHouse(t)
	h.say(t, append(unseen[:1:1], `19:00 NS {"do":"stage","vessel":"103","stage":"empty clean","steps":["rinsed",`+
		`"drained","looked into"]}`)...)
	h.now = h.now.Add(30 * time.Hour)
	say := func(what string) error {
		return h.line(fmt.Sprintf(`{"at":%q,"by":"NS",%s}`, h.now.Format(time.RFC3339), what))
	}
	fill := `"do":"move","from":"101","to":[{"vessel":"103","volume":"10 hL"}],"part":true`
	require.ErrorContains(t, say(fill), "rinse it again")
	require.ErrorContains(t, say(`"do":"stage","vessel":"103","stage":"empty clean","steps":["looked into"]`),
		"already empty clean")
	require.NoError(t, say(`"do":"stage","vessel":"103","stage":"empty clean","steps":["rinsed","drained"]`))
	v, _ := h.s.Vessel("103")
	require.Equal(t, "not yet looked into", v.Now.NotYet())
	require.NoError(t, say(`"do":"stage","vessel":"103","stage":"empty clean","steps":["looked into"]`))
	require.Equal(t, h.now.Truncate(time.Second), v.Now.CleanSince)
	require.NoError(t, say(fill))
}

// TestTheHouseHasItsOwnCleaningList: a house that sanitises asks for that too; what
// was written clean before the list changed is not judged again.
func TestTheHouseHasItsOwnCleaningList(t *testing.T) {
	h := openHouse(t)
	v, _ := h.s.Vessel("103")
	require.Empty(t, v.Now.NotYet(), "what the opening says is clean is clean by the house's word")
	h.say(t, `18:10 NS {"do":"stage","vessel":"103","stage":"cleaning"}`,
		`18:30 NS {"do":"stage","vessel":"103","stage":"empty clean","steps":["rinsed","drained","looked into"]}`,
		`18:40 MA {"do":"house","clean_list":["rinsed","sanitised","drained","looked into"]}`)
	require.Empty(t, v.Now.NotYet())
	h.say(t, `18:50 NS {"do":"stage","vessel":"103","stage":"cleaning"}`,
		`19:00 NS {"do":"stage","vessel":"103","stage":"empty clean","steps":["rinsed"]}`)
	require.Equal(t, "not yet drained, sanitised, looked into", v.Now.NotYet())
	require.Equal(t, []cellar.CleanStep{cellar.Rinsed, cellar.Sanitised, cellar.Drained, cellar.LookedInto},
		h.s.House.ToClean())
}

// TestTheSheetNamesSmallTanksSeenToFirst: one on which something of the cleaning list
// is not seen to comes last among the clean ones, with what that is.
func TestTheSheetNamesSmallTanksSeenToFirst(t *testing.T) {
	h := openHouse(t)
	h.say(t, inP1...)
	h.say(t, `20:45 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","happened":true}`)
	home := func() string { return fmt.Sprint(handover.Sheet(h.s, at("20:55"), sheet.Mark{}).NoHome) }
	require.Contains(t, home(), "no tank yet; fits 401.")
	h.say(t, `20:51 NS {"do":"stage","vessel":"401","stage":"empty dirty"}`,
		`20:52 NS {"do":"stage","vessel":"401","stage":"cleaning"}`,
		`20:53 NS {"do":"stage","vessel":"401","stage":"empty clean","steps":["rinsed","drained"]}`)
	require.Contains(t, home(), "no tank yet; fits 401 (not yet looked into).")
}
