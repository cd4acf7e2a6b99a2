package contact_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	. "cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

func TestValidate(t *testing.T) {
	for name, c := range map[string]Card{
		"demo": demo(), "hot": hot(), "no rows": {}, "a gap": {Rows: []Row{{10, 12, hours(4)}, {15, 20, hours(2)}}},
		"equal waits": {Rows: []Row{{10, 12, hours(2)}, {12, 20, hours(2)}}}, "own Ea": {Rows: demo().Rows, Ea: 9},
		"ceiling on the edge": {Rows: []Row{{10, 20, hours(2)}}, Ceiling: 20},
	} {
		assert.NoError(t, c.Validate(), name)
	}
	nan := quantity.Celsius(math.NaN())
	for name, c := range map[string]Card{
		"backwards":          {Rows: []Row{{12, 10, hours(4)}}},
		"no width":           {Rows: []Row{{12, 12, hours(4)}}},
		"no wait":            {Rows: []Row{{10, 12, 0}}},
		"minus wait":         {Rows: []Row{{10, 12, hours(-1)}}},
		"overlap":            {Rows: []Row{{12, 15, hours(3)}, {10, 12.5, hours(4)}}},
		"twice":              {Rows: []Row{{12, 15, hours(3)}, {12, 15, hours(3)}}},
		"rising":             {Rows: []Row{{10, 12, hours(2)}, {12, 15, hours(3)}}},
		"floor over ceiling": {Rows: nil, Floor: 20, Ceiling: 15},
		"ceiling in a band":  {Rows: []Row{{10, 20, hours(2)}}, Ceiling: 18},
		"Ea too flat":        {Rows: demo().Rows, Ea: 8},
		"Ea too steep":       {Rows: demo().Rows, Ea: 81},
		"Ea minus":           {Rows: demo().Rows, Ea: -41.8},
		"Ea no number":       {Rows: demo().Rows, Ea: math.NaN()},
		"band no number":     {Rows: []Row{{nan, 12, hours(4)}}},
		"floor no number":    {Rows: demo().Rows, Floor: nan},
		"ceiling endless":    {Rows: demo().Rows, Ceiling: quantity.Celsius(math.Inf(1))},
	} {
		err := c.Validate()
		require.Error(t, err, name)
		assert.True(t, strings.HasSuffix(err.Error(), "."), err)
		assert.NotContains(t, err.Error(), "NaN")
		assert.NotContains(t, err.Error(), "%!")
	}
	rows := demo().Rows
	require.NoError(t, Card{Rows: rows}.Validate())
	assert.Equal(t, demo().Rows, rows, "the rows stay in the order in which they were typed")
}

func TestRowFor(t *testing.T) {
	for _, c := range []struct {
		t    quantity.Celsius
		want float64 // hours, 0 for none
	}{
		{9.99, 0}, {10, 4}, {11, 4}, {12, 4}, {12.01, 3}, {15, 3}, {15.01, 2}, {20, 2}, {20.01, 2}, {60, 2}, {-5, 0},
		{quantity.Celsius(math.NaN()), 0}, {quantity.Celsius(math.Inf(1)), 0},
	} {
		row, ok := demo().RowFor(c.t)
		assert.Equal(t, c.want > 0, ok, c.t)
		assert.Equal(t, hours(c.want), row.Wait, c.t)
	}
	gap := Card{Rows: []Row{{15, 20, hours(2)}, {10, 12, hours(4)}}}
	for temp, want := range map[quantity.Celsius]float64{12: 4, 12.1: 4, 14.9: 4, 15: 2} {
		row, ok := gap.RowFor(temp)
		assert.True(t, ok, temp)
		assert.Equal(t, hours(want), row.Wait, "between two rows the colder holds: %v", temp)
	}
	_, ok := Card{}.RowFor(15)
	assert.False(t, ok)
}

