package entry

import (
	"errors"
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

// sumField is a field of a calculation, with its hint in metric and in US units.
type sumField struct{ name, label, metric, us string }

// asks is a field whose hint is the same everywhere, asksIn one that has an example of each house.
func asks(name, label, hint string) sumField { return sumField{name, label, hint, hint} }

func asksIn(name, label, metric, us string) sumField { return sumField{name, label, metric, us} }

// calculations are the calculations of the board, likeliest first.
var calculations = []calculation{
	{id: "dose", label: "dose on juice or grapes", kind: "dose", fill: fillDose, take: takeDose, fields: []sumField{
		asksIn("volume", "Juice", "with its unit: 192 hL", "with its unit: 5000 US gal"),
		asksIn("grapes", "Grapes", "instead of juice: kg or t", "instead of juice: lb or short tons"),
		asksIn("rate", "Rate", "with its unit: 3 g/hL, 0.25 lb/1000 gal", "with its unit: 0.25 lb/1000 gal"),
		asksIn("yield", "Yield", "from grapes to juice: 7.2 hL/t", "from grapes to juice: 172 gal/short ton"),
		asks("ratio", "Make-up", "1:10 or 20mL/g"),
		asks("tub", "In the tub", "with its unit: 500 g"),
		asks("weighed", "Weighed", "with its unit: 384 g")}},
	{id: "so2", label: "SO2 addition", kind: "so2", fill: fillSO2, take: takeSO2, fields: []sumField{
		asksIn("volume", "Juice", "with its unit: 192 hL", "with its unit: 5000 US gal"),
		asksIn("rate", "SO2", "50 mg/L or 5 g/hL", "50 mg/L or 0.4 lb/1000 gal"),
		asks("share", "Share", "of SO2 in the powder"),
		asks("solution", "Solution", "150 g/L, 5% SO2 or 10% salt")}},
	{id: "free", label: "molecular SO2", kind: "so2", fill: fillSugar, take: takeNote, fields: []sumField{
		asks("ph", "pH", "2.5 to 4.5"),
		asks("free", "Free SO2", "mg/L"),
		asks("molecular", "Molecular SO2", "instead of free SO2: mg/L wanted"),
		asks("pka", "pKa", "blank = 1.81")}},
	{id: "sugar", label: "sugar on every scale", kind: "sugar", fill: fillSugar, take: takeSugar, fields: []sumField{
		asks("reading", "Reading", "with its scale: 60oe, 21.5 brix, 1.090 sg"),
		asksIn("temp", "Temperature", "of the sample, °C", "of the sample, °F"),
		asks("with", "Instrument", "refractometer or hydrometer"),
		asks("by", "Alcohol by", "g/L of sugar for 1 %: 16.83, 17, 17.5 or german")}},
	{id: "dip", label: "dip to volume", kind: "dip", fill: fillDip, hidden: insideOf, take: takeDip,
		fields: []sumField{
			asksIn("height", "Height", "from the bottom: 152 cm", "from the bottom: 60 in"),
			asksIn("dip", "Dip", "or down from the top: 40 cm", "or down from the top: 16 in"),
			asksIn("temp", "Temperature", "°C, for the volume at 20 °C", "°F, for the volume at 68 °F"),
			asks("brix", "Sugar", "°Brix, needed with the temperature")}},
	{id: "heat", label: "cool or warm: energy, hours", kind: "heat", fill: fillHeat, take: takeHeat, fields: []sumField{
		asksIn("volume", "Volume", "with its unit: 192 hL", "with its unit: 5000 US gal"),
		asksIn("from", "Now", "°C", "°F"),
		asksIn("to", "Target", "°C", "°F"),
		asks("density", "Density", "kg/L, blank = 1.090"),
		asksIn("power", "Power", "with its unit: 25 kW", "with its unit: 25 kW or 7 TR"),
		asks("ua", "UA", "kW/K of the jacket"),
		asksIn("coolant", "Coolant", "°C", "°F")}},
	{id: "meets", label: "cooling: when it reaches the target", kind: "heat", fill: fillMeets, take: takeMeets,
		fields: []sumField{
			asksIn("reading", "Readings", "20:00=13.5 22:00=12.1", "20:00=56 22:00=54"),
			asksIn("target", "Target", "°C", "°F"),
			asksIn("coolant", "Coolant", "°C", "°F")}},
	{id: "drift", label: "no cooling: hours to a limit", kind: "heat", fill: fillHeat, take: takeNote,
		fields: []sumField{
			asks("sugar-use", "Sugar used", "g/L per hour"),
			asksIn("from", "Now", "°C", "°F"),
			asksIn("to", "Limit", "°C", "°F")}},
	{id: "contact", label: "enzyme contact", kind: "contact", fill: fillContact, take: takeContact, fields: []sumField{
		asksIn("row", "Card rows", "12-15=3h 15-20=2h", "54-59=3h 59-68=2h"),
		asks("start", "Start", "time of the last dose, or of the last juice in"),
		asksIn("reading", "Readings", "19:15=13.5 21:00=12", "19:15=56 21:00=54"),
		asks("at", "Time now", "22:15"),
		asksIn("floor", "Not below", "°C, from the card", "°F, from the card"),
		asksIn("ceiling", "Not above", "°C, from the card", "°F, from the card")}},
	{id: "blend", label: "blend of lots", kind: "blend", fill: fillBlend, take: takeNote, fields: []sumField{
		asks("what", "Property", "sugar, acidity, density, oe, temperature, so2, nitrogen, dose"),
		asksIn("lot", "Lots", "79hL@210g/L 74hL@21brix", "2000gal@210g/L 1900gal@21brix")}},
	{id: "yield", label: "yield of a pressing", kind: "yield", fill: fillYield, take: takeNote, fields: []sumField{
		asksIn("juice", "Juice", "with its unit: 135 hL", "with its unit: 3500 US gal"),
		asksIn("grapes", "Grapes", "kg or t", "lb or short tons"),
		asksIn("at", "Expected", "instead of juice: 7.2 hL/t", "instead of juice: 172 gal/short ton"),
		asks("density", "Density", "of the juice, kg/L, for a balance"),
		asksIn("stems", "Stems", "kg or t", "lb or short tons"),
		asksIn("pomace", "Pomace", "kg or t", "lb or short tons")}},
	{id: "rack", label: "racking: does it add up?", kind: "yield", fill: fillRack, take: takeNote, fields: []sumField{
		asks("from", "From", "what was in the tank"),
		asksIn("to", "Arrived", "in each tank: 165hL 33.5hL", "in each tank: 4300gal 900gal"),
		asksIn("lees", "Lees", "with its unit: 14 hL", "with its unit: 370 US gal"),
		asksIn("loss", "Loss", "with its unit: 1.5 hL", "with its unit: 40 US gal")}},
	{id: "strength", label: "strength of an alcohol", kind: "strength", take: takeNote, fields: []sumField{
		asks("part", "Parts", "5mL@96% 5mL@0%"),
		asks("to", "Dilute to", "% vol")}},
	{id: "settle", label: "how fast solids sink", kind: "settle", take: takeNote, fields: []sumField{
		asks("particle", "Particle", "µm, such as 50"),
		asks("heavier", "Heavier by", "kg/m3 than the juice, such as 50"),
		asks("viscosity", "Viscosity", "mPa·s, blank = 2"),
		asksIn("height", "Height", "of the juice: 3.2 m", "of the juice: 10 ft")}},
	{id: "cut", label: "press cut by conductivity", kind: "cut", take: takeNote, fields: []sumField{
		asks("first", "First free run", "mS/cm, or 2400 µS/cm"),
		asks("now", "Now", "mS/cm, or 2850 µS/cm")}},
}

// several are the fields that take more than one value, with spaces between them.
var several = map[string]bool{"reading": true, "row": true, "lot": true, "part": true, "water": true, "mark": true,
	"to": true}

func openCalc(k *desk) (*Entry, string) {
	v, ok := k.vessel()
	if !ok {
		return nil, "Put the cursor on a tank: the board calculates with its numbers. Without a tank, use " +
			"mustwatch calc."
	}
	var choices []widget.Choice
	var fields []widget.Field
	for _, s := range calculations {
		choices = append(choices, widget.Choice{Label: s.label, Value: s.id})
		for _, f := range s.fields {
			fields = append(fields, only(widget.Field{Name: s.id + "." + f.name, Label: f.label,
				Hint: f.hint(k.look().Units()), Kind: widget.Figure, Width: sumWidth(s, f.name),
				Limit: 120, Optional: true}, on("sum", s.id)))
		}
	}
	title := "Calculate for " + string(v.Number)
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

// hint is the hint of a field as the house would write it.
func (f sumField) hint(sys quantity.System) string {
	if sys == quantity.US {
		return f.us
	}
	return f.metric
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
		return []string{"Pick a calculation: the board fills in what it knows of the tank."}
	}
	if v, there := k.vessel(); there && s.id == "dip" && v.Inside == nil {
		return []string{say(k.look(), "The house file has no inside measurements of {tank}: type them in mustwatch "+
			"calc dip.", v.Number)}
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
		return Taken{}, refuse("sum", "pick a calculation from the list")
	}
	in := k.typed(s, values)
	a, err := calc.Work(s.kind, in, k.look().Habit())
	var short *calc.Missing
	var wrong *calc.Slip
	switch {
	case errors.As(err, &short):
		return Taken{}, refuse("", "{missing}", short.Message)
	case errors.As(err, &wrong):
		return Taken{}, refuse(s.id+"."+wrong.Field, "{wrong}", wrong.Message)
	case err != nil:
		return Taken{}, refuse("sum", "{wrong}", err)
	}
	t := s.take(k, a, in)
	for name, value := range t.Values {
		t.Values[name] = quantity.ToType(value)
	}
	return t, nil
}
