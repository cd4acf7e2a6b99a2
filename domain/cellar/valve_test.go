package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// TestADoseIsReadBackWhereItsTwinCouldTakeIt: the two are told apart before the tub is
// tipped; what is written is which number was read.
func TestADoseIsReadBackWhereItsTwinCouldTakeIt(t *testing.T) {
	h := openHouse(t)
	h.say(t, both...)
	line := `20:00 NS {"do":"dose","vessel":"206","product":"S-1","rate":"2 g/hL"`
	require.ErrorContains(t, h.hear(line+`}`), "H13: 206 is easily taken for 209 (6 for 9). 206 = 50.0 hL Muscat "+
		"juice; 209 = 50.0 hL Sauvignon juice, row 2 right. Which number do you see there?")
	require.ErrorContains(t, h.hear(line+`,"read_back":"209"}`),
		"You are at 209: 50.0 hL Sauvignon juice, row 2 right. It should be 206: 50.0 hL Muscat juice.")
	h.say(t, line+`,"read_back":"206"}`)
	v, _ := h.s.Vessel("206")
	require.Equal(t, cellar.TankNumber("206"), v.Now.Doses[len(v.Now.Doses)-1].Seen)

	// Yeast goes into no juice that is not clear yet: nobody would pour it into the twin.
	require.Empty(t, h.s.DoseReadsBack("206", cellar.YeastClass))
	// What has happened is written as it was.
	h.say(t, `20:30 NS {"do":"dose","vessel":"209","product":"S-1","rate":"2 g/hL","happened":true}`)
}

// TestFewNumbersAreReadBack: of the night's tanks only those are asked for besides the
// house's own list whose twin would come to harm. 501 and 601 have twins, and nothing
// of 104 goes into them; 105 stands clean and empty like nothing that is taken for it.
func TestFewNumbersAreReadBack(t *testing.T) {
	h := nightUntil(t, "02:10")
	listed := map[cellar.TankNumber]bool{}
	for _, p := range h.s.House.ReadBack {
		listed[p] = true
	}
	var asked []cellar.TankNumber
	for _, v := range h.s.Vessels() {
		if twins, ok := h.s.ReadsBack("104", v.Number); ok && !listed[v.Number] {
			require.NotEmpty(t, twins)
			asked = append(asked, v.Number)
		}
	}
	require.Equal(t, []cellar.TankNumber{"102", "402"}, asked)
	said := h.says(t, `02:10 NS {"do":"move","from":"104","to":[{"vessel":"301","volume":"10 hL"}],"part":true}`)
	require.Contains(t, said["H03"], "does not go there. Did you mean 103 (read backwards)?")
}

// TestTwinsAreToldApart: what stands at the one number and at the other is said
// before the number is typed, and when the wrong one has been typed.
func TestTwinsAreToldApart(t *testing.T) {
	h := openHouse(t)
	h.say(t, alike...)
	for line, says := range map[string]string{
		`20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true}`: "206 is easily taken " +
			"for 209 (6 for 9). 206 = empty clean; 209 = 50.0 hL Sauvignon juice, row 2 right, ON HOLD. Which " +
			"number do you see there?",
		`20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL","read_back":"209"}],"part":true}`: "You are at 209: " +
			"50.0 hL Sauvignon juice, row 2 right, ON HOLD. It should be 206: empty clean.",
		`20:00 NS {"do":"move","from":"101","to":[{"vessel":"209","volume":"10 hL","read_back":"206"}],"part":true}`: "You are at 206: " +
			"empty clean. It should be 209: 50.0 hL Sauvignon juice",
		`20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL","read_back":"260"}],"part":true}`: "There is no vessel " +
			"260. 206 is easily taken",
	} {
		var needs *cellar.Needs
		require.ErrorAs(t, h.hear(line), &needs, line)
		require.Contains(t, needs.Error(), says)
	}
	// What has happened is not asked for a number: by then it is known.
	h.say(t, `20:00 NS {"do":"move","from":"101","to":[{"vessel":"206","volume":"10 hL"}],"part":true,"happened":true}`)
	require.Empty(t, h.s.Answered)
	require.ErrorContains(t, h.hear(`20:01 MA {"do":"house","similar_numbers":"sometimes"}`), "not \"sometimes\"")
}
