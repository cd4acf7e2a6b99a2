package cellar_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// TestStartedByItself: juice without yeast whose density has fallen by more than
// the house's three degrees Oechsle (common practice, no source) says so in its
// row, among what is worth a look, and on the sheet, until somebody says that it
// ferments or sows it.
func TestStartedByItself(t *testing.T) {
	first := `19:00 NS {"do":"reading","vessel":"102","density":"1.088"}`
	for _, c := range []struct {
		name string
		then []string
		want bool
	}{
		{name: "it fell by three", then: []string{`22:00 NS {"do":"reading","vessel":"102","density":"1.085"}`}},
		{name: "it fell by four", then: []string{`22:00 NS {"do":"reading","vessel":"102","density":"1.084"}`},
			want: true},
		{name: "it rose", then: []string{`22:00 NS {"do":"reading","vessel":"102","density":"1.095"}`}},
		{name: "the house waits for more", then: []string{`18:30 MA {"do":"house","limits":{"start_drop":5}}`,
			`22:00 NS {"do":"reading","vessel":"102","density":"1.084"}`}},
		{name: "it settles", then: []string{`19:30 NS {"do":"stage","vessel":"102","stage":"settling"}`,
			`22:00 NS {"do":"reading","vessel":"102","density":"1.080"}`}, want: true},
		{name: "it has been inoculated", then: append(append([]string{}, yeast...),
			`19:30 NS {"do":"dose","vessel":"102","product":"Y-1","rate":"20 g/hL"}`,
			`22:00 NS {"do":"reading","vessel":"102","density":"1.080"}`)},
		{name: "somebody has said so", then: []string{`22:00 NS {"do":"reading","vessel":"102","density":"1.080"}`,
			`22:05 MA {"do":"stage","vessel":"102","stage":"fermenting","reason":"started by itself"}`}},
	} {
		h := openHouse(t)
		h.say(t, first)
		h.say(t, c.then...)
		v, _ := h.s.Vessel("102")
		d, ok := notice(h, "102", "22:10")
		require.Equal(t, c.want, ok && d.Notice == "started?", c.name)
		require.Equal(t, c.want, h.s.StandingOf(v, at("22:10")).Text == cellar.Started, c.name)
		front := fmt.Sprint(handover.Sheet(h.s, at("22:10"), sheet.Mark{}).NoHome)
		if !c.want {
			require.Empty(t, h.s.StartedSays(v), c.name)
			require.NotContains(t, front, "started", c.name)
			continue
		}
		require.Equal(t, d.Basis, h.s.StartedSays(v))
		require.Contains(t, front, d.Basis)
		require.False(t, d.Raised, "worth a look, never an alarm")
	}
}

// TestUndecidedJuiceHasAClock: juice that waits warm for four hours (kept at 10
// to 13 °C or below it may stand longer: a trade page on settling, read) is worth a
// decision.
func TestUndecidedJuiceHasAClock(t *testing.T) {
	for _, c := range []struct {
		name string
		then []string
		want string
	}{
		{"at 14 °C", nil, "too warm"},
		{"cooled to 13 °C", []string{`19:00 NS {"do":"reading","vessel":"102","temp":"13 °C"}`}, ""},
		{"its route is decided: it settles", []string{`19:00 NS {"do":"stage","vessel":"102","stage":"settling"}`}, ""},
		{"the house lets it stand longer", []string{`18:30 MA {"do":"house","limits":{"undecided_for":"6h"}}`}, ""},
		{"the house lets it stand warmer", []string{`18:30 MA {"do":"house","limits":{"undecided_below":"15 °C"}}`},
			""},
	} {
		h := openHouse(t)
		h.say(t, c.then...)
		_, ok := notice(h, "102", "22:00")
		require.False(t, ok, "four hours are not over")
		d, ok := notice(h, "102", "22:01")
		require.Equal(t, c.want != "", ok, c.name)
		require.Equal(t, c.want, d.Notice, c.name)
		if ok {
			require.Equal(t, "cool it", d.Verb)
			require.Equal(t, "14.0 °C, waiting since 18:00: cool it, or settle or float it", d.Basis)
			require.Contains(t, fmt.Sprint(handover.Sheet(h.s, at("22:01"), sheet.Mark{}).NoHome),
				"WARM: 101 Muscat 200.0, 102 Sauvignon 120.5.")
		}
	}
}
