package entry_test

import (
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/tuitest"
)

// house is a small invented cellar, built by commands, with somebody at the keys.
type house struct {
	t   *testing.T
	s   *cellar.State
	now time.Time
	who cellar.Initials
}

var night = time.Date(2026, 9, 24, 16, 0, 0, 0, time.UTC) // 18:00 in the house

// setup is the cellar before anything is written in it.
const setup = `
{"do":"house","name":"Test cellar","zone":"Europe/Paris","units":"metric","recipe":"1:2","people":[{"initials":"MA","name":"M","roles":["lead"]},{"initials":"NS","name":"N","roles":["tank"]},{"initials":"TQ","name":"T","roles":["press"]},{"initials":"OF","name":"O","roles":["winemaker"]}]}
{"do":"vessel","by":"MA","vessel":"101","brim":"250 hL","use":"settle","manifold":"A"}
{"do":"vessel","by":"MA","vessel":"102","brim":"250 hL","use":"settle","manifold":"A"}
{"do":"vessel","by":"MA","vessel":"103","brim":"250 hL","use":"settle"}
{"do":"vessel","by":"MA","vessel":"104","brim":"250 hL","use":"settle"}
{"do":"vessel","by":"MA","vessel":"106","brim":"250 hL","use":"settle"}
{"do":"vessel","by":"MA","vessel":"108","brim":"250 hL","use":"settle"}
{"do":"vessel","by":"MA","vessel":"203","brim":"200 hL","use":"ferment"}
{"do":"vessel","by":"MA","vessel":"206","brim":"200 hL","use":"ferment"}
{"do":"vessel","by":"MA","vessel":"209","brim":"200 hL","use":"ferment"}
{"do":"vessel","by":"MA","vessel":"305","brim":"180 hL","use":"red ferment"}
{"do":"vessel","by":"MA","vessel":"402","brim":"60 hL","use":"pressings"}
{"do":"vessel","by":"MA","vessel":"403","brim":"60 hL","use":"pressings"}
{"do":"vessel","by":"MA","vessel":"405","brim":"60 hL","use":"pressings"}
{"do":"vessel","by":"MA","vessel":"602","brim":"120 hL","use":"hot"}
{"do":"vessel","by":"MA","vessel":"701","brim":"80 hL","use":"lees"}
{"do":"press","by":"MA","press":"P1","rated":"22 t","whole_bunch":"12 t","empty":"35m","programmes":[{"name":"W-120","minutes":"2h"}]}
{"do":"press","by":"MA","press":"P2","rated":"22 t","whole_bunch":"12 t","empty":"35m","programmes":[{"name":"W-120","minutes":"2h"},{"name":"R-110","minutes":"1h50m"}]}
{"do":"product","by":"MA","product":"E-2204","name":"clarifying enzyme","class":"enzyme-clarify","unit":"g/hL","open":"580 g","expiry":"2026-12","card":{"rows":[{"from":"15 °C","to":"20 °C","wait":"2h"},{"from":"12 °C","to":"15 °C","wait":"3h"},{"from":"10 °C","to":"12 °C","wait":"4h"}],"floor":"10 °C","ceiling":"45 °C","low":"1 g/hL","high":"4 g/hL","max":"6 g/hL","make_up":10}}
{"do":"product","by":"MA","product":"E-2240","name":"clarifying enzyme","class":"enzyme-clarify","unit":"lb/1000 gal","open":"1 kg","sealed":2,"size":"1 kg","expiry":"2027-06","card":{"rows":[{"from":"15 °C","to":"20 °C","wait":"2h"},{"from":"12 °C","to":"15 °C","wait":"3h"},{"from":"10 °C","to":"12 °C","wait":"4h"}],"floor":"10 °C","ceiling":"45 °C","low":"0.13 lb/1000 gal","high":"0.25 lb/1000 gal","max":"0.5 lb/1000 gal","make_up":10}}
{"do":"product","by":"MA","product":"SO2","name":"SO2 solution","class":"SO2","unit":"g/hL","liquid":true,"open":"60 L","card":{"strength":"150 g/L"}}
{"do":"product","by":"MA","product":"E-1987","name":"red maceration enzyme","class":"enzyme-skin","unit":"g/100 kg","open":"2100 g","card":{"low":"2 g/100 kg","high":"4 g/100 kg"}}
{"do":"product","by":"MA","product":"BEN","name":"bentonite","class":"bentonite","unit":"g/hL","open":"75 kg"}
{"do":"opening","by":"MA","loads":[{"load":"0407","variety":"Grenache","net":"14600 kg"}],"vessels":[
 {"vessel":"101","volume":"214 hL","variety":"Chardonnay","kind":"juice","stage":"settling","since":"2026-09-24T03:00:00+02:00","temp":"10.8 °C"},
 {"vessel":"102","volume":"192 hL","variety":"Muscat","kind":"juice","stage":"contact","temp":"14.9 °C","doses":[{"at":"2026-09-24T16:30:00+02:00","by":"MA","product":"E-2204","rate":"3 g/hL","amount":"576 g","counted":true}]},
 {"vessel":"103","stage":"empty clean"},
 {"vessel":"104","volume":"104 hL","variety":"Sauvignon","kind":"juice","stage":"waiting"},
 {"vessel":"106","volume":"62.7 hL","variety":"Grenache","kind":"juice","stage":"waiting"},
 {"vessel":"203","stage":"empty clean"},{"vessel":"206","stage":"empty clean"},
 {"vessel":"209","volume":"149 hL","variety":"Sauvignon","kind":"clear juice","stage":"waiting"},
 {"vessel":"305","volume":"134.3 hL","variety":"Grenache","kind":"red must","stage":"cold soak","load":"0407"},
 {"vessel":"402","volume":"49 hL","variety":"Sauvignon","kind":"press juice","stage":"waiting"},
 {"vessel":"403","stage":"empty clean"},{"vessel":"405","stage":"empty clean"},
 {"vessel":"602","volume":"98 hL","variety":"Syrah","kind":"hot must","stage":"cooled down","temp":"48 °C"},
 {"vessel":"701","volume":"34 hL","variety":"mixed","kind":"lees","stage":"juice lees"}]}
{"do":"book","by":"MA","load":"0414","variety":"Sauvignon","booked":"2026-09-24T23:30:00+02:00","to":"P2"}
`

