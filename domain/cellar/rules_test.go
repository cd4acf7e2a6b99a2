package cellar_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
)

// at writes an instant of the night, "22:15", into a line; hours below noon
// belong to the next morning.
func at(clock string) time.Time {
	t, err := time.Parse("15:04", clock)
	if err != nil {
		panic(err)
	}
	day := 24
	if t.Hour() < 12 {
		day = 25
	}
	return time.Date(2026, 9, day, t.Hour()-2, t.Minute(), 0, 0, time.UTC)
}

// say plays lines of the form "22:15 NS {…}".
func (h *house) say(t *testing.T, lines ...string) {
	t.Helper()
	for _, l := range lines {
		require.NoError(t, h.hear(l), l)
	}
}

func (h *house) hear(l string) error {
	f := strings.SplitN(l, " ", 3)
	c, err := cellar.ParseLine([]byte(f[2]))
	if err != nil {
		return err
	}
	head := cellar.HeadOf(c)
	head.By, head.At = cellar.Initials(f[1]), at(f[0])
	_, err = h.try(c, at(f[0]))
	return err
}

// dosed101 is a contact on 101 with its check positive at half past eight.
var dosed101 = []string{
	`18:05 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14 °C"}`,
	`20:30 NS {"do":"check","vessel":"101"}`,
	`20:35 NS {"do":"check-read","vessel":"101","sample":"large flocs","control":"flocs"}`,
}

// negative101 goes on to a valid negative at a quarter to midnight.
var negative101 = append(append([]string{}, dosed101...),
	`23:40 NS {"do":"check","vessel":"101"}`,
	`23:45 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`)

// The rule table: for each rule a case that fires it, one that does not, and
// one in which the answer lifts it or cannot.
func TestRules(t *testing.T) {
	lead := `"answers":[{"rule":"%","by":"MA","second":"NS","reason":"meant"}]`
	with := func(rule, line string) string {
		return strings.TrimSuffix(line, "}") + "," + strings.ReplaceAll(lead, "%", rule) + "}"
	}
	maker := func(rule, line string) string { return strings.ReplaceAll(with(rule, line), `"by":"MA"`, `"by":"OF"`) }
	for _, c := range []struct {
		rule, name string
		given      []string
		when       string
		fires      bool
		final      bool // no answer of the lead's lifts it
		lifted     string
	}{
		{"H02", "grapes onto a closed lot", []string{weighed}, `20:10 NS {"do":"tip","load":"0501","to":"102","kind":"juice"}`, true, false, ""},
		{"H02", "grapes into a clean vessel", []string{weighed}, `20:10 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`, false, false, ""},
		{"H02", "grapes into a dirty vessel", []string{weighed, `20:05 NS {"do":"stage","vessel":"103","stage":"empty dirty"}`}, `20:10 NS {"do":"tip","load":"0501","to":"103"}`, true, false, ""},
		{"H06", "over the working limit", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"190 hL"}],"part":true}`, true, false, ""},
		{"H06", "over 98 % of the brim", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"198 hL"}],"part":true}`, true, true, ""},
		{"H06", "within the limit", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"170 hL"}],"part":true}`, false, false, ""},
		{"H07", "a second enzyme dose", dosed101, `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, true, false, ""},
		{"H07", "over the card's maximum", dosed101, `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"4.1 g/hL"}`, true, false, ""},
		{"H07", "a first dose", nil, `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, false, false, ""},
		{"H07", "a second small SO2 dose only asks", []string{`19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL"}`}, `20:50 NS {"do":"dose","vessel":"101","product":"S-1","rate":"2 g/hL"}`, true, false, ""},
		{"H07", "a sum of SO2 over the house maximum", []string{`19:00 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`}, `20:50 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`, true, false, ""},
		{"H07", "after much other juice came in", append(append([]string{}, dosed101...), `20:40 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"30 hL"}],"part":true,"blend":true}`), `20:50 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, false, false, ""},
		{"H09", "flotation after a positive", dosed101, `20:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, true, true, maker("H09", `20:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`)},
		{"H09", "flotation after a valid negative", negative101, `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, false, false, ""},
		{"H09", "bentonite on a running contact", dosed101[:1], `20:50 NS {"do":"dose","vessel":"101","product":"B-1","rate":"30 g/hL"}`, true, true, maker("H09", `20:50 NS {"do":"dose","vessel":"101","product":"B-1","rate":"30 g/hL"}`)},
		{"H09", "flotation when juice came in after the negative", append(append([]string{}, negative101...), `23:46 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"5 hL"}],"part":true,"blend":true}`), `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`, true, true, ""},
		{"H10", "read before its time", []string{`20:30 NS {"do":"check","vessel":"101"}`}, `20:32 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`, true, true, ""},
		{"H10", "read after void", []string{`20:30 NS {"do":"check","vessel":"101"}`}, `20:41 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`, true, false, ""},
		{"H10", "a clear sample without a control", []string{`20:30 NS {"do":"check","vessel":"101"}`}, `20:35 NS {"do":"check-read","vessel":"101","sample":"clear","control":"none"}`, true, false, ""},
		{"H10", "flocs without a control", []string{`20:30 NS {"do":"check","vessel":"101"}`}, `20:35 NS {"do":"check-read","vessel":"101","sample":"fine flocs","control":"none"}`, false, false, ""},
		{"H10", "read at the void time", []string{`20:30 NS {"do":"check","vessel":"101"}`}, `20:40 NS {"do":"check-read","vessel":"101","sample":"clear","control":"flocs"}`, false, false, ""},
		{"H11", "racking onto another lot", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"102","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H11", "racking into a dirty vessel", []string{`19:00 NS {"do":"stage","vessel":"201","stage":"empty dirty"}`}, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`, true, false, ""},
		{"H11", "a blend that was said", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"102","volume":"10 hL"}],"part":true,"blend":true}`, false, false, ""},
		{"H11", "lees onto lees", nil, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"lees":{"vessel":"701","volume":"2 hL"},"part":true}`, false, false, ""},
		{"H15", "out of a vessel on hold", []string{`19:00 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`}, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`, true, true, maker("H15", `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`)},
		{"H15", "after the release", []string{`19:00 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`, `19:30 OF {"do":"release","vessel":"101","reason":"tasted"}`}, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"201","volume":"10 hL"}],"part":true}`, false, false, ""},
		{"W09", "juice under the card's floor", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"9.4 °C"}`, true, false, ""},
		{"W09", "juice on the card", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"13 °C"}`, false, false, ""},
		{"W10", "enzyme soon after SO2", []string{`19:50 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL"}`}, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, true, false, ""},
		{"W10", "twenty minutes after SO2", []string{`19:40 NS {"do":"dose","vessel":"101","product":"S-1","rate":"3 g/hL"}`}, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL"}`, false, false, ""},
		{"W21", "a test typed before the row ends", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14.8 °C","test_at":"2026-09-24T22:00:00+02:00"}`, true, false, ""},
		{"W21", "a test typed after the row ends", nil, `20:00 NS {"do":"dose","vessel":"101","product":"E-1","rate":"2 g/hL","temp":"14.8 °C","test_at":"2026-09-24T23:10:00+02:00"}`, false, false, ""},
	} {
		t.Run(c.rule+" "+c.name, func(t *testing.T) {
			play := func() *house {
				h := openHouse(t)
				h.now = at("18:00")
				h.give(t, c.given)
				return h
			}
			err := play().hear(c.when)
			var needs *cellar.Needs
			if !c.fires {
				if errors.As(err, &needs) {
					require.NotContains(t, codes(needs), c.rule, err.Error())
				} else {
					require.NoError(t, err)
				}
				return
			}
			require.ErrorAs(t, err, &needs)
			require.Contains(t, codes(needs), c.rule)
			f := strings.SplitN(with(c.rule, c.when), " ", 3)
			err = play().hear(strings.Join(f, " "))
			if c.final {
				require.Error(t, err, "no word of the lead's lifts this one")
			} else {
				require.NoError(t, err)
			}
			if c.lifted != "" {
				require.NoError(t, play().hear(c.lifted))
			}
		})
	}
}

