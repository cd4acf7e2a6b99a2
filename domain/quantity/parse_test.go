package quantity_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	. "cellar.example/mustwatch/domain/quantity"
)

// sentence checks that an error is one plain sentence for a person.
func sentence(t *testing.T, err error) {
	t.Helper()
	require.Error(t, err)
	msg := err.Error()
	assert.True(t, strings.HasSuffix(msg, "."), msg)
	assert.NotContains(t, msg, "\n")
	assert.NotContains(t, msg, "strconv")
	assert.NotContains(t, msg, "%!")
}

func asked(t *testing.T, err error, options ...string) {
	t.Helper()
	var ask *AskError
	require.ErrorAs(t, err, &ask)
	assert.Equal(t, options, ask.Options)
	assert.Equal(t, ask.Message, err.Error())
	sentence(t, err)
}

func TestParseNumber(t *testing.T) {
	for in, want := range map[string]float64{
		"0": 0, "12": 12, "1.5": 1.5, "1,5": 1.5, "12,50": 12.5, "1.5000": 1.5, "0,500": 0.5, "0,134": 0.134,
		"1500,250": 1500.25, "1500": 1500, "14 600": 14600, "14 600,5": 14600.5, "1 500,250": 1500.25,
		"2\u202f000": 2000,
		".5":         0.5, ",5": 0.5, "5.": 5, "-3": -3, "−3": -3, "+3": 3, " 7 ": 7, "-0": 0,
	} {
		got, err := Habit{}.Number(in, -1e15, 1e15)
		require.NoError(t, err, in)
		assert.Equal(t, want, got, in)
		assert.False(t, math.Signbit(got) && got == 0, "minus zero from %q", in)
	}
	for in, options := range map[string][]string{
		"1,500": {"1.5", "1500"}, "1.500": {"1.5", "1500"}, "12,125": {"12.1250", "12125"}, "-1,500": {"-1.5", "-1500"},
		"100,000": {"100", "100000"},
		"1.500,0": {"1500"}, "1,500.25": {"1500.25"}, "1.500.000": {"1500000"}, "12,000,000": {"12000000"},
	} {
		_, err := Habit{}.Number(in, -1e15, 1e15)
		asked(t, err, options...)
	}
	for _, in := range []string{
		"", " ", "-", ".", ",", "abc", "1e5", "0x10", "NaN", "Inf", "1..2", "1,,2", "1,2,3", "1.2.3", "12 34", "1 2",
		"1_000",
		"--1", "1-2", "1 500 00", "0,500.5.1", "٣", strings.Repeat("9", 400),
	} {
		_, err := Habit{}.Number(in, -1e15, 1e15)
		sentence(t, err)
		assert.False(t, errors.As(err, new(*AskError)), in)
	}
}

func TestParseVolume(t *testing.T) {
	cases := []struct {
		in   string
		sys  System
		want Volume
	}{
		{"192", Metric, 192 * Hectolitre}, {"192.0 hL", Metric, 192 * Hectolitre}, {"104,5", Metric,
			104*Hectolitre + 50*Litre},
		{"600L", Metric, 600 * Litre}, {"392 mL", Metric, 392 * Millilitre}, {"3,89 l", Metric, 3890 * Millilitre},
		{"0", Metric, 0}, {"0.1ml", Metric, Millilitre / 10}, {"0.0001ml", Metric, 0},
		{"1 US gal", Metric, 3_785_412}, {"1 imp gal", Metric, 4_546_090}, {"1000 usgal", Metric, 3_785_411_784},
		{"2 liters", US, 2 * Litre},
		{"1000", US, 3_785_411_784}, {"600gal", US, 2_271_247_070}, {"192 hl", US, 192 * Hectolitre},
		{"14 600 L", Metric, 146 * Hectolitre},
	}
	for _, c := range cases {
		got, err := c.sys.Habit().Volume(c.in)
		require.NoError(t, err, c.in)
		assert.Equal(t, c.want, got, c.in)
	}
	_, err := Metric.Habit().Volume("600gal")
	asked(t, err, "600 US gal", "600 imp gal")
	_, err = Metric.Habit().Volume("1,500 L")
	asked(t, err, "1.5 L", "1500 L")
	for _, in := range []string{"", "x", "hL", "5 kg", "-1", "-1 L", "1e3", "99999999999999", "3 hL 4", "NaN"} {
		for _, sys := range []System{Metric, US} {
			_, err := sys.Habit().Volume(in)
			sentence(t, err)
		}
	}
}

