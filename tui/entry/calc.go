package entry

import (
	"errors"
	"fmt"
	"strings"

	"cellar.example/mustwatch/domain/calc"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/widget"
)

// Taken is an answer on its way into another form: which, and what is filled in
// there.
type Taken struct {
	Form   intent.Form
	Values map[string]string
}

// calculation is one calculation as the board offers it: which of the calculations it is, the
// fields shown, what the vessel fills in by itself, and where its answer goes.
type calculation struct {
	id, label string
	kind      string // name of the calculation
	fields    []sumField
	fill      func(k *desk, v *cellar.Vessel) calc.Values
	hidden    func(v *cellar.Vessel) calc.Values // what the house has set, not typed here
	take      func(k *desk, a calc.Answer, in calc.Values) Taken
}

type sumField struct{ name, label, hint string }

// calculations are the calculations of the board, likeliest first.
var calculations = []calculation{
	{"dose", "dose on juice or grapes", "dose", []sumField{{"volume", "Juice", ""}, {"grapes", "or grapes", "kg or t"},
		{"rate", "Rate", "with its unit: 3 g/hL, 0.25 lb/1000 gal"},
		{"yield", "Yield", "for the other basis: 7.2 hL/t"}, {"ratio", "Make-up", "1:10 or 20mL/g"},
		{"tub", "In the tub", ""}, {"weighed", "Weighed", ""}}, fillDose, nil, takeDose},
	{"so2", "SO2 addition", "so2", []sumField{{"volume", "Juice", ""}, {"rate", "SO2", "50 mg/L or 5 g/hL"},
		{"share", "Share", "of SO2 in the powder"},
		{"solution", "Solution", "150 g/L, 5% SO2 or 10% salt"}}, fillSO2, nil, takeSO2},
	{"free", "SO2, molecular share", "so2", []sumField{{"ph", "pH", ""}, {"free", "Free SO2", "mg/L"},
		{"molecular", "or wanted", "molecular SO2, mg/L"}, {"pka", "pKa", "else 1.81"}}, fillSugar, nil, takeNote},
	{"sugar", "sugar on every scale", "sugar", []sumField{{"reading", "Reading", "60oe, 21.5 brix, 1.090 sg"},
		{"temp", "Temperature", "of the sample"},
		{"with", "Instrument", "refractometer or hydrometer"}, {"by", "Alcohol by", "16.83, 17, 17.5 or german"}},
		fillSugar, nil, takeSugar},
	{"dip", "dip to volume", "dip", []sumField{{"height", "Height", "from the bottom: 152 cm"}, {"dip", "or dip",
		"down from the top"},
		{"temp", "Temperature", "to bring it to 20 °C"}, {"brix", "Sugar", "°Brix, with it"}}, fillDip,
		func(v *cellar.Vessel) calc.Values { return insideOf(v) }, takeDip},
	{"heat", "cool or warm: energy, hours", "heat", []sumField{{"volume", "Volume", ""}, {"from", "From", ""},
		{"to", "To", ""}, {"density", "Density", "else 1.090"},
		{"power", "Power", "25 kW"}, {"ua", "UA", "kW/K of the jacket"}, {"coolant", "Coolant", "its temperature"}},
		fillHeat, nil, takeHeat},
	{"meets", "cool: the hour by readings", "heat", []sumField{{"reading", "Readings", "20:00=13.5 22:00=12.1"},
		{"target", "Target", ""}, {"coolant", "Coolant", "its temperature"}}, fillMeets, nil, takeMeets},
	{"drift", "warms by itself: hours to a limit", "heat", []sumField{{"sugar-use", "Sugar used", "g/L an hour"},
		{"from", "Now", ""}, {"to", "Limit", ""}}, fillHeat, nil, takeNote},
	{"contact", "enzyme contact", "contact", []sumField{{"row", "Card rows", "12-15=3h 15-20=2h"}, {"start", "Start",
		"last dose or last juice"}, {"reading", "Readings", "19:15=13.5 21:00=12"},
		{"at", "Now", ""}, {"floor", "Floor", ""}, {"ceiling", "Ceiling", ""}}, fillContact, nil, takeContact},
	{"blend", "blend of lots", "blend",
		[]sumField{{"what", "Of", "sugar, acidity, density, oe, temperature, so2, nitrogen, dose"}, {"lot", "Lots",
			"79hL@210g/L 74hL@21brix"}}, fillBlend, nil, takeNote},
	{"yield", "yield of a pressing", "yield", []sumField{{"juice", "Juice", ""}, {"grapes", "Grapes", "kg or t"},
		{"at", "or at", "7.2 hL/t"}, {"density", "Density", "for a balance"},
		{"stems", "Stems", ""}, {"pomace", "Pomace", ""}}, fillYield, nil, takeNote},
	{"rack", "racking that adds up", "yield", []sumField{{"from", "From", "what was in it"}, {"to", "Arrived",
		"165hL 33.5hL"}, {"lees", "Lees", ""}, {"loss", "Loss", ""}}, fillRack, nil, takeNote},
	{"strength", "strength of an alcohol", "strength", []sumField{{"part", "Parts", "5mL@96% 5mL@0%"}, {"to", "Down to",
		"%"}}, nil, nil, takeNote},
	{"settle", "how fast solids sink", "settle", []sumField{{"particle", "Particle", "µm, such as 50"},
		{"heavier", "Heavier by", "kg/m3 than the juice, such as 50"},
		{"viscosity", "Viscosity", "mPa·s, else 2"}, {"height", "Height", "of the juice: 3.2 m"}}, nil, nil, takeNote},
	{"cut", "press cut by conductivity", "cut", []sumField{{"first", "First run", "mS/cm, or 2400 µS/cm"},
		{"now", "Now", ""}}, nil, nil, takeNote},
}

