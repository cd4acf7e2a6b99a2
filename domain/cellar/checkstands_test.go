package cellar_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
)

// lateOnto101 is juice that ran into 101 between the sample and the reading of check101,
// and lateInto101 enzyme that was poured then; both are saved later.
const (
	lateOnto101 = `22:02 MA {"do":"move","from":"102","to":[{"vessel":"101","volume":"5 hL"}],"part":true,` +
		`"blend":true,"answers":[{"rule":"D20"}]}`
	lateInto101 = `22:02 NS {"do":"dose","vessel":"101","product":"E-1","rate":"1 g/hL","answers":[{"rule":"H07",` +
		`"by":"MA","second":"NS","reason":"meant"}]}`
)

func lastVerdict(t *testing.T, h *house, p cellar.TankNumber) (clarity.Verdict, string) {
	t.Helper()
	all := holds(t, h, p).Checks
	require.NotEmpty(t, all)
	return all[len(all)-1].Verdict, all[len(all)-1].Why
}

// TestCheckWhoseJuiceChangedIsVoid: what came in between sample and reading, and was
// written late, voids the verdict and closes the gate; taken back, it stands again.
func TestCheckWhoseJuiceChangedIsVoid(t *testing.T) {
	for name, late := range map[string]string{"juice": lateOnto101, "E-1": lateInto101} {
		t.Run(name, func(t *testing.T) {
			h := openHouse(t)
			h.say(t, dose102, dose101, check101, clear101)
			require.NotZero(t, holds(t, h, "101").PectinGone)
			of := h.s.Seq + 1
			require.NoError(t, h.late(t, "22:15", late))
			verdict, why := lastVerdict(t, h, "101")
			require.Equal(t, clarity.Void, verdict)
			require.Equal(t, "After the sample, at 22:02, "+name+" came in: test again.", why)
			require.Zero(t, holds(t, h, "101").PectinGone)
			require.ErrorContains(t, h.hear(float101), "H09: No flotation on 101 yet: the pectin test of 22:00 is VOID")
			require.NotEmpty(t, h.s.ClocksOf(h.s.Known("101")), "somebody is called for the next test")
			h.say(t, fmt.Sprintf(`22:30 OF {"do":"correct","of":%d,"vessel":"101","take_back":true,`+
				`"reason":"another tank","answers":[{"rule":"D31"}]}`, of))
			verdict, _ = lastVerdict(t, h, "101")
			require.Equal(t, clarity.Negative, verdict)
			require.NotZero(t, holds(t, h, "101").PectinGone)
		})
	}
}

// TestFlocsStandWhateverCameIn: flocs show pectin, and what came in after the sample
// takes none away.
func TestFlocsStandWhateverCameIn(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose102, dose101, check101, `22:05 NS {"do":"pectin-test-read","vessel":"101","sample":"large flocs",`+
		`"control":"flocs"}`)
	require.NoError(t, h.late(t, "22:15", lateOnto101))
	verdict, _ := lastVerdict(t, h, "101")
	require.Equal(t, clarity.Positive, verdict)
}

// TestAHazeOfChangedJuiceIsVoid: it waits for no second look.
func TestAHazeOfChangedJuiceIsVoid(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose102, dose101, check101, `22:02 MA `+onto101,
		`22:05 NS {"do":"pectin-test-read","vessel":"101","sample":"faint haze","control":"flocs",`+
			`"answers":[{"rule":"H10"}]}`)
	verdict, _ := lastVerdict(t, h, "101")
	require.Equal(t, clarity.Void, verdict)
}

// TestVoidCheckReachesJuiceThatMovedOn: where the tank was racked meanwhile, the gate
// closes where its juice is now, and the form beforehand, the log and the sheet say so.
func TestVoidCheckReachesJuiceThatMovedOn(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 MA {"do":"shift-start","lead":"MA","ends":"2026-09-25T06:00:00+02:00"}`, dose102, dose101, check101,
		clear101,
		`22:10 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"150 hL"}],"part":true,`+
			`"answers":[{"rule":"D20"}]}`)
	require.NotZero(t, holds(t, h, "103").PectinGone)
	c, err := cellar.ParseLine([]byte(lateOnto101[len("22:02 MA "):]))
	require.NoError(t, err)
	cellar.HeadOf(c).By, cellar.HeadOf(c).At = "MA", at("22:02")
	_, effects, err := h.s.Foresee(c, at("22:15"))
	require.NoError(t, err)
	var says []string
	for _, e := range effects {
		says = append(says, string(e.Vessel)+" "+e.Say())
	}
	require.Contains(t, says, "103 test none → void in 101")

	require.NoError(t, h.late(t, "22:15", lateOnto101))
	now := holds(t, h, "103")
	require.Zero(t, now.PectinGone)
	require.NotNil(t, now.BroughtLast())
	require.Equal(t, "void in 101", now.BroughtLast().Say())
	require.ErrorContains(t, h.hear(`22:20 NS {"do":"stage","vessel":"103","stage":"flotation"}`),
		"what came from 101 is void by the pectin test of 22:00")
	text := fmt.Sprintf("%+v", handover.Sheet(h.s, at("22:30"), sheet.Mark{}))
	require.Contains(t, text, "test VOID: sample clear, control flocs. It proves nothing. After the sample, at "+
		"22:02, juice came in: test again. Its juice is in 103.")
	require.Contains(t, text, "void in 101")
	log := ""
	for _, e := range h.s.EventsOf(h.s.Known("103")) {
		log += e.Text + "\n"
	}
	require.Contains(t, log, "test none → void in 101")

	h.say(t, `22:40 NS {"do":"pectin-test","vessel":"103"}`,
		`22:45 NS {"do":"pectin-test-read","vessel":"103","sample":"clear","control":"flocs"}`)
	require.Nil(t, holds(t, h, "103").BroughtLast(), "it was tested where it is")
	require.False(t, strings.Contains(fmt.Sprintf("%+v", handover.Sheet(h.s, at("22:50"), sheet.Mark{})),
		"void in 101"))
}

// TestPositiveStaysPositiveWhereItIsRacked: a tank that takes positive juice is positive,
// in words, until it is tested; so is a blend with it, and what is racked on from there.
func TestPositiveStaysPositiveWhereItIsRacked(t *testing.T) {
	h := openHouse(t)
	h.say(t, dose101, check101, `22:05 NS {"do":"pectin-test-read","vessel":"101","sample":"large flocs",`+
		`"control":"flocs"}`,
		`22:10 MA {"do":"move","from":"101","to":[{"vessel":"103","volume":"100 hL"},{"vessel":"102",`+
			`"volume":"20 hL"}],"part":true,"blend":true,"answers":[{"rule":"D20"},{"rule":"H11","by":"OF",`+
			`"second":"NS","reason":"meant"},{"rule":"H03","by":"OF","second":"NS","reason":"meant"}]}`,
		`22:20 MA {"do":"move","from":"103","to":[{"vessel":"201","volume":"50 hL"}],"part":true,`+
			`"answers":[{"rule":"D20"}]}`)
	for _, p := range []cellar.TankNumber{"102", "103", "201"} {
		require.NotNil(t, holds(t, h, p).BroughtLast(), p)
		require.Equal(t, "positive in 101", holds(t, h, p).BroughtLast().Say(), p)
	}
	require.Nil(t, holds(t, h, "101").BroughtLast())
}