func TestParseMass(t *testing.T) {
	cases := []struct {
		in   string
		bare Mass
		want Mass
	}{
		{"156", Gram, 156 * Gram}, {"14600", Kilogram, 14600 * Kilogram}, {"100.3 g", Kilogram, 100_300},
		{"2,52kg", Gram, 2_520_000},
		{"17.8 t", Gram, 17_800 * Kilogram}, {"1 lb", Gram, 453_592}, {"1000 lb", Gram, 453_592_370}, {"16 oz", Gram,
			453_592},
		{"1 short ton", Gram, 907_184_740}, {"19.6 short tons", Gram, 17_780_820_904}, {"1 metric ton", Gram, Tonne},
		{"5mg", Gram, 5},
	}
	for _, c := range cases {
		got, err := Metric.Habit().Mass(c.in, c.bare)
		require.NoError(t, err, c.in)
		assert.Equal(t, c.want, got, c.in)
	}
	for _, sys := range []System{Metric, US} {
		_, err := sys.Habit().Mass("18 ton", Kilogram)
		asked(t, err, "18 tonnes", "18 short tons")
		_, err = Habit{sys, "ask"}.Mass("1,500", Kilogram)
		asked(t, err, "1.5", "1500")
		for _, in := range []string{"", "g", "-5 g", "5 hL", "5 gal", "1e9 t", "9999999999 t"} {
			_, err = sys.Habit().Mass(in, Gram)
			sentence(t, err)
		}
	}
	_, err := Metric.Habit().Mass("5", 0)
	sentence(t, err)
}

func TestParseCelsius(t *testing.T) {
	cases := []struct {
		in   string
		sys  System
		want Celsius
	}{
		{"59F", Metric, 15}, {"15.2", Metric, 15.2}, {"9,4", Metric, 9.4}, {"15 °C", US, 15}, {"59", US, 15},
		{"15c", US, 15},
		{"60 °f", Metric, 15.5556}, {"15°", Metric, 15}, {"-5", Metric, -5}, {"0", Metric, 0}, {"32", US, 0},
		{"48 deg C", Metric, 48},
	}
	for _, c := range cases {
		got, err := c.sys.Habit().Celsius(c.in)
		require.NoError(t, err, c.in)
		assert.Equal(t, c.want, got, c.in)
	}
	for _, in := range []string{"", "151", "-51", "15 K", "warm", "1e1", "9.4.1", "NaN"} {
		_, err := Metric.Habit().Celsius(in)
		sentence(t, err)
	}
}

func TestParseDensity(t *testing.T) {
	for in, want := range map[string]Density{
		"1.089": 1.089, "1,089": 1.089, "1089": 1.089, "89oe": 1.089, "89 °Oe": 1.089, "1.0895": 1.0895, "995": 0.995,
		"0,995": 0.995,
		"-5 oe": 0.995, "1.2": 1.2, "0.98": 0.98, "1089 g/L": 1.089, "1.1": 1.1, "1,1": 1.1,
	} {
		got, err := Habit{}.Density(in)
		require.NoError(t, err, in)
		assert.Equal(t, want, got, in)
	}
	for _, in := range []string{"", "0.979", "1.201", "89", "1201", "979", "300oe", "1.089 kg", "1,0,8", "NaN", "0"} {
		_, err := Habit{}.Density(in)
		sentence(t, err)
	}
}

func TestParseSpan(t *testing.T) {
	for in, want := range map[string]time.Duration{
		"3h": 3 * time.Hour, "180": 3 * time.Hour, "3:00": 3 * time.Hour, "0:45": 45 * time.Minute,
		"1h30":   90 * time.Minute,
		"1 h 30": 90 * time.Minute, "1h 30 min": 90 * time.Minute, "1h30m": 90 * time.Minute, "90min": 90 * time.Minute,
		"1.5h": 90 * time.Minute, "1,5 h": 90 * time.Minute, "90 s": 90 * time.Second, "2d": 48 * time.Hour,
		"1d 6h":      30 * time.Hour,
		"2 min 30 s": 150 * time.Second, "2m30": 150 * time.Second, "2H": 2 * time.Hour, "5'": 5 * time.Minute,
		"2.5": 150 * time.Second,
		"1d6": 30 * time.Hour, "100:00": 100 * time.Hour,
	} {
		got, err := Habit{}.Span(in)
		require.NoError(t, err, in)
		assert.Equal(t, want, got.Duration(), in)
	}
	for _, in := range []string{
		"", "0", "0h", "-3h", "-180", "3x", "h", "1h75", "1:75", "1:5", "1:", ":30", "-1:30", "1h30h", "30 min 1 h",
		"1h-30", "10000000h",
		"3::00", "NaN", "0.1 s", "367 d",
	} {
		_, err := Habit{}.Span(in)
		sentence(t, err)
	}
	_, err := Habit{}.Span("1,500 h")
	asked(t, err, "1.5 h", "1500 h")
}

