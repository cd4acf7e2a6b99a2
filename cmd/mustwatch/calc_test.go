package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/calc"
)

// shellWords splits a line of an example at spaces, but not within double quotes.
func shellWords(line string) []string {
	var out []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 0 {
			out = append(out, strings.Fields(part)...)
		} else {
			out = append(out, part)
		}
	}
	return out
}

// calcExamples are those that the help of calc prints, all subcommands together.
func calcExamples(t *testing.T) (out [][]string) {
	root := newBench(t).commands()
	for _, c := range root.Commands() {
		if c.Name() != "calc" {
			continue
		}
		assert.Len(t, c.Commands(), 12)
		for _, sub := range c.Commands() {
			for _, line := range strings.Split(sub.Example, "\n") {
				words := shellWords(line)
				require.Equal(t, []string{"mustwatch", "calc", sub.Name()}, words[:3])
				out = append(out, words[1:])
			}
		}
	}
	return out
}

// Every example of the help works, shows its working, fits a page of 80 columns and
// has a twin for machines.
func TestEveryExampleOfCalcWorks(t *testing.T) {
	examples := calcExamples(t)
	require.Greater(t, len(examples), 20)
	for _, args := range examples {
		b := newBench(t)
		require.Equal(t, endDone, b.run(args...), "%v: %s", args, b.err.String())
		for _, part := range []string{"\n  given ", "\n  working ", "\n  result ", "\n  source "} {
			assert.Contains(t, b.out.String(), part, "%v", args)
		}
		for _, line := range strings.Split(b.out.String(), "\n") {
			assert.LessOrEqual(t, len([]rune(line)), 79, line)
		}
		b.out.Reset()
		require.Equal(t, endDone, b.run(append(args, "--json")...), "%v", args)
		var a calc.Answer
		require.NoError(t, json.Unmarshal(b.out.Bytes(), &a), "%v", args)
		assert.NotEmpty(t, a.Given)
		assert.NotEmpty(t, a.Working)
		assert.NotEmpty(t, a.Results)
		assert.NotEmpty(t, a.Sources)
		assert.Empty(t, b.err.String())
	}
}

// value is the number of a result by its name.
func value(t *testing.T, line string, name string) float64 {
	b := newBench(t)
	require.Equal(t, endDone, b.run(append(append([]string{"calc"}, shellWords(line)...), "--json")...), "%s: %s", line,
		b.err.String())
	var a calc.Answer
	require.NoError(t, json.Unmarshal(b.out.Bytes(), &a))
	for _, f := range a.Results {
		if f.Name == name {
			return f.Value
		}
	}
	t.Fatalf("%s gives no %q: %+v", line, name, a.Results)
	return 0
}