func newHouse(t *testing.T) *house {
	t.Helper()
	h := &house{t: t, s: cellar.NewState(), now: night, who: "MA"}
	h.lines(setup)
	return h
}

// lines writes commands in the line format, one a line; a line that begins with
// a blank goes on the one before.
func (h *house) lines(text string) {
	h.t.Helper()
	text = strings.ReplaceAll(strings.TrimSpace(text), "\n ", " ")
	for _, l := range strings.Split(text, "\n") {
		c, err := cellar.ParseLine([]byte(l))
		require.NoError(h.t, err, l)
		h.write(c)
	}
}

func (h *house) write(c cellar.Command) {
	h.t.Helper()
	facts, err := cellar.Decide(h.s, c, h.now)
	require.NoError(h.t, err, "%s", cellar.Do(c))
	for _, r := range cellar.Records(c, facts, h.now, "test") {
		r.Seq = h.s.Seq + 1
		cellar.Apply(h.s, r)
	}
}

func (h *house) vessel(p cellar.TankNumber) *cellar.Vessel {
	h.t.Helper()
	v, ok := h.s.Vessel(p)
	require.True(h.t, ok, p)
	return v
}

// at sets the clock on the wall, on the night of the 24th.
func (h *house) at(wall string) {
	h.t.Helper()
	t, err := time.ParseInLocation("15:04", wall, time.UTC)
	require.NoError(h.t, err)
	day := 24
	if t.Hour() < 12 {
		day = 25
	}
	h.now = time.Date(2026, 9, day, t.Hour(), t.Minute(), 0, 0, h.s.Zone())
}

func plainTheme() theme.Theme {
	r := lipgloss.NewRenderer(nil)
	r.SetColorProfile(termenv.Ascii)
	return theme.New(r, theme.Dark)
}

func (h *house) look() face.Sight {
	return face.Sight{State: h.s, Now: h.now, Who: h.who, Theme: plainTheme()}
}

func (h *house) open(kind intent.Form, name string) *entry.Entry {
	h.t.Helper()
	e, why := entry.Open(kind, face.SubjectOf(h.s.Known(name)), h.look)
	require.Empty(h.t, why)
	return e
}

// types presses keys and says whether the form was handed in.
func (h *house) types(e *entry.Entry, script string) bool {
	h.t.Helper()
	var up intent.Intent
	for _, msg := range tuitest.Keys(h.t, script) {
		up, _ = e.Form.Update(msg)
	}
	return up == intent.Submit{}
}

// typed is the command that a script of keys makes.
func (h *house) typed(e *entry.Entry, script string) cellar.Command {
	h.t.Helper()
	require.True(h.t, h.types(e, script), "handed in:\n%s", screen(e, 80, 24))
	c, err := e.Command(e.Form.Values())
	require.NoError(h.t, err)
	return c
}

func screen(e *entry.Entry, w, hgt int) string {
	return strings.Join(tuitest.Trim(e.Form.View(plainTheme(), layout.Box{W: w, H: hgt})), "\n")
}

func live(e *entry.Entry) string {
	if e.Form.Live == nil {
		return ""
	}
	return strings.Join(tuitest.Trim(e.Form.Live(e.Form.Values())), "\n")
}
