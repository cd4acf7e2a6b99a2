package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/stage"
)

// notice is what Next says of a subject without a clock of its own.
func notice(h *house, subject, clock string) (cellar.Due, bool) {
	for _, d := range h.s.Next(at(clock)) {
		if d.Subject.Name == subject && d.Clock == "" {
			return d, true
		}
	}
	return cellar.Due{}, false
}

// TestNobodyHasLooked is W20: a vessel with a running clock that nobody has read,
// tested or dosed for two hours is worth a look; it is never an alarm.
func TestNobodyHasLooked(t *testing.T) {
	h := openHouse(t)
	h.say(t, dosed101[0])
	_, ok := notice(h, "101", "20:05")
	require.False(t, ok, "two hours are not over")
	d, ok := notice(h, "101", "20:06")
	require.True(t, ok)
	require.Equal(t, "look", d.Verb)
	require.Equal(t, cellar.NotBefore, d.Kind)
	require.False(t, d.Raised)
	require.Equal(t, "not checked since 18:05", d.Basis)
	require.Equal(t, "not checked", d.Notice)
	_, ok = notice(h, "101", "21:06")
	require.False(t, ok, "its test is due: the alarm says more")
	require.Empty(t, h.s.Alarms(at("20:06")), "no alarm is made of it")
	_, ok = notice(h, "102", "20:06")
	require.False(t, ok, "no clock runs on 102")

	h.say(t, `20:10 NS {"do":"reading","vessel":"101","temp":"14 °C"}`)
	_, ok = notice(h, "101", "20:15")
	require.False(t, ok, "somebody has looked")

	h = openHouse(t)
	h.say(t, dosed101[0], `18:05 MA {"do":"house","limits":{"check_within":"45m"}}`)
	_, ok = notice(h, "101", "18:55")
	require.True(t, ok, "the house's own time")
}

// Standing is what a settling tank is there for: it is worth a look only when it
// might have been racked for two hours.
func TestSettlingIsLeftAlone(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 NS {"do":"stage","vessel":"102","stage":"settling","until":"2026-09-25T04:00:00+02:00"}`)
	_, ok := notice(h, "102", "05:30")
	require.False(t, ok)
	_, ok = notice(h, "102", "06:01")
	require.True(t, ok)
}

// TestClearJuiceWithoutYeast is the second half of W18.
func TestClearJuiceWithoutYeast(t *testing.T) {
	clear := []string{`18:30 NS {"do":"stage","vessel":"102","stage":"settling","for":"5m"}`,
		`18:40 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],"lees":{"vessel":"701",` +
			`"volume":"8 hL"},"loss":"0.5 hL"}`}
	for _, c := range []struct {
		name string
		then []string
		want bool
	}{
		{name: "warm", then: []string{`19:00 NS {"do":"reading","vessel":"201","temp":"15 °C"}`}, want: true},
		{name: "cool", then: []string{`19:00 NS {"do":"reading","vessel":"201","temp":"13 °C"}`}},
		{name: "inoculated", then: append(append([]string{}, yeast...),
			`19:00 NS {"do":"reading","vessel":"201","temp":"15 °C"}`,
			`19:30 NS {"do":"dose","vessel":"201","product":"Y-1","rate":"20 g/hL"}`)},
	} {
		h := openHouse(t)
		h.say(t, clear...)
		h.say(t, c.then...)
		v, _ := h.s.Vessel("201")
		require.Equal(t, stage.ClearJuice, v.Now.Kind)
		_, ok := notice(h, "201", "06:40")
		require.False(t, ok, "1 minute to 12 hours are not over")
		d, ok := notice(h, "201", "06:41")
		require.Equal(t, c.want, ok, c.name)
		if ok {
			require.Equal(t, "inoculate", d.Verb)
		}
	}
}

// The bounds of a stage become clocks: skins have a least time and an end by
// which they are drained, hot must an end and a longest time.
func TestBoundsOfAStage(t *testing.T) {
	h := openHouse(t)
	h.say(t, weighed, `20:05 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`,
		`20:10 NS {"do":"stage","vessel":"103","stage":"skin contact","min":"2h","for":"4h"}`)
	var got []string
	for _, k := range h.s.ClocksOf(h.s.Known("103")) {
		if k.Kind == cellar.KindSkin {
			got = append(got, string(k.DueKind)+" "+h.s.Clock(k.Due))
		}
	}
	require.Equal(t, []string{"not-before 22:10", "not-after 00:10"}, got)

	h = openHouse(t)
	h.say(t, weighed, `20:05 NS {"do":"tip","load":"0501","to":"103","kind":"juice"}`,
		`20:10 NS {"do":"stage","vessel":"103","stage":"hot hold","for":"1h","max":"90m"}`)
	got = nil
	for _, k := range h.s.ClocksOf(h.s.Known("103")) {
		if k.Kind == cellar.KindHot {
			got = append(got, string(k.DueKind)+" "+h.s.Clock(k.Due))
		}
	}
	require.Equal(t, []string{"act-at 21:10", "not-after 21:40"}, got)
}

// Settled and floated juice have a time before which they are not racked, and one
// by which they are, where the house gave it.
func TestRackedByThen(t *testing.T) {
	h := openHouse(t)
	h.say(t, `18:30 NS {"do":"stage","vessel":"102","stage":"settling","for":"8h","max":"12h"}`)
	v, _ := h.s.Vessel("102")
	var got []string
	for _, k := range h.s.ClocksOf(h.s.Known("102")) {
		got = append(got, string(k.DueKind)+" "+k.Says()+" "+h.s.Clock(k.Due))
	}
	require.Equal(t, []string{"not-before rack 02:30", "not-after rack 06:30"}, got)
	require.Equal(t, cellar.NotBefore, h.s.StandingOf(v, at("02:00")).Kind, "first it may not")
	require.Equal(t, cellar.NotAfter, h.s.StandingOf(v, at("03:00")).Kind, "then it must")
	require.Empty(t, h.s.Alarms(at("06:14")))
	require.Len(t, h.s.Alarms(at("06:15")), 1, "a quarter of an hour before")
	h.say(t, `06:00 NS {"do":"move","from":"102","to":[{"vessel":"201","volume":"112 hL"}],"lees":{"vessel":"701",`+
		`"volume":"8 hL"},"loss":"0.5 hL"}`)
	require.Empty(t, h.s.ClocksOf(h.s.Known("102")), "racked, both are answered")

	h = openHouse(t)
	h.say(t, negative101...)
	h.say(t, `23:50 NS {"do":"stage","vessel":"101","stage":"flotation"}`,
		`00:50 NS {"do":"stage","vessel":"101","stage":"float cap forming","for":"90m","max":"4h"}`)
	due := ""
	for _, k := range h.s.ClocksOf(h.s.Known("101")) {
		if k.DueKind == cellar.NotAfter {
			due = k.Says() + " " + h.s.Clock(k.Due)
		}
	}
	require.Equal(t, "rack 04:50", due)
}
