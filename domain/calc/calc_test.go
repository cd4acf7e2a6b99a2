package calc

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/quantity"
)

func TestFiguresAreWritten(t *testing.T) {
	assert.Equal(t, "0.0", digits(-0.01, 1))
	assert.Equal(t, "?", plainly(math.NaN(), 1))
}

// What a form and the command line go by: names are plain, none is used twice,
// and bare words have a field.
func TestFieldsAreNamed(t *testing.T) {
	require.Len(t, Kinds(), 12)
	for _, k := range Kinds() {
		var names []string
		for _, f := range k.Fields {
			assert.Regexp(t, "^[a-z0-9-]+$", f.Name)
			assert.Equal(t, 2, strings.Count(f.Say, "`"), f.Say)
			assert.NotContains(t, names, f.Name, k.Name)
			names = append(names, f.Name)
		}
		if k.Words != "" {
			assert.Contains(t, names, k.Words)
		}
	}
}

// A kind keeps nothing of the call before it.
func TestCallsKeepNothing(t *testing.T) {
	v := Values{"volume": {"192hL"}, "rate": {"3g/hL"}, "water": {"20L"}}
	first, err := Work("dose", v, quantity.Metric.Habit())
	require.NoError(t, err)
	again, err := Work("dose", v, quantity.Metric.Habit())
	require.NoError(t, err)
	assert.Equal(t, first, again)
	_, err = Work("dose", Values{"volume": {"192hL"}}, quantity.Metric.Habit())
	var short *Missing
	require.ErrorAs(t, err, &short)
}

func TestSlipsNameTheirField(t *testing.T) {
	for _, c := range []struct {
		kind, field, typed string
		v                  Values
	}{
		{"dose", "volume", "", Values{"volume": {"5 gal"}, "rate": {"3g/hL"}}},
		{"dose", "rate", "", Values{"volume": {"5 hL"}, "rate": {"3"}}},
		{"strength", "part", "5mL", Values{"part": {"5mL@96%", "5mL"}}},
		{"blend", "lot", "x@200", Values{"lot": {"1hL@200", "x@200"}}},
		{"blend", "lot", "1hL@21.5", Values{"lot": {"1hL@200", "1hL@21.5"}}},
		{"dip", "length", "", Values{"shape": {"lying"}, "diameter": {"2m"}, "height": {"1m"}}},
		{"contact", "row", "2", Values{"row": {"15-20=2"}, "start": {"19:00"}, "reading": {"19:00=16"}}},
		{"contact", "row", "", Values{"row": {"12"}, "start": {"19:00"}, "reading": {"19:00=12"}}},
	} {
		_, err := Work(c.kind, c.v, quantity.Metric.Habit())
		var wrong *Slip
		require.ErrorAs(t, err, &wrong, c.kind)
		assert.Equal(t, c.field, wrong.Field, c.kind)
		assert.Equal(t, c.typed, wrong.Typed, c.kind)
	}
}

// TestAWaitWithoutAUnitIsAsked: two hours and two minutes are told apart by the unit
// only, and a row that is read as minutes ends a contact that has not begun.
func TestAWaitWithoutAUnitIsAsked(t *testing.T) {
	work := func(row string) (Answer, error) {
		return Work("contact", Values{"row": {row}, "start": {"19:00"}, "reading": {"19:00=16"}},
			quantity.Metric.Habit())
	}
	_, err := work("15-20=2")
	require.EqualError(t, err, `"2" has no unit: type 2 h or 2 min.`)
	for _, typed := range []string{"2h", "2 h", "2:00", "120min"} {
		a, err := work("15-20=" + typed)
		require.NoError(t, err, typed)
		due, ok := a.Result(Due)
		require.True(t, ok)
		assert.Equal(t, "21:00", due.Text, typed)
	}
}

// Whatever is typed into whichever fields of a calculation, it answers with numbers
// or with a sentence.
func FuzzWork(f *testing.F) {
	for i, s := range []string{"NaN", "Inf", "-1", "1e308", "", "1,500", "5 gal", "192hL", "3 g/hL", "20:00=13.5",
		"5mL@96%", "lying", "2 m", "60oe"} {
		f.Add(uint8(i), uint64(7), s, "192 hL")
		f.Add(uint8(i), uint64(1<<40-1), s, s)
	}
	f.Fuzz(func(t *testing.T, which uint8, given uint64, a, b string) {
		k := Kinds()[int(which)%len(kinds)]
		v := Values{}
		for i, field := range k.Fields {
			if given>>uint(2*i)&1 == 0 {
				continue
			}
			s := a
			if given>>uint(2*i+1)&1 == 1 {
				s = b
			}
			v[field.Name] = []string{s}
		}
		got, err := Work(k.Name, v, quantity.System(given>>60&1).Habit())
		var short *Missing
		var wrong *Slip
		if err != nil {
			if !errors.As(err, &short) && !errors.As(err, &wrong) || err.Error() == "" {
				t.Fatalf("%s %v: %#v", k.Name, v, err)
			}
			return
		}
		for _, x := range slices.Concat(got.Given, got.Results) {
			if math.IsNaN(x.Value) || math.IsInf(x.Value, 0) || strings.Contains(x.Text, "NaN") ||
				strings.Contains(x.Text, "Inf") {
				t.Fatalf("%s %v: %+v", k.Name, v, x)
			}
		}
	})
}

