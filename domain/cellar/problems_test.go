package cellar_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// The problems of the demo night, one test each: the night is played up to the
// entry that is named, and what the board says then is held, to the person who
// does what nearly happened and to the one who does it right. What is right is
// common practice of the trade, no source.

// nightBefore plays the demo night up to the nth command (from 0) of an entry,
// which it returns.
func nightBefore(t *testing.T, entry string, n int) (night, cellar.Command) {
	t.Helper()
	h := newHouse(t)
	for _, c := range nightLines(t) {
		if cellar.HeadOf(c).Entry == entry {
			if n == 0 {
				h.now = cellar.KnownAt(c, h.now)
				return night{h}, c
			}
			n--
		}
		if _, err := h.try(c, cellar.KnownAt(c, h.now)); err != nil {
			t.Fatalf("%s: %v", cellar.HeadOf(c).Entry, err)
		}
	}
	t.Fatalf("the night has no such command of %s", entry)
	return night{}, nil
}

// plays writes commands of the night as they stand there.
func (h night) plays(t *testing.T, commands ...cellar.Command) {
	t.Helper()
	for _, c := range commands {
		_, err := h.try(c, cellar.KnownAt(c, h.now))
		require.NoError(t, err, cellar.HeadOf(c).Entry)
	}
}

// says is what the rules ask about a line, by their codes; a refusal stands under
// "no".
func (h night) says(t *testing.T, line string) map[string]string {
	t.Helper()
	err := h.hear(line)
	var needs *cellar.Needs
	out := map[string]string{}
	switch {
	case err == nil:
	case errors.As(err, &needs):
		for _, f := range needs.Findings {
			out[string(f.Rule)] = needs.Message(f)
		}
	default:
		out["no"] = err.Error()
	}
	return out
}

func (h night) front(clock string) sheet.Sheet {
	return handover.Sheet(h.s, nightAt(clock), sheet.Mark{})
}

// E002, 18:05: the tank is under the floor of its card, whatever the clock says
// that was set for the wrong row.
func TestProblemN01TooCold(t *testing.T) {
	h, reading := nightBefore(t, "E002", 0)
	h.plays(t, reading)
	nightSame(t, "the clock taken over", h.due("102", "test"), "20:30 act-at")
	k, ok := h.s.ContactOf(h.vessel("102"), nightAt("18:05"))
	require.True(t, ok)
	require.True(t, k.Cold, "9.3 °C is under the floor of 10 °C: slow, do not trust the clock")
	require.Equal(t, "9.3 °C is off the card", h.s.Words(k.Basis))
	require.False(t, k.HasDue, "a forecast is no deadline")
	nightSame(t, "the forecast", h.s.Clock(k.Model), "21:22")
	said := h.says(t, `18:06 NS {"do":"dose","vessel":"102","product":"E-2204","rate":"1 g/hL",`+
		`"answers":[{"rule":"H07","by":"MA","second":"NS","reason":"colder than meant"}]}`)
	require.Contains(t, said["W09"], "9.3 °C is under the card's floor of 10.0 °C: slow, do not trust the clock.")
	h = nightUntil(t, "18:41") // E010: the warm water's own clock is not the test's
	require.Contains(t, fmt.Sprint(h.s.Steps(h.vessel("102"), "MA", nightAt("18:41"))), "enzyme contact: test at 20:30")
	h = nightUntil(t, "20:09") // E035: warmed
	k, _ = h.s.ContactOf(h.vessel("102"), nightAt("20:09"))
	require.False(t, k.Cold)
}

// E048, 21:10: the fraction of P2 would overfill 401; the forecast speaks when the
// programme starts, E014.
func TestProblemN04FractionTooMuch(t *testing.T) {
	h, _ := nightBefore(t, "E014", 0)
	said := h.says(t, `18:50 TQ {"do":"press-start","press":"P2","programme":"W-120","free_run":"108",`+
		`"pressings":"401"}`)
	require.Contains(t, said["W07"], "About 28.6 hL of pressings will come; 401 has room for 9.0 hL to its limit.")
	h, _ = nightBefore(t, "E048", 0)
	said = h.says(t, `21:10 TQ {"do":"juice","press":"P2","to":"401","share":"pressings","volume":"28.6 hL"}`)
	require.Contains(t, said["no"], "401 holds 60.0 hL to the brim; 48.0 hL is in it")
	require.Empty(t,
		h.says(t, `21:10 TQ {"do":"juice","press":"P2","to":"403","share":"pressings","volume":"28.6 hL"}`),
		"403 takes it")
}

