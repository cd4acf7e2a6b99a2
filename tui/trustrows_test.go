package tui_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// bareHouse is a journal of a house with people and two tanks, and no night.
func bareHouse(t *testing.T, now time.Time) (*memory.Journal, *cellar.Desk) {
	t.Helper()
	j := memory.New()
	desk := &cellar.Desk{Journal: j, State: cellar.NewState(), Station: "test"}
	for _, l := range []string{
		`{"do":"house","name":"Test house","zone":"Europe/Paris","units":"metric","recipe":"1:2",` +
			`"people":[{"initials":"MA","name":"M","roles":["lead"]},{"initials":"NS","name":"N","roles":["tank"]}]}`,
		`{"do":"vessel","by":"MA","vessel":"101","brim":"250 hL","use":"settle"}`,
		`{"do":"vessel","by":"MA","vessel":"102","brim":"250 hL","use":"settle"}`,
		`{"do":"opening","by":"MA","vessels":[{"vessel":"101","volume":"200 hL","variety":"Muscat","kind":"juice",` +
			`"stage":"settling","temp":"13.5 °C"},{"vessel":"102","stage":"empty clean"}]}`,
	} {
		c, err := cellar.ParseLine([]byte(l))
		require.NoError(t, err)
		_, err = desk.Write(context.Background(), c, now)
		require.NoError(t, err, l)
	}
	return j, desk
}

// TestTrustRow07LongCountdowns: more than 99 hours, over the new year, and over a
// 29 February: the form holds, and the due is where it belongs.
func TestTrustRow07LongCountdowns(t *testing.T) {
	paris, err := time.LoadLocation("Europe/Paris")
	require.NoError(t, err)
	for name, tt := range map[string]struct {
		now  time.Time
		dues []time.Time
		says []string
	}{
		"long": {time.Date(2026, 9, 24, 22, 0, 0, 0, paris), []time.Time{time.Date(2026, 9, 29, 2, 0, 0, 0, paris),
			time.Date(2026, 10, 23, 22, 0, 0, 0, paris)}, []string{"Tue 02:00", "23 Oct 22:00", "in 4 d"}},
		"new-year": {time.Date(2027, 12, 31, 23, 50, 0, 0, paris), []time.Time{time.Date(2028, 1, 1, 0, 20, 0, 0,
			paris), time.Date(2028, 1, 2, 6, 0, 0, 0, paris)}, []string{"in 30 min", "Sun 06:00"}},
		"leap-day": {time.Date(2028, 2, 28, 23, 50, 0, 0, paris), []time.Time{time.Date(2028, 2, 29, 0, 20, 0, 0,
			paris), time.Date(2028, 3, 1, 6, 0, 0, 0, paris)}, []string{"in 30 min", "Wed 06:00"}},
	} {
		t.Run(name, func(t *testing.T) {
			j, desk := bareHouse(t, tt.now)
			for i, due := range tt.dues {
				_, err := desk.Write(context.Background(), &cellar.SetClock{Head: cellar.Head{By: "MA"},
					Subject: subject.Bare(fmt.Sprint(101 + i)), Verb: "look", Due: due}, tt.now)
				require.NoError(t, err)
			}
			d := tuitest.Sit(t, tui.Options{Journal: j, State: desk.State, Person: "MA", Station: "test"}, tt.now, 120,
				40)
			tuitest.Golden(t, "clock/"+name+"-120x40", d.Screen())
			d.Shows(tt.says...)
			d.Now = tt.dues[0].Add(-time.Second)
			d.Wait(0).Hides("▲ 101")
			d.Wait(time.Second).Shows("▲ 101")
			d.Wait(130 * time.Hour).Shows("5 d late")
		})
	}
}

// TestTrustRow11TwoAcknowledgeAtOnce: the first wins; the second is told who and
// when, and both see the same.
func TestTrustRow11TwoAcknowledgeAtOnce(t *testing.T) {
	start := clock(t, "22:00")
	for range 25 {
		j, desk := bareHouse(t, start)
		_, err := desk.Write(context.Background(), &cellar.SetClock{Head: cellar.Head{By: "MA"},
			Subject: subject.Bare("101"), Verb: "look", Due: start.Add(time.Minute)}, start)
		require.NoError(t, err)
		who := []cellar.Initials{"MA", "NS"}
		errs := make([]error, len(who))
		desks := make([]*cellar.Desk, len(who))
		var both sync.WaitGroup
		for i := range who {
			s, err := cellar.Replay(context.Background(), j)
			require.NoError(t, err)
			desks[i] = &cellar.Desk{Journal: j, State: s, Station: string(who[i])}
			both.Go(func() {
				_, errs[i] = desks[i].Write(context.Background(), &cellar.See{Head: cellar.Head{By: who[i]},
					Subject: subject.Bare("101"), Verb: "look"}, start.Add(2*time.Minute))
			})
		}
		both.Wait()
		first := 0
		if errs[0] != nil {
			first = 1
		}
		require.NoError(t, errs[first])
		var rej *cellar.Rejection
		require.True(t, errors.As(errs[1-first], &rej), "%v", errs[1-first])
		require.Contains(t, rej.Message(), string(who[first])+" acknowledged it at 22:02")
		s, err := cellar.Replay(context.Background(), j)
		require.NoError(t, err)
		for _, s := range []*cellar.State{s, desks[1-first].State} {
			require.Equal(t, who[first], s.ClocksOf(s.Known("101"))[0].AcknowledgedBy)
		}
	}
}

// TestTrustRow12SeenStaysSeen: what was acknowledged is so after a restart, and
// does not ring again.
func TestTrustRow12SeenStaysSeen(t *testing.T) {
	d, j := onMachine(t, "02:10", 80, 24)
	c := d.State().Alarms(d.Root.Sight().Now)[0]
	d.Press("a").Shows("acknowledged by MA")
	require.Equal(t, cellar.Initials("MA"), c.AcknowledgedBy)
	d.Machine.Pass(time.Minute)
	back := again(t, j, d.Machine)
	back.Wait(time.Second)
	k, ok := back.State().ClockByID(c.ID)
	require.True(t, ok)
	require.Equal(t, c.AcknowledgedBy, k.AcknowledgedBy)
	require.True(t, c.AcknowledgedAt.Equal(k.AcknowledgedAt))
	require.Contains(t, back.State().Alarms(back.Root.Sight().Now), k, "it stays due")
	back.Shows("MA")
}