// A unit typed apart from its number belongs to it.
func TestWordsTypedApartAreJoined(t *testing.T) {
	for typed, want := range map[string][]string{
		"79hL@210 74hL@200":               {"79hL@210", "74hL@200"},
		"79 hL@21.5 brix 74 hL @ 200 g/L": {"79 hL@21.5 brix", "74 hL @ 200 g/L"},
		"5 mL@96 % .5 mL@0 %":             {"5 mL@96 %", ".5 mL@0 %"},
		"12-15 = 3h 15-20=2 h":            {"12-15 = 3h", "15-20=2 h"},
		"20:00=13.5 °C 22:00=12.1":        {"20:00=13.5 °C", "22:00=12.1"},
		"brix":                            {"brix"},
		"":                                nil,
	} {
		assert.Equal(t, want, Joined(strings.Fields(typed)), typed)
	}
	assert.Equal(t, []string{"1 000hL@210", "2hL@3 "}, Joined([]string{"1 000hL@210", "2hL@3", ""}))
}

// Calculations of what can hurt say so: SO2, a dose, heat above 45 °C, below freezing
// and from boiling on, strong alcohol, a lid that is opened.
func TestCalculationsPrintTheirCautions(t *testing.T) {
	heat := func(from, to string) Values { return Values{"volume": {"1 hL"}, "from": {from}, "to": {to}} }
	for _, c := range []struct {
		kind string
		v    Values
		want []caution.Code
	}{
		{"so2", Values{"volume": {"100hL"}, "rate": {"50mg/L"}, "share": {"57.6%"}}, []caution.Code{caution.Sulphite}},
		{"so2", Values{"ph": {"3.4"}, "free": {"30"}}, []caution.Code{caution.Sulphite}},
		{"dose", Values{"volume": {"100hL"}, "rate": {"3g/hL"}}, []caution.Code{caution.Label, caution.Powder}},
		{"dose", Values{"volume": {"100hL"}, "rate": {"3mL/hL"}}, []caution.Code{caution.Label}},
		{"dose", Values{"grapes": {"14600kg"}, "rate": {"3 g/100 kg"}}, []caution.Code{caution.Label, caution.Powder}},
		{"makeup", Values{"amount": {"384g"}, "ratio": {"1:10"}}, []caution.Code{caution.Label, caution.Powder}},
		{"makeup", Values{"amount": {"384mL"}, "ratio": {"1:10"}}, []caution.Code{caution.Label}},
		{"heat", heat("20", "8"), nil},
		{"heat", heat("20", "68"), []caution.Code{caution.Scald}},
		{"heat", heat("46", "20"), []caution.Code{caution.Scald}},
		{"heat", heat("20", "-1"), []caution.Code{caution.Freezing}},
		{"heat", heat("20", "100"), []caution.Code{caution.Scald, caution.Boiling}},
		{"heat", Values{"reading": {"20:00=68", "21:00=60"}, "target": {"20"}}, []caution.Code{caution.Scald}},
		{"heat", Values{"reading": {"20:00=13", "21:00=10"}, "target": {"-2"}}, []caution.Code{caution.Freezing}},
		{"heat", Values{"sugar-use": {"2.9"}, "from": {"26"}, "to": {"46"}}, []caution.Code{caution.Scald}},
		{"strength", Values{"part": {"5mL@96%", "5mL@0%"}}, []caution.Code{caution.Flammable}},
		{"dip", Values{"shape": {"lying"}, "diameter": {"2m"}, "length": {"3m"}, "height": {"50cm"}},
			[]caution.Code{caution.Lid}},
	} {
		a, err := Work(c.kind, c.v, quantity.Metric.Habit())
		require.NoError(t, err, "%s %v", c.kind, c.v)
		assert.Equal(t, caution.Texts(c.want...), a.Cautions, "%s %v", c.kind, c.v)
	}
}