// several are the fields that take more than one value, with spaces between them.
var several = map[string]bool{"reading": true, "row": true, "lot": true, "part": true, "water": true, "mark": true,
	"to": true}

func openCalc(k *desk) (*Entry, string) {
	v, ok := k.vessel()
	if !ok {
		return nil, "The board calculates with the values of a tank: put the cursor on one. Without one, " +
			"mustwatch calc does."
	}
	var choices []widget.Choice
	var fields []widget.Field
	for _, s := range calculations {
		choices = append(choices, widget.Choice{Label: s.label, Value: s.id})
		for _, f := range s.fields {
			fields = append(fields, only(widget.Field{Name: s.id + "." + f.name, Label: f.label, Hint: inUnits(f.hint,
				k.look().Units()), Kind: widget.Figure, Width: sumWidth(s, f.name), Limit: 120, Optional: true},
				on("sum", s.id)))
		}
	}
	title := "Calculate on " + string(v.Number)
	if name := v.Now.Name(); name != "" {
		title += ", " + name
	}
	e := k.entry(title, append([]widget.Field{{Name: "sum", Label: "Calculate", Choices: numbered(choices)}},
		fields...)...)
	e.Form.Verb = "take the answer"
	e.Form.Live = func(values map[string]string) []string { return k.sumLines(values) }
	e.Form.FieldNotes = k.sumNotes
	e.Form.Cautions = k.sumCautions
	e.Take = k.takeSum
	k.follow = k.fillSum
	return e, ""
}

// usHints are the examples of a house in US units.
var usHints = map[string]string{
	"kg or t": "lb or short tons", "with its unit: 3 g/hL, 0.25 lb/1000 gal": "with its unit: 0.25 lb/1000 gal",
	"50 mg/L or 5 g/hL":             "50 mg/L or 0.4 lb/1000 gal",
	"for the other basis: 7.2 hL/t": "for the other basis: 172 gal/short ton",
	"7.2 hL/t":                      "172 gal/short ton", "from the bottom: 152 cm": "from the bottom: 60 in",
	"to bring it to 20 °C": "to bring it to 68 °F", "25 kW": "25 kW or 7 TR",
	"20:00=13.5 22:00=12.1": "20:00=56 22:00=54", "12-15=3h 15-20=2h": "54-59=3h 59-68=2h",
	"19:15=13.5 21:00=12":     "19:15=56 21:00=54",
	"79hL@210g/L 74hL@21brix": "2000gal@210g/L 1900gal@21brix", "165hL 33.5hL": "4300gal 900gal",
	"of the juice: 3.2 m": "of the juice: 10 ft",
}

// inUnits is a hint as the house would write it.
func inUnits(hint string, sys quantity.System) string {
	if us, ok := usHints[hint]; ok && sys == quantity.US {
		return us
	}
	return hint
}

