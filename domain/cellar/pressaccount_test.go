package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// What a press did is an account like any other: it follows from what was said of it at
// its true times, late, corrected and taken back.

const (
	begin = `21:00 NS {"do":"press-start","press":"P1","programme":"W-120","free_run":"103","pressings":"401"}`
	halt  = `22:00 NS {"do":"press-stop","press":"P1","reason":"noise"}`
	goes  = `22:30 NS {"do":"press-resume","press":"P1","answers":[{"rule":"D33","reason":"my lock,` +
		` taken off by me"}]}`
	second = `22:10 NS {"do":"press-stop","press":"P1","reason":"fitter","locked":true}`
)

func running(t *testing.T, lines ...string) *house {
	t.Helper()
	h := openHouse(t)
	h.say(t, append(append(append([]string{}, inP1...), begin), lines...)...)
	return h
}

// A press that stands says since when it stopped: not since when its programme began, nor
// since it was locked out as well; going on it is again what it was, since when it was.
func TestAPressStandsSinceItStopped(t *testing.T) {
	h := running(t, halt, second)
	p := pressOf(t, h, "P1")
	require.Equal(t, "locked out since 22:00", string(p.State)+" since "+h.s.Clock(p.Since))
	require.NoError(t, h.late(t, "22:20", `21:50 NS {"do":"press-stop","press":"P1","reason":"belt"}`))
	require.Equal(t, "21:50", h.s.Clock(p.Since), "the first of several stops, however late it was saved")
	h.say(t, goes)
	require.Equal(t, "pressing since 21:00", string(p.State)+" since "+h.s.Clock(p.Since))
	require.Equal(t, "23:40", h.s.Clock(p.End), "40 minutes later than 23:00")
}

// The end of a programme follows from when the press stood, also when that is corrected or
// taken back afterwards; an end that was typed stays.
func TestTheEndFollowsWhatAPressDid(t *testing.T) {
	h := running(t)
	stop := seqOf[*cellar.PressHalted](t, h, func() { h.say(t, halt) })
	h.say(t, goes)
	p := pressOf(t, h, "P1")
	require.Equal(t, "23:30", h.s.Clock(p.End))
	h.say(t, fmt.Sprintf(`22:40 NS {"do":"correct","of":%d,"field":"at","value":"2026-09-24T22:10:00+02:00",`+
		`"reason":"the watch was fast"}`, stop))
	require.Equal(t, "23:20", h.s.Clock(p.End))
	require.Equal(t, "23:20", dueOf(t, h, "P1"))
	require.Contains(t, h.said("P1"), "corrected time of stopped: noise: Thu 22:00 → Thu 22:10, the watch was fast")
	h.say(t, fmt.Sprintf(`22:45 NS {"do":"correct","of":%d,"take_back":true,"reason":"that was P2"}`, stop))
	require.Equal(t, "23:00", h.s.Clock(p.End), "it never stood")
	require.ErrorContains(t, h.hear(fmt.Sprintf(`22:46 NS {"do":"correct","of":%d,"take_back":true,`+
		`"reason":"that was P2"}`, stop)), "taken back already")

	h = running(t, halt)
	stop = h.s.Seq
	h.say(t, `22:30 NS {"do":"press-resume","press":"P1","until":"2026-09-24T23:45:00+02:00"}`)
	h.say(t, fmt.Sprintf(`22:40 NS {"do":"correct","of":%d,"field":"at","value":"2026-09-24T22:10:00+02:00",`+
		`"reason":"the watch was fast"}`, stop))
	require.Equal(t, "23:45", h.s.Clock(pressOf(t, h, "P1").End))
}

// A programme whose start is corrected runs as long as it runs.
func TestAProgrammeIsAsLongAsItIs(t *testing.T) {
	h := running(t)
	of := uint64(h.s.Seq)
	require.Equal(t, "23:00", dueOf(t, h, "P1"))
	h.say(t, fmt.Sprintf(`21:30 NS {"do":"correct","of":%d,"field":"at","value":"2026-09-24T20:50:00+02:00",`+
		`"reason":"ten minutes before"}`, of))
	require.Equal(t, "22:50", dueOf(t, h, "P1"))
	require.Equal(t, "20:50", h.s.Clock(pressOf(t, h, "P1").Started))
}