func TestWhatCalcCalculates(t *testing.T) {
	for _, c := range []struct {
		line, name string
		want       float64
		within     float64
	}{
		{"dose --volume 192hL --rate 3g/hL", "product", 576, 0},
		{`dose --volume "8405 L" --rate 3g/hL`, "product", 252.2, 0.051},
		{`dose --volume "5072 US gal" --rate "0.25 lb/1000 gal"`, "product", 575.2, 0},
		{`dose --units us --volume 5072 --rate "0.25 lb/1000 gal"`, "product", 575.2, 0},
		{"dose --volume 98hL --rate 4mL/hL", "product", 0.392, 0},
		{`dose --grapes 14600kg --rate "3 g/100 kg" --yield 7.2hL/t`, "on its juice", 4.17, 0.005},
		{"dose --volume 192hL --rate 2g/hL --weighed 390g", "off", 1.6, 0.05},
		{"dose --volume 100hL --rate 50g/hL --slurry 5%", "of the juice", 1, 1e-9},
		{"dose --volume 192hL --rate 3g/hL --tub 64g", "left after it", -512, 0},
		{"makeup --amount 384g --ratio 20mL/g", "water", 7.68, 0},
		{"makeup --amount 384g --stock 10%", "stock solution", 3.84, 0},
		{"so2 --volume 104hL --rate 4g/hL --share 57% --solution 150g/L", "as solution", 2.77, 0.005},
		{`so2 --volume 40hL --rate 50mg/L`, "as metabisulphite", 347.2, 1e-9},
		{`so2 --volume 40hL --rate 50mg/L --share "100% salt"`, "as metabisulphite", 347.2, 1e-9},
		{`so2 --volume 100hL --rate 50mg/L --solution "5% SO2"`, "as solution", 10, 1e-9},
		{`so2 --volume 100hL --rate 50mg/L --solution "10% salt"`, "as solution", 8.68, 1e-9},
		{"so2 --ph 3.4 --molecular 0.8", "free", 32, 0.1},
		{"so2 --ph 3.0 --molecular 2 --pka 1.77", "free", 36, 0.1},
		{"so2 --ph 3.4 --free 30 --abv 12% --temp 20", "molecular", 1.046, 0.001},
		{"sugar 60oe", "alcohol by Anlage 8", 7.5, 0},
		{"sugar 60oe", "alcohol by 16.83 g/L", 7.82, 0.01},
		{"sugar 20brix", "sugar", 191.9, 1e-9},
		{"sugar 20brix --temp 30 --with refractometer", "refractometer", 20.79, 1e-9},
		{"sugar 20brix --temp 30 --with hydrometer", "spindle", 20.68, 1e-6},
		{"strength 5mL@96% 5mL@0%", "strength", 49.505, 0.001},
		{"strength 1L@96% --to 40%", "water to 40 %", 1470.5, 0.05},
		{"dip --shape lying --diameter 2m --length 3m --height 50cm", "volume", 18.4255, 0.0001},
		{"dip --shape lying --diameter 2m --length 3m --head 50cm --dip 1m", "volume", 57.5959, 0.0001},
		{"dip --shape upright --diameter 2m --wall 4m --bottom cone --depth 50cm --outlet 10cm --height 3m", "volume",
			84.0507, 0.0001},
		{"dip --shape tapered --bottom-diameter 2.6m --top-diameter 2.2m --tall 2m --height 1m", "volume", 49.1136,
			0.0001},
		{"dip --shape box --length 2.4m --width 1.5m --tall 1m --height 50cm --limit 85%", "room to 85 %", 12.6,
			0.0001},
		{"heat --volume 104hL --from 13.5 --to 8.5 --density 1.089 --power 25kW", "energy", 57.4, 0.05},
		{"heat --volume 104hL --from 13.5 --to 8.5 --density 1.089 --ua 2 --coolant 0", "by the jacket", 2.66, 0.005},
		{"heat --reading 20:00=25 --reading 02:00=15 --coolant 2 --target 12", "meets 12.0 °C", 8.76, 0.005},
		{"heat --sugar-use 2.9 --from 26 --to 30", "to the limit", 9.8, 0.05},
		{"contact --row 10-12=4h --row 12-15=3h --row 15-20=2h --start 19:15 --reading 19:15=13.5 --at 20:45",
			"progress", 0.5, 1e-6},
		{"contact --row 10-12=4h --row 12-15=3h --row 15-20=2h --start 1915 --reading 1915=13.5 --at 8:45pm",
			"progress", 0.5, 1e-6},
		{"contact --row 10-12=4h --row 12-15=3h --row 15-20=2h --start 23:15 --reading 23:15=13.5 --at 00:45", "due", 3,
			1e-9},
		{"contact --row 10-12=4h --row 12-15=3h --start 00:15 --reading 23:50=13.5 --at 00:45", "due", 3, 1e-9},
		{"blend --what density 100hL@1.090 50hL@1.084", "density", 1.088, 1e-9},
		{"blend 79hL@20brix 74hL@191.9g/L", "sugar", 191.9, 0.05},
		{"blend 79 hL@20 brix 74 hL@191.9 g/L", "refractometer", 20, 0.05},
		{"blend --what so2 1hL@50mg/L 1hL@3g/hL", "SO2", 40, 1e-9},
		{"blend --what temperature --units us 1gal@68 1gal@10C", "temperature", 15, 1e-9},
		{"yield --juice 135.4hL --grapes 18.8t", "in US units", 172.6, 0.05},
		{"yield --grapes 18.8t --at 5.8hL/t", "juice", 109.04, 0.001},
		{"yield --from 214hL --to 165hL --to 33.5hL --lees 14hL --loss 1.5hL", "missing", 0, 0},
	} {
		assert.InDelta(t, c.want, value(t, c.line, c.name), c.within+1e-9, c.line)
	}
}