const weighed = `20:00 NS {"do":"load","load":"0501","gross":"30000 kg","tare":"12000 kg"}`

// give plays what was given, the lead answering whatever asks.
func (h *house) give(t *testing.T, lines []string) {
	t.Helper()
	for _, l := range lines {
		err := h.hear(l)
		var needs *cellar.Needs
		if errors.As(err, &needs) {
			t.Fatalf("given %s asks: %v", l, err)
		}
		require.NoError(t, err, l)
	}
}

func codes(n *cellar.Needs) []string {
	var out []string
	for _, f := range n.Findings {
		out = append(out, string(f.Rule))
	}
	return out
}

// TestHappenedIsAlwaysWritten: what has happened is written with the rules it
// broke; somebody without the right is marked for the lead.
func TestHappenedIsAlwaysWritten(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"hold","vessel":"101","reason":"wrong juice in it","releaser":"OF"}`,
		`20:00 NS {"do":"move","from":"101","to":[{"vessel":"102","volume":"3.5 hL"}],"part":true,"happened":true,"meant":"201"}`)
	var got []string
	for _, a := range h.s.Answered {
		got = append(got, string(a.Rule))
		require.True(t, a.Broken)
		require.True(t, a.ToConfirm)
	}
	require.ElementsMatch(t, []string{"H11", "H15"}, got)
	v, _ := h.s.Vessel("102")
	require.Equal(t, "124 hL", v.Now.Volume.String())
	require.Equal(t, "Muscat", v.Now.Strangers()[0].Variety)
}

// TestLeftAloneIsWrittenAsStopped: the near miss names who and when.
func TestLeftAloneIsWrittenAsStopped(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:40 NS {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL"}`,
		`23:35 MA {"do":"dose","vessel":"101","product":"S-1","rate":"4 g/hL","leave":true}`)
	require.Len(t, h.s.Stopped, 1)
	require.Equal(t, gate.Code("H07"), h.s.Stopped[0].Rule)
	require.Contains(t, h.s.Stopped[0].Why, "NS")
	require.Contains(t, h.s.Stopped[0].Why, "19:40")
	v, _ := h.s.Vessel("101")
	require.Len(t, v.Now.Doses, 1, "nothing was poured")
}
