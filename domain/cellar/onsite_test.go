package cellar_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/testdata/harvest"
)

const (
	shiftOfFour = `18:10 MA {"do":"shift-start","lead":"MA","crew":["NS"],"ends":"2026-09-25T06:00:00+02:00"}`
	early       = `,"answers":[{"rule":"D30","by":"MA","reason":"x"}]}`
)

func (h *house) siteList() (who []cellar.Initials) {
	for _, p := range h.s.OnSite() {
		who = append(who, p.Who)
	}
	return who
}

// Nobody ever left the site by the list: after a week a head count looked for people who
// were at home. The end of a shift takes off who is named, and nobody else.
func TestTheEndOfAShiftTakesOffWhoIsNamed(t *testing.T) {
	h := openHouse(t)
	h.say(t, shiftOfFour, `18:20 OF {"do":"in"}`)
	h.refused(t, `22:00 MA {"do":"shift-end","to":"OF","out":["OF"]`+early, "out OF", "takes over")
	h.refused(t, `22:00 MA {"do":"shift-end","to":"OF","out":["NS","NS"]`+early, "out NS", "twice")
	h.refused(t, `22:00 MA {"do":"shift-end","to":"OF","out":["ZZ"]`+early, "out ZZ", "not signed in")
	h.say(t, `22:00 MA {"do":"break","who":"NS","for":"30m"}`)
	h.say(t, `22:10 MA {"do":"shift-end","to":"OF","out":["NS"]`+early)
	require.Equal(t, []cellar.Initials{"MA", "OF"}, h.siteList(), "MA is not named and stays on the list")
	require.Empty(t, h.s.ClocksOf(h.s.Known("NS")), "nobody waits for NS to come back")
	require.ErrorContains(t, h.hear(`22:20 MA {"do":"out","who":"NS"}`), "not signed in")

	old := openHouse(t) // as older lines and journals say it
	old.say(t, shiftOfFour, `22:10 MA {"do":"shift-end","to":"OF"`+early)
	require.Equal(t, []cellar.Initials{"MA", "NS"}, old.siteList())
}

// Who may be in a vessel, holds a live permit or attends under one, or is missing is never
// taken off with the others, also where it has happened.
func TestNobodyWhoMayBeInsideIsTakenOffSite(t *testing.T) {
	permit := []string{shiftOfFour, `18:20 OF {"do":"in"}`, gasOf307, permitOf307}
	for _, c := range []struct {
		name, who, says string
		given           []string
	}{
		{"holder of a live permit", "NS", "on permit 17", permit},
		{"in a vessel", "NS", "NS is in 307", append(permit[:4:4], intoOf307)},
		{"missing", "NS", "missing since", []string{shiftOfFour, `20:20 MA {"do":"head-count","counted":["MA"]}`}},
	} {
		h := openHouse(t)
		h.say(t, c.given...)
		for _, done := range []string{"", `,"happened":true`} {
			err := h.hear(`20:30 MA {"do":"shift-end","to":"OF","out":["` + c.who + `"]` + done + early)
			require.ErrorContains(t, err, "out "+c.who, c.name)
			require.ErrorContains(t, err, c.says, c.name)
			require.Contains(t, h.siteList(), cellar.Initials(c.who), c.name)
		}
	}
	h := openHouse(t)
	h.say(t, append(permit[:4:4], intoOf307)...)
	p := h.s.LivePermits(h.now)[0]
	require.ErrorContains(t, h.hear(`20:30 MA {"do":"shift-end","to":"MA","out":["`+string(p.Attendant)+`"]`+early),
		string(p.Attendant)+" attends to NS")
}

// Somebody who went home days ago and was never signed out was missing at every count. They
// are asked about; whoever was of a crew today is looked for at once.
func TestWhoIsOnNoCrewForADayIsAskedAbout(t *testing.T) {
	setUp := func() *house {
		h := openHouse(t)
		h.say(t, `18:05 OF {"do":"in"}`)
		h.now = h.now.AddDate(0, 0, 2)
		require.NoError(t, h.line(`{"do":"shift-start","at":"2026-09-26T18:10:00+02:00","by":"MA","lead":"MA",`+
			`"crew":["NS"]}`))
		return h
	}
	count := func(more string) string {
		return `{"do":"head-count","at":"2026-09-26T19:00:00+02:00","by":"MA","counted":["MA"]` + more + `}`
	}
	asks := func(h *house) bool { return len(h.s.Forgotten(h.now)) > 0 }

	fresh := setUp()
	asked := at("18:30").AddDate(0, 0, 1) // a day after OF came
	require.Equal(t, cellar.Initials("OF"), fresh.s.Forgotten(asked)[0].Who)
	require.Contains(t, nextSays(fresh.s, asked), "OF still here?")
	h := setUp()
	require.True(t, asks(h))
	require.NoError(t, h.line(count("")))
	last, _ := h.s.LastCount()
	require.Equal(t, []cellar.Initials{"NS"}, last.Missing)
	require.Equal(t, []cellar.Initials{"OF"}, last.StillHere)
	require.Contains(t, last.Text(), "STILL HERE? OF")
	require.NotContains(t, last.Text(), "none missing")

	h = setUp()
	require.NoError(t, h.line(count(`,"gone":["OF"]`)))
	require.Equal(t, []cellar.Initials{"MA", "NS"}, h.siteList())
	require.False(t, asks(h))
	require.ErrorContains(t, setUp().line(count(`,"gone":["NS"]`)), "was of a crew today")

	h = setUp()
	require.NoError(t, h.line(count(`,"missing":["OF"]`)))
	last, _ = h.s.LastCount()
	require.Equal(t, []cellar.Initials{"NS", "OF"}, last.Missing)
	require.Empty(t, last.StillHere)
	require.False(t, asks(h), "who is missing is looked for, not asked about")
}

func nextSays(s *cellar.State, now time.Time) (out []string) {
	for _, d := range s.Next(now) {
		out = append(out, d.Subject.Name+" "+d.Verb)
	}
	return out
}

// Over many days of a harvest nobody is missing who went home, and the list of who is on site
// is of today.
func TestOverAHarvestNobodyIsMissingWhoWentHome(t *testing.T) {
	x := harvest.Plan{Days: 10, Tanks: 20, Presses: 2}.Make()
	h := after(t, x, 9)
	counts := h.s.HeadCounts()
	require.NotEmpty(t, counts)
	for _, c := range counts {
		require.Empty(t, c.Missing, c.Text())
		require.Equal(t, []cellar.Initials{"OF"}, c.StillHere)
	}
	require.LessOrEqual(t, len(h.s.OnSite()), 5)
	require.Empty(t, h.s.Forgotten(h.s.LastAt.Add(-time.Minute)))
}