// What cannot be read, cannot be so, or can be read in two ways ends with 1 and a
// sentence; what is called wrongly ends with 2. Nothing is printed as an answer.
func TestWhatCalcRefuses(t *testing.T) {
	for line, says := range map[string]string{
		"dose --volume 5072gal --rate 3g/hL":             "5072 US gal or 5072 imp gal",
		"dose --volume 1,500hL --rate 3g/hL":             "1.5 hL or 1500 hL",
		`dose --grapes "20 ton" --rate 3g/t`:             "20 tonnes or 20 short tons",
		"dose --grapes 20t --rate 3g/ton":                "3 g/t",
		"dose --volume 192hL --rate 3":                   "Type a dose with its unit",
		"dose --volume 192hL --rate 3g/t":                "This dose is for grapes",
		"dose --volume -2hL --rate 3g/hL":                "Type a volume of zero or more",
		"dose --volume 192hL --rate 3g/hL --weighed 3mL": "of one kind",
		"dose --volume 192hL --rate 3mL/hL --slurry 5%":  "holds more than 0",
		"makeup --amount 3cups --ratio 1:10":             "Type an amount",
		"makeup --amount 3g --ratio 1:0":                 "1:10 or 20 mL/g",
		"so2 --volume 1hL --rate 5mL/hL":                 "dosed by its mass",
		"so2 --volume 1hL --rate 50mg/L --solution 10%": `"10%" of what? Salt ` +
			`is potassium metabisulphite, 57.6 % SO2: type 10 % SO2 or 10 % salt.`,
		"so2 --volume 1hL --rate 50mg/L --solution 50": `"50" has no unit: type 50 g/L, 50 % SO2 or 50 % salt.`,
		"so2 --volume 1hL --rate 50mg/L --share 100%":  `"100%" of what?`,
		"so2 --volume 1hL --rate 50mg/L --share 0.576": `"0.576" has no unit: ` +
			`type 57.6 % if that is what it means.`,
		"so2 --volume 1hL --rate 50mg/L --share 150g/L": "g/L is for a solution",
		"makeup --amount 3g --stock 10":                 `"10" has no unit: type 10 g/L or 10 %.`,
		"makeup --amount 3g --stock 100%": "Type the strength of " +
			"the solution as 100 g/L or 10 % (w/v).",
		"contact --row 12-15=3 --start 19:15 --reading 19:15=13": `"3" has no unit: type 3 h or 3 min.`,
		"so2 --ph 9 --free 30":    "pH from 2.5 to 4.5",
		"sugar 21.5":              "21.5 brix or 21.5 kmw",
		"sugar 1.090":             "1.090 sg or 1.090 kg/L",
		"sugar 40brix --by 17":    "No table of must",
		"sugar 160oe --by german": "from 40 to 150 °Oe",
		"sugar 200brix":           "from 0 to 95",
		"sugar 20brix --temp 40 --with refractometer": "from 5 to 30 °C",
		"sugar 90oe --temp 25 --with refractometer":   "read in °Brix",
		"sugar 200g/L --temp 25 --with hydrometer":    "reading of an instrument",
		"strength 5mL":              "5mL@96%",
		"strength 5mL@96% --to 97%": "only weakens",
		"dip --shape lying --diameter 2m --length 3m --height 3m": "from 0 to 2 m",
		"dip --shape lying --diameter 2 --length 3m --height 1m":  "2 cm or 2 m or 2 in",
		"dip --shape lying --diameter 2m --height 1m": "--length: This " +
			"shape needs it",
		"dip --shape table --mark 0cm=3hL --mark 9cm=1hL --height 1m":                        "rise",
		"dip --shape box --length 1m --width 1m --tall 1m --height 50cm --temp 60 --brix 20": "from 0 to 40 °C",
		"heat --volume 104hL --from 13.5 --to 8.5 --power 7tons":                             "7 TR",
		"heat --volume 104hL --from 13.5 --to 8.5 --ua 2 --coolant 10": "between the " +
			"must and the coolant",
		"heat --reading 20:00=25 --target 12": "at least five " +
			"minutes apart",
		"heat --reading 25:00=25 --target 12":                                    "time of the clock",
		"contact --row 12=3h --start 19:15 --reading 19:15=13":                   "12-15=3h",
		"contact --row 12-15=3h --row 14-16=2h --start 19:15 --reading 19:15=13": "overlap",
		"blend --what ph 79hL@3.2 74hL@3.3": "mix a sample " +
			"and measure it",
		"blend --what taste 79hL@3.2": "do not add up",
		"blend 79hL":                  "79hL@210",
		"blend 79hL@21.5 74hL@200": "type 21.5g/L or " +
			"21.5brix",
		"blend --what brix 79hL@21.5": "does not add up " +
			"by volume",
		"blend --what acidity 79hL@0.65%":         "6.5g/L",
		"yield --juice 135.4hL --grapes 1.8t":     "50 to 1000 L/t",
		`yield --grapes 18.8t --at "172 gal/ton"`: "172 gal/short ton",
	} {
		b := newBench(t)
		assert.Equal(t, endRefused, b.run(append([]string{"calc"}, shellWords(line)...)...), line)
		assert.Contains(t, b.err.String(), says, line)
		assert.Empty(t, b.out.String(), line)
	}
	for _, line := range []string{
		"dose", "dose --volume 1hL", "dose --volume 1hL --grapes 1t --rate 3g/hL", "dose x", "makeup --amount 3g",
		"so2", "so2 --ph 3.4 --pka 1.8 --abv 5", "sugar",
		"sugar 20brix --temp 9", "sugar 20brix --temp 9 --with nose", "strength", "dip --shape lying",
		"dip --shape ball --height 1m", "heat", "heat --volume 1hL --from 9 --to 8 --ua 2",
		"contact --start 19:15", "blend", "yield", "yield --juice 7hL --grapes 1t --stems 50kg",
		"dose --units old --volume 1hL --rate 3g/hL", "nonsense",
	} {
		b := newBench(t)
		assert.Equal(t, endUsage, b.run(append([]string{"calc"}, shellWords(line)...)...), "%s: %s", line,
			b.err.String())
		assert.Empty(t, b.out.String(), line)
	}
}