func TestCardAsText(t *testing.T) {
	text, err := json.Marshal(demo())
	require.NoError(t, err)
	assert.JSONEq(t,
		`{"rows":[{"from":"15.0 °C","to":"20.0 °C","wait":"2h"},{"from":"12.0 °C","to":"15.0 °C","wait":"3h"},
		{"from":"10.0 °C","to":"12.0 °C","wait":"4h"}],"floor":"10.0 °C","ceiling":"45.0 °C"}`, string(text))
	var back Card
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, demo(), back)
	require.NoError(t, json.Unmarshal([]byte(`{"rows":[{"from":"50F","to":"12 °C","wait":"240 min"}],"ea":62.1}`),
		&back))
	assert.Equal(t, Row{10, 12, hours(4)}, back.Rows[0])
	require.EqualError(t, json.Unmarshal([]byte(`{"rows":[{"from":"50F","to":"12 °C","wait":"2"}]}`), &back),
		`"2" has no unit: type 2 h or 2 min.`)
}

func TestWithoutWhatItNeeds(t *testing.T) {
	start := clock(t, "20:00")
	at := clock(t, "21:00")
	log := logged(t, "20:00=13")

	blind := Run{Card: demo(), Start: start}
	assert.Zero(t, blind.Progress(at))
	_, ok, why := blind.ModelDue(at)
	assert.False(t, ok)
	assert.Equal(t, NoTemperature, why)
	d := blind.Deadline(at)
	assert.Equal(t, Deadline{ModelWhy: NoTemperature, Basis: d.Basis}, d)

	later := Run{Card: demo(), Start: start, Readings: logged(t, "22:00=13")}
	assert.Equal(t, NoTemperature, later.Deadline(at).ModelWhy, "a reading is not known before it is taken")
	assert.InDelta(t, 1/3.194, later.Progress(at), 0.02, "but afterwards it is held back to the start")

	bare := Run{Start: start, Readings: log}
	assert.Zero(t, bare.Progress(at))
	_, ok, why = bare.ModelDue(at)
	assert.False(t, ok)
	assert.Empty(t, why)
	d = bare.Deadline(at)
	assert.False(t, d.HasDue || d.OnCard)
	assert.Equal(t, "no card", d.Basis.In(text.Units(quantity.Metric)))

	unstarted := Run{Card: demo(), Readings: log}
	assert.Zero(t, unstarted.Progress(at))
	d = unstarted.Deadline(at)
	assert.False(t, d.HasDue || d.HasModel)
	assert.Equal(t, "not started", d.Basis.In(text.Units(quantity.Metric)))

	broken := Run{Card: demo(), Start: start, Readings: []Reading{{start, quantity.Celsius(math.NaN())},
		{at, quantity.Celsius(math.Inf(1))}}}
	assert.Equal(t, NoTemperature, broken.Deadline(at).ModelWhy)
	assert.Zero(t, broken.Progress(at))

	ahead := Run{Card: demo(), Start: at, Readings: log}
	assert.Zero(t, ahead.Progress(start))
	due, ok, _ := ahead.ModelDue(start)
	assert.True(t, ok)
	assert.True(t, due.After(at), "a clock that starts later is due later")
}

func TestReadingsBeforeTheStart(t *testing.T) {
	r := Run{Card: demo(), Start: clock(t, "20:00"), Readings: logged(t, "16:00=9 18:00=14 21:00=17")}
	d := r.Deadline(clock(t, "21:00"))
	assert.Equal(t, quantity.Celsius(14), d.Lowest, "what was before the last one before the start does not count")
	assert.Equal(t, clock(t, "23:00"), d.Due)
	r.Readings = logged(t, "16:00=9 20:00=14 21:00=17")
	assert.Equal(t, quantity.Celsius(14), r.Deadline(clock(t, "21:00")).Lowest,
		"a reading at the start is the one that holds")
	r.Readings = logged(t, "21:00=17 22:00=16")
	assert.Equal(t, quantity.Celsius(17), r.Deadline(clock(t, "21:30")).Lowest)
}

