package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/stage"
)

// The problems of the demo night from half past ten on; see problems_test.go.

// E074, 22:45: the skins of 502 stand over their longest time while P3 is busy.
func TestProblemN09SkinsTooLong(t *testing.T) {
	h, _ := nightBefore(t, "E074", 0)
	k := h.s.ClocksOf(h.s.Known("502"))[0]
	nightSame(t, "the longest time", k.Says()+" "+h.s.Clock(k.Due)+" "+string(k.DueKind), "drain 22:40 not-after")
	due, _ := k.AlarmAt()
	nightSame(t, "its alarm comes before", h.s.Clock(due), "22:25")
	said := h.says(t, `22:45 MA {"do":"move","from":"502","to":[{"vessel":"208","volume":"35 hL",`+
		`"read_back":"208"}],"part":true}`)
	require.Contains(t, said["W05"], "The skins of 502 were due to drain by 22:40, 5 min ago.")
	h, _ = nightBefore(t, "E061", 0) // 501 at 22:00, in time
	require.NotContains(t, h.says(t, `22:00 TQ {"do":"stage","vessel":"501","stage":"draining"}`), "W05")
}

// E092, 00:10: the pomace trailer is full; P1 waits, and its clock says for what.
func TestProblemN10PomaceTrailer(t *testing.T) {
	h, _ := nightBefore(t, "E092", 0)
	nightSame(t, "P1 before", h.due("P1", "empty it"), "00:15 act-at")
	require.Contains(t, h.says(t, `00:10 TQ {"do":"clock-move","subject":"P1","verb":"empty",`+
		`"due":"2026-09-25T00:25:00+02:00"}`)["no"], "reason")
	h, _ = nightBefore(t, "E092", 3) // three of its commands are written
	nightSame(t, "P1 now", h.due("P1", "empty it"), "00:25 act-at")
	nightSame(t, "JH comes back", h.due("pomace trailer", "return"), "00:25 act-at")
	require.Contains(t, h.said("P1"), "empty it: due 00:15 → 00:25, pomace trailer full")
	_, waits := h.s.EmptyAt(h.press("P1"))
	nightSame(t, "what P1 waits for", h.s.Words(waits), "pomace trailer full")
	for _, d := range h.s.Next(nightAt("00:20")) {
		require.False(t, d.Subject.Name == "P1" && d.Raised, "the old due never rings")
	}
}

// E113, 02:20: the third positive near the slot of the flotation. The trend is on
// the tank, the route is to be decided, and floating now is refused.
func TestProblemN13StillPositive(t *testing.T) {
	h, read := nightBefore(t, "E113", 1)
	said := h.says(t, `02:20 NS {"do":"pectin-test-read","vessel":"102","sample":"fine flocs","control":"flocs"}`)
	require.Contains(t, said["W11"], "The third positive in a row on 102, 9 h 50 after the first dose: call, and "+
		"plan another route.")
	h.plays(t, read)
	var trend []string
	for _, k := range h.vessel("102").Now.Checks {
		trend = append(trend, fmt.Sprintf("%s %s %s", h.s.Clock(k.Started), k.Sample, k.Verdict))
	}
	require.Equal(t, []string{"20:30 large flocs POSITIVE", "23:00 small flocs POSITIVE", "02:15 fine flocs POSITIVE"},
		trend)
	nightSame(t, "the route", h.due("102", "settle or float?"), "04:20 not-after")
	nightSame(t, "the next look", h.due("102", "test"), "03:15 act-at")
	require.Contains(t, h.says(t, `02:21 NS {"do":"stage","vessel":"102","stage":"flotation"}`)["H09"],
		"No flotation on 102 yet: the pectin test of 02:15 is POSITIVE.")
	require.Contains(t,
		h.says(t, `02:21 NS {"do":"dose","vessel":"102","product":"bentonite","rate":"30 g/hL"}`)["H09"],
		"the pectin test of 02:15 is POSITIVE")
}

// E128, 03:20: saignée and press rosé in 406 have stood warm and undecided since
// six, and start by themselves.
func TestProblemN14StartsByItself(t *testing.T) {
	h, reading := nightBefore(t, "E128", 0)
	warm, ok := notice(h.house, "406", "03:19")
	require.True(t, ok, "worth a decision long before it starts")
	nightSame(t, "what the list says", warm.Notice+" "+warm.Verb, "too warm cool it")
	require.Equal(t, "18.0 °C, waiting since 18:00: cool it, or settle or float it", warm.Basis)
	h.plays(t, reading)
	d, _ := notice(h.house, "406", "03:20")
	nightSame(t, "what it says then", d.Notice, "started?")
	require.Equal(t, "1.088 at 18:00, 1.080 at 03:20, no yeast: started by itself?", h.s.StartedSays(h.vessel("406")))
	require.Contains(t, fmt.Sprint(h.front("03:25").NoHome), "started by itself?")
	h = nightUntil(t, "03:50") // E129 and E138: it ferments, and is inoculated
	_, ok = notice(h.house, "406", "03:51")
	require.False(t, ok)
	nightSame(t, "406", h.vessel("406").Now.Stage, stage.Fermenting)
}

