package cellar_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/testdata/harvest"
)

// harvested is a small harvest played to its end, with the alarms taken off.
func harvested(t *testing.T) *house {
	x := harvest.Plan{Days: 12, Tanks: 30, Presses: 2, Finish: true}.Make()
	h := after(t, x, 0)
	h.now = h.now.Add(time.Hour)
	for _, k := range h.s.OpenAlarms(h.now) {
		h.does(t, &cellar.MoveClock{Head: cellar.Head{By: "MA"}, Clock: k.ID, Off: true, Reason: "the season is over"})
	}
	return h
}

// next plays what a season hands on into an empty journal.
func (h *house) next(t *testing.T, season string) *house {
	n := &house{s: cellar.NewState(), now: h.now}
	for _, c := range h.s.Carried("MA", h.now, cellar.Former{Season: season, Seq: h.s.Seq, Hash: "ab12"}) {
		_, err := n.try(c, n.now)
		require.NoError(t, err, cellar.Do(c))
	}
	return n
}

func TestASeasonGoesOnInTheNext(t *testing.T) {
	h := harvested(t)
	h.does(t, &cellar.CloseSeason{Head: cellar.Head{By: "MA"}, Season: "2026"})
	n := h.next(t, "2026")
	require.Equal(t, h.s.Total(), n.s.Total())
	require.NotZero(t, n.s.Total())
	for _, v := range h.s.Vessels() {
		w, ok := n.s.Vessel(v.Number)
		require.True(t, ok)
		require.Equal(t, v.VesselSetup, w.VesselSetup)
		require.Equal(t, v.Now.Stage, w.Now.Stage, v.Number)
		require.Equal(t, v.Now.Volume, w.Now.Volume, v.Number)
		require.Equal(t, v.Now.Name(), w.Now.Name(), v.Number)
		require.Equal(t, v.Now.Last.Density, w.Now.Last.Density, v.Number)
		require.InEpsilon(t, 1+so2(v), 1+so2(w), 0.001, v.Number)
		require.Len(t, w.Now.Parts, len(v.Now.Parts), v.Number)
		for i, p := range v.Now.Parts {
			require.Equal(t, "2026/"+string(p.Load), string(w.Now.Parts[i].Load))
			require.Equal(t, p.Volume, w.Now.Parts[i].Volume)
		}
	}
	for _, p := range h.s.Products() {
		q, _ := n.s.Product(p.ID)
		require.Equal(t, p, q)
	}
	require.Equal(t, cellar.Former{Season: "2026", Seq: h.s.Seq, Hash: "ab12"}, n.s.Season.Before)
	n.does(t, &cellar.BookLoad{Head: cellar.Head{By: "MA"}, Load: cellar.Load{ID: "0001", Variety: "Muscat",
		Booked: n.now.Add(time.Hour)}}) // numbers begin again
}

// so2 is what a vessel holds of SO2, in grams.
func so2(v *cellar.Vessel) (g float64) {
	for _, x := range v.Now.Doses {
		if x.Class == cellar.SO2 {
			g += x.Here.Mass.Grams()
		}
	}
	return g
}

// In a season that is closed nothing is saved any more, and its clocks call nobody.
func TestAClosedSeasonIsSealed(t *testing.T) {
	h := harvested(t)
	h.does(t, &cellar.CloseSeason{Head: cellar.Head{By: "MA"}, Season: "2026"})
	_, err := h.try(&cellar.WriteNote{Head: cellar.Head{By: "MA"}, Text: "late"}, h.now)
	require.ErrorContains(t, err, "season 2026 was closed at")
	require.Empty(t, h.s.Alarms(h.now.AddDate(0, 0, 30)))
	require.Empty(t, h.s.Next(h.now.AddDate(0, 0, 30)))
}

func TestASeasonIsNotClosedOverWhatStillRuns(t *testing.T) {
	for _, c := range []struct{ name, line, says string }{
		{name: "an open shift", line: `{"do":"shift-start","lead":"MA"}`, says: "the shift of MA is open"},
		{name: "an alarm", line: `{"do":"clock","subject":"201","verb":"look","in":"1m"}`,
			says: "201 look is due since"},
		{name: "a load in the yard", line: `{"do":"load","load":"8888","variety":"Muscat","gross":"9 t","tare":"4 t"}`,
			says: "load 8888 is in the yard"},
		{name: "must in a press", line: `{"do":"tip","load":"9002","to":"P1"}`, says: "P1 is filling"},
		{name: "bad air", line: `{"do":"gas","place":"701","co2":16000}`, says: "stands, end it by name first"},
		{name: "a permit", line: `{"do":"permit","number":"17","place":"701","given_by":"site","holder":"NS","attendant":"TQ",` +
			`"until":"LATER","co2":500,"o2":20.9,"meter":"G2"}`, says: "permit 17 is live"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := harvested(t)
			later := h.now.Add(2 * time.Hour).Format(time.RFC3339)
			cmd, err := cellar.ParseLine([]byte(strings.Replace(c.line, "LATER", later, 1)))
			require.NoError(t, err)
			cellar.HeadOf(cmd).By, cellar.HeadOf(cmd).Happened = "NS", true
			for _, who := range []cellar.Initials{"NS", "TQ"} { // who went home with the shift goes under no permit
				_, err = h.try(&cellar.ComeIn{Head: cellar.Head{By: "MA"}, Who: who}, h.now)
				require.NoError(t, err)
			}
			h.does(t, cmd)
			_, err = h.try(&cellar.CloseSeason{Head: cellar.Head{By: "MA"}, Season: "2026"}, h.now.Add(2*time.Minute))
			require.ErrorContains(t, err, c.says)
		})
	}
	h := harvested(t)
	_, err := h.try(&cellar.CloseSeason{Head: cellar.Head{By: "NS"}, Season: "2026"}, h.now)
	require.ErrorContains(t, err, "only a lead or the winemaker can close the season, not NS")
	_, err = h.try(&cellar.CloseSeason{Head: cellar.Head{By: "MA"}, Season: "../x"}, h.now)
	require.ErrorContains(t, err, "name the season by letters, digits and -")
}