func TestOfTwoInOneMinuteTheLaterEntryWins(t *testing.T) {
	start := clock(t, "20:00")
	r := Run{Card: demo(), Start: start, Readings: []Reading{{start, 13}, {start.Add(40 * time.Second), 9},
		{start.Add(20 * time.Second), 16}}}
	d := r.Deadline(start.Add(time.Minute))
	assert.Equal(t, quantity.Celsius(16), d.Lowest)
	assert.Equal(t, clock(t, "22:00"), d.Due)
	// What was typed later in the minute is not known earlier in it.
	d = r.Deadline(start.Add(10 * time.Second))
	assert.Equal(t, quantity.Celsius(13), d.Lowest)
	assert.Len(t, r.Readings, 3)
}

func TestEdgesOfTheModel(t *testing.T) {
	start := clock(t, "20:00")
	at := start.Add(time.Hour)
	p := func(c Card, temp quantity.Celsius) float64 {
		return Run{Card: c, Start: start, Readings: []Reading{{start, temp}}}.Progress(at)
	}
	assert.Positive(t, p(demo(), 5), "the edge at 5 °C still counts")
	assert.Zero(t, p(demo(), 4.999))
	assert.InDelta(t, 0.5, p(demo(), 45), 1e-12, "the ceiling still counts")
	assert.Zero(t, p(demo(), 45.001))
	for temp, want := range map[quantity.Celsius]float64{11: 4, 13.5: 3, 17.5: 2, 30: 2} {
		assert.InDelta(t, 1/want, p(demo(), temp), 1e-12, "the middle of a band has the hours of the band")
	}
	noCeiling := demo()
	noCeiling.Ceiling = 0
	assert.InDelta(t, 0.5, p(noCeiling, 90), 1e-12)
	assert.False(t, Run{Card: noCeiling, Start: start, Readings: []Reading{{start, 90}}}.Deadline(at).Hot)

	// A card whose own slope is flat is held to the activation energy below.
	flat := Card{Rows: []Row{{10, 12, hours(2)}, {12, 20, hours(2)}}}
	want := 0.5 * math.Exp(-41.8/8.314462618e-3*(1/(273.15+6)-1/(273.15+11)))
	assert.InDelta(t, want, p(flat, 6), 1e-12)
	flat.Ea = 62.1
	assert.Less(t, p(flat, 6), want)

	// A contact that would take months is too cold, not slow.
	steep := Card{Rows: []Row{{20, 20.1, hours(100)}, {20.1, 20.2, hours(1)}}}
	_, ok, why := Run{Card: steep, Start: start, Readings: []Reading{{start, 10}}}.ModelDue(at)
	assert.False(t, ok)
	assert.Equal(t, TooCold, why)
}

// Cards that Validate refuses, and instants far apart, still give numbers.
func TestNothingEscapes(t *testing.T) {
	far := time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)
	inf := quantity.Celsius(math.Inf(1))
	cards := []Card{
		{Rows: []Row{{12, 15, hours(3)}, {12, 15, hours(2)}}},
		{Rows: []Row{{12, 15, 1}, {20, 25, math.MaxInt64}}},
		{Rows: []Row{{10, 12, 0}, {12, 15, -5}}},
		{Rows: []Row{{inf, inf, hours(1)}}},
		{Rows: []Row{{-400, -300, hours(1)}}},
		{Rows: []Row{{20, 20.0000000000001, hours(1)}, {20.0000000000001, 20.0000000000002, hours(0.5)}}},
		{Rows: demo().Rows, Ea: math.NaN(), Ceiling: inf},
		{Rows: demo().Rows, Ea: math.Inf(1)},
	}
	for i, c := range cards {
		for _, temp := range []quantity.Celsius{-1e300, -273.15, 5, 11, 20, 1e300} {
			r := Run{Card: c, Start: evening, Readings: []Reading{{evening, temp}, {evening.Add(time.Hour), 20}}}
			for _, at := range []time.Time{{}, evening, evening.Add(time.Hour), far} {
				p := r.Progress(at)
				assert.False(t, math.IsNaN(p) || math.IsInf(p, 0), "card %d at %v", i, temp)
				assert.GreaterOrEqual(t, p, 0.0)
				d := r.Deadline(at)
				assert.False(t, d.HasModel && d.Model.Before(evening), "card %d at %v", i, temp)
				assert.NotContains(t, d.Basis.In(text.Units(quantity.Metric)), "NaN")
			}
		}
	}
}
