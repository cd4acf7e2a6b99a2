package cellar

import (
	"testing"
	"time"
)

func TestSmokeLine(t *testing.T) {
	s := NewState()
	now := time.Date(2026, 9, 24, 16, 0, 0, 0, time.UTC)
	for _, l := range []string{
		`{"do":"house","name":"X","zone":"Europe/Paris","units":"metric","recipe":"1:2","people":[{"initials":"MA","name":"M","roles":["lead"]}]}`,
		`{"do":"vessel","by":"MA","vessel":"104","brim":"250 hL","use":"settle"}`,
		`{"do":"product","by":"MA","product":"E-2204","name":"clarifying enzyme","class":"enzyme-clarify","unit":"g/hL","open":"580 g","expiry":"2026-12","card":{"rows":[{"from":"15 °C","to":"20 °C","wait":"2h"},{"from":"12 °C","to":"15 °C","wait":"3h"},{"from":"10 °C","to":"12 °C","wait":"4h"}],"floor":"10 °C","ceiling":"45 °C","low":"1 g/hL","high":"4 g/hL","max":"6 g/hL","make_up":10}}`,
		`{"do":"opening","by":"MA","vessels":[{"vessel":"104","volume":"104 hL","variety":"Sauvignon","kind":"juice","stage":"waiting","temp":"13.5 °C"}]}`,
		`{"do":"dose","by":"MA","vessel":"104","product":"E-2204","rate":"1.5 g/hL"}`,
	} {
		c, err := ParseLine([]byte(l))
		if err != nil {
			t.Fatal(l, err)
		}
		facts, err := Decide(s, c, now)
		if err != nil {
			t.Fatal(l, err)
		}
		for _, r := range Records(c, facts, now, "t") {
			r.Seq = s.Seq + 1
			Apply(s, r)
		}
	}
	for _, c := range s.Clocks() {
		t.Log(c.Subject, c.Verb, c.Due, c.Basis)
	}
	v, _ := s.Vessel("104")
	t.Logf("%+v", v.Now)
}