// Nothing that is typed into any flag, however odd, makes the program fail or print
// a number that is none.
func FuzzCalc(f *testing.F) {
	for _, s := range []string{"NaN", "Inf", "-1", "1e308", "", "1,500", "5 gal", "\x1b[2J", "999999999999 hL", "0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, args := range [][]string{
			{"dose", "--volume=" + s, "--rate=3g/hL"}, {"dose", "--volume=1hL", "--rate=" + s}, {"sugar", "--", s},
			{"strength", "--", s}, {"blend", "--", s + "@1"},
			{"dip", "--shape=lying", "--diameter=2m", "--length=3m", "--height=" + s}, {"heat", "--volume=1hL",
				"--from=" + s, "--to=5", "--power=" + s}, {"yield", "--juice=" + s, "--grapes=1t"},
		} {
			var out, bad strings.Builder
			p := &program{stdin: strings.NewReader(""), stdout: &out, stderr: &bad,
				getenv: func(string) string { return "" }}
			end := p.run(t.Context(), append([]string{"calc"}, args...))
			if end != endDone && end != endRefused && end != endUsage || strings.Contains(out.String(), "NaN") ||
				strings.Contains(out.String(), "Inf") || strings.ContainsRune(out.String()+bad.String(), 0x1b) {
				t.Fatalf("%q ends with %d: %s%s", args, end, out.String(), bad.String())
			}
		}
	})
}

func TestFolded(t *testing.T) {
	assert.Equal(t, []string{"one two", "  three", "  four"}, folded("one two three four", 8))
	assert.Equal(t, []string{"unbreakable-word"}, folded("unbreakable-word", 8))
}

// TestCalcAsksAboutThreeDigits: also of a point, unless the sign is named.
func TestCalcAsksAboutThreeDigits(t *testing.T) {
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"dose", "--volume", "4.000 L", "--rate", "3 g/hL"}, endRefused, "type 4 L or 4000 L"},
		{[]string{"dose", "--volume", "4.000 L", "--rate", "3 g/hL", "--decimal", ","}, endDone, "120 g"},
		{[]string{"dose", "--volume", "1,000 gal", "--rate", "3 g/hL", "--units", "us"}, endDone, "113.6 g"},
		{[]string{"dose", "--volume", "4 L", "--rate", "3 g/hL", "--decimal", ";"}, endUsage, "--decimal takes"},
	} {
		b := newBench(t)
		assert.Equal(t, c.code, b.run(append([]string{"calc"}, c.args...)...), b.err.String())
		assert.Contains(t, b.out.String()+b.err.String(), c.says)
	}
}