// Everything that a press did can be taken back, and then it is as if it had not been said.
func TestWhatAPressDidIsTakenBack(t *testing.T) {
	for name, line := range map[string]string{
		"goes on": goes,
		"ended":   `22:50 NS {"do":"juice","press":"P1","end":true,"answers":[{"rule":"D02"}]}`,
		"free":    `22:50 NS {"do":"press-free","press":"P1","more":true}`,
	} {
		t.Run(name, func(t *testing.T) {
			h := running(t, halt)
			was := *pressOf(t, h, "P1")
			before := h.s.Seq
			h.say(t, line)
			require.NotEqual(t, was, *pressOf(t, h, "P1"))
			h.say(t, fmt.Sprintf(`23:00 NS {"do":"correct","of":%d,"take_back":true,"reason":"another press"}`,
				before+1))
			require.Equal(t, was, *pressOf(t, h, "P1"))
			found := false
			for c := range h.s.Correctables("") {
				require.NotEqual(t, before+1, c.Of, "nothing is left of it to correct")
				found = found || c.About("P1") && c.Says == "stopped: noise"
			}
			require.True(t, found)
		})
	}
}

// A locked press says who wrote the lock; the sheet tells of the lock-outs of its shift.
func TestWhoseLockIsAsked(t *testing.T) {
	h := running(t, halt, second)
	says := h.asked(t, `22:30 MA {"do":"press-resume","press":"P1"}`)["D33"]
	require.Contains(t, says, "P1 has been locked out since 22:00, saved by NS: fitter. Whose lock was it")
	require.ErrorContains(t, h.hear(`22:30 MA {"do":"press-resume","press":"P1","answers":[{"rule":"D33"}]}`), "D33",
		"the lock is named")
	require.ErrorContains(t, h.hear(`22:31 MA {"do":"press-resume","press":"P1","happened":true}`), "D33",
		"also when it goes already")
	h.say(t, goes)
	all := h.s.Lockouts(at("20:00"))
	require.Len(t, all, 1)
	require.Equal(t, "P1 fitter NS 22:10 22:30", fmt.Sprintf("%s %s %s %s %s", all[0].Press, all[0].Why, all[0].By,
		h.s.Clock(all[0].At), h.s.Clock(all[0].Until)))
	require.Empty(t, h.s.Lockouts(at("23:00")))
}

// The end of a programme asks only for what is not there yet.
func TestTheEndAsksForWhatIsNotThereYet(t *testing.T) {
	end := `23:00 NS {"do":"juice","press":"P1","end":true}`
	h := running(t, `22:40 NS {"do":"juice","press":"P1","volume":"80 hL","closed":true}`)
	require.Contains(t, h.asked(t, end)["D02"], "No volume of pressings is given; 401 is named for them.")
	h.say(t, `22:50 NS {"do":"juice","press":"P1","share":"pressings","volume":"20 hL"}`, end)
	require.Equal(t, cellar.PressEmptying, pressOf(t, h, "P1").State)
}

// The last of one press leaves a tank open that another still fills; the last of the other
// closes it.
func TestTheLastOfOnePressLeavesTheOther(t *testing.T) {
	two := []string{`20:45 MA {"do":"press","press":"P2","rated":"24 t","empty":"35m","programmes":[{"name":"W-120",` +
		`"minutes":"120m"}]}`,
		`20:50 NS {"do":"load","load":"0502","variety":"Riesling","gross":"30000 kg","tare":"18000 kg",` +
			`"answers":[{"rule":"D23"}]}`,
		`20:51 NS {"do":"tip","load":"0502","to":"P2"}`, `20:59 NS {"do":"tipped","load":"0502","to":"P2"}`,
		`21:10 NS {"do":"press-start","press":"P2","programme":"W-120","free_run":"103","pressings":"401",` +
			`"answers":[{"rule":"W06"},{"rule":"H11"},{"rule":"W09"}]}`}
	last := func(when, press string) string {
		return when + ` NS {"do":"juice","press":"` + press + `","to":"103","volume":"20 hL","closed":true}`
	}
	h := running(t, two...)
	h.say(t, last("22:00", "P1"))
	v := vesselOf(t, h, "103")
	require.True(t, v.Now.Open, "P2 runs into it")
	require.Contains(t, words(h, v, "22:01"), "it is still filling from P2.")
	h.say(t, last("22:10", "P2"))
	require.False(t, v.Now.Open)

	h = running(t, two...) // saved in another order it is the same
	h.say(t, last("22:10", "P2"))
	require.NoError(t, h.late(t, "22:20", last("22:00", "P1")))
	require.False(t, vesselOf(t, h, "103").Now.Open)

	h = running(t, two...) // a press that is empty has given its last
	h.say(t, `22:00 NS {"do":"juice","press":"P1","to":"103","volume":"20 hL"}`,
		`23:00 NS {"do":"juice","press":"P1","share":"pressings","volume":"5 hL","end":true}`,
		`23:05 NS {"do":"press-free","press":"P1"}`)
	require.True(t, vesselOf(t, h, "103").Now.Open)
	h.say(t, last("23:06", "P2"))
	require.False(t, vesselOf(t, h, "103").Now.Open)
}