func TestParseRate(t *testing.T) {
	cases := []struct {
		in   string
		bare RateUnit
		want Rate
	}{
		{"3 g/hL", "", Rate{3, GPerHL}}, {"3g/hl", "", Rate{3, GPerHL}}, {"0.134 lb/1000gal", "",
			Rate{0.134, LbPer1000Gal}},
		{"0,134 lb/1,000 US gal", "", Rate{0.134, LbPer1000Gal}}, {"1,5", GPerHL, Rate{1.5, GPerHL}}, {"4", MLPerHL,
			Rate{4, MLPerHL}},
		{"30 mg/l", GPerHL, Rate{30, MgPerL}}, {"30 ppm", "", Rate{30, MgPerL}}, {"3 g/100 kg", "", Rate{3, GPer100Kg}},
		{"3G/100KG", "", Rate{3, GPer100Kg}}, {"30 g/t", "", Rate{30, GPerT}}, {"30 mL/tonne", "", Rate{30, MLPerT}},
		{"0.06 lbs/short ton", "", Rate{0.06, LbPerShortTon}}, {"1 fl oz/short ton", "", Rate{1, FlOzPerShortTon}},
		{"0", GPerHL, Rate{0, GPerHL}}, {"2 oz/1000 gallons", "", Rate{2, OzPer1000Gal}},
	}
	for _, c := range cases {
		got, err := Habit{}.Rate(c.in, c.bare)
		require.NoError(t, err, c.in)
		assert.Equal(t, c.want, got, c.in)
	}
	for _, in := range []string{"", "3", "3 g", "3 g/L of juice", "-1 g/hL", "g/hL", "3 kg/ton", "x", "1e3 g/hL"} {
		_, err := Habit{}.Rate(in, "")
		sentence(t, err)
	}
	for in, options := range map[string][]string{
		"30 g/ton":     {"30 g/t", "0.066139 lb/short ton"},
		"0.06 lb/ton":  {"27.2160 g/t", "0.06 lb/short ton"},
		"30 mL/ton":    {"30 mL/t", "1.0144 fl oz/short ton"},
		"1 fl oz/tons": {"29.5740 mL/t", "1 fl oz/short ton"},
		"1,500 g/hL":   {"1.5 g/hL", "1500 g/hL"},
		"1.500,0 g/hl": {"1500 g/hl"},
	} {
		_, err := Habit{}.Rate(in, "")
		asked(t, err, options...)
		for _, o := range options {
			_, err := Habit{}.Rate(o, "")
			assert.NoError(t, err)
		}
	}
	_, err := Habit{}.Rate("1,500 cups", "")
	sentence(t, err)
	assert.False(t, errors.As(err, new(*AskError)))
}

func TestParseAmount(t *testing.T) {
	cases := []struct {
		in     string
		liquid bool
		want   Amount
	}{
		{in: "384", want: Amount{Mass: 384 * Gram}}, {in: "125.4 g", want: Amount{Mass: 125_400}}, {in: "2.5 kg",
			want: Amount{Mass: 2_500_000}},
		{in: "392", liquid: true, want: Amount{Volume: 392 * Millilitre}}, {in: "0.5", liquid: true,
			want: Amount{Volume: Millilitre / 2}}, {in: "3,84 L", liquid: true,
			want: Amount{Volume: 3840 * Millilitre}}, {in: "0", want: Amount{}}, {in: "0", liquid: true,
			want: Amount{}},
	}
	for _, c := range cases {
		got, err := Metric.Habit().Amount(c.in, c.liquid)
		require.NoError(t, err, c.in)
		assert.Equal(t, c.want, got, c.in)
	}
	for _, c := range cases[:4] {
		if strings.ContainsAny(c.in, "gL") {
			_, err := Metric.Habit().Amount(c.in, !c.liquid)
			sentence(t, err)
		}
	}
	for _, in := range []string{"", "-3", "x", "3 ft"} {
		for _, liquid := range []bool{true, false} {
			_, err := US.Habit().Amount(in, liquid)
			sentence(t, err)
		}
	}
	_, err := Metric.Habit().Amount("2 gal", true)
	asked(t, err, "2 US gal", "2 imp gal")
	_, err = Metric.Habit().Amount("1,500", false)
	asked(t, err, "1.5 g", "1500 g")
}

// In a US house a "t" is as often a short ton as a tonne, and a kilolitre is ten hectolitres.
func TestATonneIsAskedAboutInAUSHouse(t *testing.T) {
	_, err := Habit{Units: US}.Mass("20 t", Kilogram)
	var ask *AskError
	require.ErrorAs(t, err, &ask)
	m, err := Habit{}.Mass("20 t", Kilogram)
	require.NoError(t, err)
	require.Equal(t, 20*Tonne, m)
	v, err := Habit{}.Volume("12kL")
	require.NoError(t, err)
	require.Equal(t, 120*Hectolitre, v)
}
