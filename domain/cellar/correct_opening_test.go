package cellar_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
)

// lateOpening opens two tanks that had been dosed before, one of them twice with one lot.
func lateOpening(t *testing.T) (h *house, opening cellar.Seq) {
	h = newHouse(t)
	for _, l := range smallHouse[:len(smallHouse)-1] {
		require.NoError(t, h.line(l), l)
	}
	require.NoError(t, h.line(`{"do":"opening","at":"2026-09-24T18:00:00+02:00","by":"MA","vessels":[
		{"vessel":"101","volume":"200 hL","variety":"Muscat","kind":"juice","stage":"contact","since":"2026-09-24T17:00:00+02:00","temp":"13.5 °C","doses":[
			{"at":"2026-09-24T16:30:00+02:00","product":"S-1","rate":"2 g/hL","amount":"400 g"},
			{"at":"2026-09-24T17:00:00+02:00","product":"E-1","rate":"2 g/hL","amount":"400 g"},
			{"at":"2026-09-24T17:10:00+02:00","product":"E-1","rate":"1 g/hL","amount":"200 g"}]},
		{"vessel":"102","volume":"120 hL","variety":"Sauvignon","kind":"juice","stage":"settling","since":"2026-09-24T16:00:00+02:00","temp":"14 °C"}]}`))
	return h, h.s.Seq
}

// A time of an opening is corrected for the one line that it is of; all else stands.
func TestATimeOfTheOpeningIsOfOneVessel(t *testing.T) {
	h, of := lateOpening(t)
	right := func(vessel, says, clock string) error {
		return h.hear(fmt.Sprintf(`20:00 MA {"do":"correct","of":%d,"vessel":%q,"item":%q,"field":"at",`+
			`"value":"2026-09-24T%s:00+02:00","reason":"x"}`, of, vessel, says, clock))
	}
	all := func() string {
		out := ""
		for _, p := range []cellar.TankNumber{"101", "102"} {
			v, _ := h.s.Vessel(p)
			for _, it := range items(v) {
				if it.At.Before(at("12:00")) {
					continue // the tank was set up
				}
				says := "volume"
				switch {
				case it.Dose != nil:
					says = string(it.Dose.Product) + " " + it.Dose.Drawn.String()
				case it.Stage != nil:
					says = string(it.Stage.Stage)
				case it.Reading != nil:
					says = "reading"
				}
				out += fmt.Sprintf("%s %s %s, ", p, says, h.s.Clock(it.At))
			}
		}
		return out
	}
	require.Equal(t, "101 volume 16:30, 101 S-1 2.67 L 16:30, 101 E-1 400 g 17:00, 101 contact 17:00, 101 E-1 200 g "+
		"17:10, 101 reading 18:00, "+
		"102 volume 16:00, 102 settling 16:00, 102 reading 18:00, ", all())
	was := all()
	require.NoError(t, right("102", "settling", "15:30"))
	was = strings.Replace(was, "102 volume 16:00, 102 settling 16:00", "102 volume 15:30, 102 settling 15:30", 1)
	require.Equal(t, was, all(), "the other tank stands, and so does what was read of this one")
	require.Equal(t, "15:30", h.s.Clock(h.s.ClocksOf(h.s.Known("102"))[0].Start), "its clock goes by it")

	require.NoError(t, right("101", "E-1 (2)", "17:20"))
	was = strings.Replace(was, "E-1 200 g 17:10", "E-1 200 g 17:20", 1)
	require.Equal(t, was, all())

	require.ErrorContains(t, right("101", "reading", "17:00"),
		"value: the opening says of 101 when it was dosed and since when it is in its stage")
	require.ErrorContains(t, right("101", "E-1", "19:00"), "value: Thu 19:00 is after the opening, Thu 18:00")
	require.ErrorContains(t, h.hear(fmt.Sprintf(`20:00 MA {"do":"correct","of":%d,"vessel":"101","field":"at",`+
		`"value":"2026-09-24T16:00:00+02:00","reason":"x"}`, of)),
		"item: the opening says several things of 101; which one is meant: in from ")
	require.Equal(t, was, all())
}

// Every value of an opening is corrected in the vessel and the line that it is of.
func TestEveryValueOfTheOpeningIsOfOneVessel(t *testing.T) {
	h, of := lateOpening(t)
	right := func(more string) error {
		return h.hear(fmt.Sprintf(`20:00 MA {"do":"correct","of":%d,"reason":"x",%s}`, of, more))
	}
	other := fmt.Sprint(holds(t, h, "102").Volume, *holds(t, h, "102").Last.Temp)
	require.ErrorContains(t, right(`"vessel":"101","field":"amount","value":"300 g"`),
		"item: the opening says several things of 101")
	require.NoError(t, right(`"vessel":"101","item":"E-1 (2)","field":"amount","value":"300 g"`))
	require.NoError(t, right(`"vessel":"101","field":"temp","value":"12 °C","answers":[{"rule":"D24"}]`))
	require.NoError(t, right(`"vessel":"101","field":"volume","value":"190 hL"`))
	c := holds(t, h, "101")
	var drawn []string
	for _, d := range c.Doses {
		drawn = append(drawn, fmt.Sprint(d.Product, " ", d.Drawn))
	}
	require.ElementsMatch(t, []string{"S-1 2.67 L", "E-1 400 g", "E-1 300 g"}, drawn)
	require.Equal(t, quantity.HL(190), c.Volume)
	require.Equal(t, "12.0 °C", c.Last.Temp.String())
	require.Equal(t, other, fmt.Sprint(holds(t, h, "102").Volume, *holds(t, h, "102").Last.Temp),
		"the other tank stands")

	require.NoError(t, right(`"vessel":"101","item":"E-1 (2)","take_back":true`))
	require.Len(t, holds(t, h, "101").Doses, 2, "one dose is taken back, not both of its lot")
	v, _ := h.s.Vessel("101")
	mended := 0
	for _, it := range items(v) {
		mended += len(it.Mended)
	}
	require.Equal(t, 4, mended, "each line shows what was corrected of itself")
}