func sumWidth(s calculation, name string) int {
	if s.several(name) {
		return 44
	}
	return 18
}

// several reports whether a field takes more than one value here: a racking arrives
// in several tanks, and sugar is read once.
func (s calculation) several(name string) bool {
	switch name {
	case "reading":
		return s.kind != "sugar"
	case "to":
		return s.kind == "yield"
	}
	return several[name]
}

func sumOf(values map[string]string) (calculation, bool) {
	for _, s := range calculations {
		if s.id == values["sum"] {
			return s, true
		}
	}
	return calculation{}, false
}

// fillSum proposes what the vessel knows for the calculation that is picked.
func (k *desk) fillSum(values map[string]string) {
	s, ok := sumOf(values)
	v, there := k.vessel()
	if !ok || !there || s.fill == nil {
		return
	}
	known := s.fill(k, v)
	for _, f := range s.fields {
		if text := strings.Join(known[f.name], " "); text != "" {
			k.form.Propose(s.id+"."+f.name, text, "filled in")
		}
	}
}

// typed are the values of a calculation as its form has them.
func (k *desk) typed(s calculation, values map[string]string) calc.Values {
	in := calc.Values{}
	if v, ok := k.vessel(); ok && s.hidden != nil {
		in = s.hidden(v)
	}
	for _, f := range s.fields {
		text := strings.TrimSpace(values[s.id+"."+f.name])
		switch {
		case text == "":
		case s.several(f.name):
			in[f.name] = calc.Joined(strings.Fields(text))
		default:
			in[f.name] = []string{text}
		}
	}
	return in
}

func (k *desk) sumLines(values map[string]string) []string {
	s, ok := sumOf(values)
	if !ok {
		return []string{"Pick a calculation: what is known of the vessel is filled in."}
	}
	if v, there := k.vessel(); there && s.id == "dip" && v.Inside == nil {
		return []string{fmt.Sprintf("No inside measures of %s are set. mustwatch calc dip takes them; the house "+
			"file keeps them.", v.Number)}
	}
	a, err := calc.Work(s.kind, k.typed(s, values), k.look().Habit())
	var short *calc.Missing
	var wrong *calc.Slip
	switch {
	case errors.As(err, &short) && s.id == "dip":
		return []string{"Type the height from the bottom, or the dip down from the top."}
	case errors.As(err, &short):
		return []string{short.Message}
	case errors.As(err, &wrong) && k.form.Value(s.id+"."+wrong.Field) == "":
		return []string{wrong.Message}
	case err != nil:
		return nil
	}
	var out []string
	for _, f := range a.Results {
		out = append(out, f.Name+": "+f.Text)
	}
	for _, w := range a.Working {
		out = append(out, "· "+w)
	}
	for _, n := range a.Notes {
		out = append(out, "· "+n)
	}
	return append(out, "Source: "+strings.Join(a.Sources, "; "))
}

// sumNotes puts what cannot be read under its field.
func (k *desk) sumNotes(values map[string]string) map[string][]string {
	s, ok := sumOf(values)
	if !ok {
		return nil
	}
	_, err := calc.Work(s.kind, k.typed(s, values), k.look().Habit())
	var wrong *calc.Slip
	if errors.As(err, &wrong) && values[s.id+"."+wrong.Field] != "" {
		return map[string][]string{s.id + "." + wrong.Field: {wrong.Message}}
	}
	return nil
}

// takeSum hands the answer to the form it belongs in.
func (k *desk) takeSum(values map[string]string) (Taken, error) {
	s, ok := sumOf(values)
	if !ok {
		return Taken{}, refuse("sum", "pick a calculation first")
	}
	in := k.typed(s, values)
	a, err := calc.Work(s.kind, in, k.look().Habit())
	var short *calc.Missing
	var wrong *calc.Slip
	switch {
	case errors.As(err, &short):
		return Taken{}, refuse("", "%s", short.Message)
	case errors.As(err, &wrong):
		return Taken{}, refuse(s.id+"."+wrong.Field, "%s", wrong.Message)
	case err != nil:
		return Taken{}, refuse("sum", "%v", err)
	}
	t := s.take(k, a, in)
	for name, value := range t.Values {
		t.Values[name] = quantity.ToType(value)
	}
	return t, nil
}