// E055, 21:33: the hose is on 209, its number read upside down for 206.
func TestProblemN05WrongTank(t *testing.T) {
	h, _ := nightBefore(t, "E055", 0)
	said := h.says(t, `21:33 NS {"do":"move-start","from":"105","to":[{"vessel":"206","volume":"151 hL"}]}`)
	require.Contains(t, said["H13"], "206 is easily taken for 209 (6 for 9). 206 = empty clean, row 2 left; 209 = "+
		"149.0 hL Sauvignon clear juice, row 2 right. Which number do you see there?")
	said = h.says(t, `21:33 NS {"do":"move-start","from":"105","to":[{"vessel":"206","volume":"151 hL",`+
		`"read_back":"209"}]}`)
	require.Contains(t, said["H13"], "You are at 209: 149.0 hL Sauvignon clear juice, row 2 right. It should be "+
		"206: empty clean, row 2 left.")
	said = h.says(t, `21:33 NS {"do":"move","from":"105","to":[{"vessel":"209","volume":"3.5 hL"}],"part":true}`)
	require.Contains(t, said["H11"], "209 holds 149.0 hL Sauvignon clear juice. If you mean to blend, say blend.")
	require.Contains(t, said["H13"], "209 is easily taken for 206")

	// What happened is written as it was, with what was meant, and the tank is held.
	h = nightUntil(t, "21:36")
	require.Contains(t, h.said("209"), "3.5 hL from 105, meant for 206")
	require.Equal(t, cellar.Initials("OF"), h.vessel("209").Hold.Releaser)
	require.Contains(t, fmt.Sprint(h.front("21:40").Happened), "WRONG TANK: 3.5 hL from 105, meant for 206.")
	said = h.says(t, `21:44 NS {"do":"move","from":"209","to":[{"vessel":"210","volume":"10 hL","read_back":"210"}],`+
		`"part":true}`)
	require.Contains(t, said["H15"], "209 has been on hold since 21:36 by MA")
}

// E063, 22:05: the lot runs out; the dose before it, E044, had said so.
func TestProblemN06LotRunsOut(t *testing.T) {
	h, dose := nightBefore(t, "E044", 0)
	h.plays(t, dose)
	require.Contains(t, h.said("102"), "384 g (dose 2); 40 g left in the open container of E-2204, less than one "+
		"more dose, none sealed")
	require.Contains(t, fmt.Sprint(h.front("20:51").Short), "E-2204")
	h, _ = nightBefore(t, "E063", 0)
	said := h.says(t, `22:05 NS {"do":"dose","vessel":"106","product":"E-2204","rate":"2 g/hL","temp":"14.8 °C"}`)
	require.Contains(t, said["no"], "E-2204 holds 40 g and you need 125.4 g; use another lot, or count it again (u)")
}

// E064 and E065, 22:08: the new lot's label is in lb/1000 gal. A slip between the
// units is twelve times too much (1 lb/1000 gal = 11.98 g/hL).
func TestProblemN07UnitOfTheLabel(t *testing.T) {
	h, dose := nightBefore(t, "E065", 0)
	line := `22:10 NS {"do":"dose","vessel":"106","product":"E-2240","rate":"%s","temp":"15.1 °C"}`
	for rate, want := range map[string]string{
		"1.6 lb/1000 gal": "1.6 lb/1000 gal = 19.2 g/hL is outside the label of E-2240 (0.13–0.25 lb/1000 gal). Did " +
			"you mean 1.6 g/hL (0.134 lb/1000 gal)? This is 12 times that.",
		"0.134 g/hL": "0.134 g/hL = 0.0112 lb/1000 gal is outside the label of E-2240 (0.13–0.25 lb/1000 gal). " +
			"Did you mean 0.134 lb/1000 gal? This is one 12th of that.",
	} {
		said := h.says(t, fill(line, rate))
		require.Contains(t, said["D01"]+said["no"], want, rate)
	}
	h.plays(t, dose)
	h, _ = nightBefore(t, "E065", 0)
	require.Empty(t, h.says(t, fill(line, "0.134 lb/1000 gal")), "in the unit of the label")
}

// E085, 23:35: SO2 from the sheet that was not ticked.
func TestProblemN08DoubleSO2(t *testing.T) {
	h, leave := nightBefore(t, "E085", 0)
	said := h.says(t, `23:35 NS {"do":"dose","vessel":"104","product":"SO2-150","rate":"4 g/hL"}`)
	require.Contains(t, said["H07"], "SO2 is in 104 already: 416 g by TQ at 19:40 (4 g/hL). With this 104 would "+
		"have 8.0 g/hL; the house allows 6 g/hL.")
	h.plays(t, leave)
	miss := h.s.Stopped[len(h.s.Stopped)-1]
	nightSame(t, "the near miss", string(miss.Rule)+" "+miss.Subject.Name, "H07 104")
	require.Contains(t, fmt.Sprint(h.front("23:40").Safety), "near misses, stopped: 21:10 at 307, 23:35 at 104.")
}