// E143, 04:35: both tubes are clear. It is no result, and opens nothing; E148
// with a fresh control and fresh alcohol is.
func TestProblemN15ControlClear(t *testing.T) {
	h, read := nightBefore(t, "E143", 1)
	h.plays(t, read)
	nightSame(t, "the verdict", h.lastCheck("102").Verdict, clarity.Invalid)
	for _, line := range []string{`04:36 NS {"do":"stage","vessel":"102","stage":"flotation"}`,
		`04:36 NS {"do":"dose","vessel":"102","product":"bentonite","rate":"30 g/hL"}`} {
		require.Contains(t, h.says(t, line)["H09"], "the pectin test of 04:30 is INVALID. Wait for a valid "+
			"negative: sample clear beside a control that flocs.")
	}
	nightSame(t, "again", h.due("102", "test"), "04:50 act-at")
	require.Contains(t, fmt.Sprint(h.front("04:40").Happened),
		"test INVALID: sample clear, control clear. It proves nothing.")
	h = nightUntil(t, "04:55")
	nightSame(t, "the verdict of E148", h.lastCheck("102").Verdict, clarity.Negative)
	require.Empty(t, h.says(t, `04:56 NS {"do":"dose","vessel":"102","product":"bentonite","rate":"30 g/hL"}`))
	require.Empty(t, h.says(t, `04:57 NS {"do":"stage","vessel":"102","stage":"flotation"}`))
}

// E047, 21:10: somebody wants to climb into 307. No word writes that.
func TestProblemN16IntoATank(t *testing.T) {
	h, leave := nightBefore(t, "E047", 0)
	nightSame(t, "the line of every face", h.s.EntryLine(h.now), "NO TANK ENTRY: no live permit")
	for _, more := range []string{"", `,"happened":true`, `,"answers":[{"rule":"H17","by":"OF","second":"MA",` +
		`"reason":"only for a minute"}]`} {
		said := h.says(t, fill(`21:10 JH {"do":"enter-vessel","place":"307","permit":""%s}`, more))
		require.Contains(t, said["H17"], "JH into 307 is not saved: no permit number, no attendant, no gas reading. "+
			"Do not put your head in. If somebody is in there, get help, do not go in.")
	}
	h.plays(t, leave)
	nightSame(t, "the near miss", h.s.Stopped[len(h.s.Stopped)-1].Rule, gate.Code("H17"))
	require.Contains(t, fmt.Sprint(h.front("21:15").Safety), "near misses, stopped: 21:10 at 307.")
}

// E134 to E145: two loads run into 103, each half gets its dose. The contact
// counts from the last of both, and no due is named while the tank is open.
func TestProblemN17TwoHalves(t *testing.T) {
	h, dose := nightBefore(t, "E134", 0)
	h.plays(t, dose)
	k, ok := h.s.ContactOf(h.vessel("103"), nightAt("03:35"))
	require.True(t, ok)
	require.True(t, k.Open)
	require.False(t, k.HasDue)
	nightSame(t, "its row", h.s.StandingOf(h.vessel("103"), nightAt("03:40")).Text, "filling, no due time")
	require.Contains(t, h.says(t, `03:40 NS {"do":"move","from":"103","to":[{"vessel":"210","volume":"50 hL",`+
		`"read_back":"210"}],"part":true}`)["D20"], "it is still filling from P1.")
	h.plays(t, &cellar.StartCheck{Head: cellar.Head{By: "NS", At: nightAt("03:50")}, Vessel: "103"})
	h.plays(t, &cellar.ReadCheck{Head: cellar.Head{By: "NS", At: nightAt("03:55")}, Vessel: "103", Sample: "clear",
		Control: "flocs"})
	require.Contains(t, h.says(t, `03:56 NS {"do":"stage","vessel":"103","stage":"flotation"}`)["D13"],
		"103 still fills from P1: that juice has had no enzyme")
	h = nightUntil(t, "04:44") // E142 has closed it; the second half is not dosed
	k, _ = h.s.ContactOf(h.vessel("103"), nightAt("04:44"))
	nightSame(t, "from the last untreated juice", h.s.Clock(k.Start), "04:10")
	nightSame(t, "its row then", h.s.StandingOf(h.vessel("103"), nightAt("04:44")).Text, "read temperature")
	h = nightUntil(t, "04:45") // E145 and E147
	k, _ = h.s.ContactOf(h.vessel("103"), nightAt("04:45"))
	require.False(t, k.Open)
	nightSame(t, "from the last dose", h.s.Clock(k.Start), "04:45")
	nightSame(t, "the test", h.due("103", "test"), "07:45 act-at")
}

// E159, 05:40: 403 is full, and two press fractions are on their way. E149 had
// started P2 without a tank for its own.
func TestProblemN18NowhereToGo(t *testing.T) {
	h, _ := nightBefore(t, "E149", 0)
	require.Contains(t,
		h.says(t, `04:55 BO {"do":"press-start","press":"P2","programme":"W-120","free_run":"101"}`)["H05"],
		"No tank is named for the pressings of P2.")
	h = nightUntil(t, "05:55")
	var rows []string
	for _, r := range h.front("05:55").NoHome {
		rows = append(rows, r.Where+" "+r.What)
	}
	require.Contains(t, rows, "P2 pressings about 22.4 hL, no tank yet; room: 401 9.0 hL, 403 3.4 hL (same grapes), "+
		"K3 9.8 hL.")
	require.Contains(t, rows, "P1 pressings about 28.6 hL, no tank yet; room: K3 9.8 hL.")
	h = nightUntil(t, "05:55")
	said := h.says(t, `05:56 TQ {"do":"juice","press":"P2","to":"403","share":"pressings","volume":"22.4 hL"}`)
	require.Contains(t, said["no"]+said["H06"], "403")
}
