package calc

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/must"
	"cellar.example/mustwatch/domain/quantity"
)

func sugarKind() kind {
	var words []string
	var temp, with, by string
	return kind{name: "sugar", short: "A sugar reading on every scale, with potential alcohol", words: "reading",
		example: `  mustwatch calc sugar 60oe
  mustwatch calc sugar 21.5brix --temp 14C --with refractometer
  mustwatch calc sugar "1.090 sg" --by german`,
		fields: []field{
			many(&words, "reading", "`reading` with its scale, such as 60oe"),
			one(&temp, "temp", "`temperature` of the sample, else 20 °C"),
			one(&with, "with", "`instrument` it was read with, refractometer or hydrometer; needed with temp"),
			one(&by, "by", "`convention` of potential alcohol: 16.83, 17, 17.5 or german; else all"),
		},
		work: func(r *asked) (Answer, error) {
			if len(words) == 0 {
				return Answer{}, missing("sugar takes a reading with its scale, such as 60oe.")
			}
			return r.sugar(strings.Join(words, " "), temp, with, by)
		}}
}

func (r *asked) sugar(text, temp, with, by string) (Answer, error) {
	var reading must.Reading
	r.read("", func() (err error) { reading, err = must.ParseReading(text, r.habit); return err })
	if r.fault != nil {
		return Answer{}, nil
	}
	a := Answer{Title: "Sugar", Given: []Figure{{"reading", reading.Value, string(reading.Scale), reading.String()}}}
	reading, err := r.to20(&a, reading, temp, with)
	if err != nil || r.fault != nil {
		return a, err
	}
	s, err := must.Convert(reading)
	if err != nil {
		return a, err
	}
	a.Working = append(a.Working, "°Oe = (SG − 1) × 1000; °Bé = 145 − 145/SG; °Oe = KMW × (0.022 KMW + 4.54); SG = "+
		"density ÷ 0.9982012",
		"must is not sucrose: °Brix, density and sugar by the table of must, straight between its rows")
	missing := map[string][]string{}
	for _, one := range []struct {
		key    Key
		name   string
		f      must.Figure
		digits int
		unit   string
	}{{Brix, "refractometer", s.Brix, 1, "°Brix"}, {"", "spindle", s.Spindle, 1, "°Brix"},
		{"", "SG 20/20", s.SG, 4, ""}, {Density, "density", s.Density, 4, "kg/L"},
		{"", "Oechsle", s.Oechsle, 1, "°Oe"}, {"", "Baumé", s.Baume, 1, "°Bé"}, {"", "Babo", s.KMW, 1, "°KMW"},
		{"", "sugar", s.Sugar, 0, "g/L"}, {"", "sugar by mass", s.SugarMass, 0, "g/kg"}} {
		a.add(one.key, one.name, one.f, one.digits, one.unit, missing)
	}
	conventions := must.Conventions()
	if by != "" {
		var c must.Convention
		r.read("by", func() (err error) { c, err = must.ParseConvention(by); return err })
		conventions = []must.Convention{c}
	}
	for _, c := range conventions {
		f, err := must.Potential(s, c)
		if err != nil {
			if by != "" && r.fault == nil {
				return a, err
			}
			f = must.Figure{Basis: err.Error()}
		}
		a.add("", "alcohol by "+string(c), f, 1, "% vol", missing)
	}
	for _, why := range slices.Sorted(maps.Keys(missing)) {
		a.Notes = append(a.Notes, "Not given: "+strings.Join(missing[why], ", ")+". "+capital(why))
	}
	if sg, err := must.SucroseSG(quantity.Brix(s.Brix.Value)); err == nil && s.Brix.Known && !s.SG.Known {
		a.Notes = append(a.Notes, "Pure sucrose of that °Brix would have SG "+digits(sg, 4)+".")
	}
	a.Notes = append(a.Notes, "Potential alcohol means nothing without its convention; Anlage 8 is the German law "+
		"for natural alcohol from °Oe alone.")
	a.Sources = append(a.Sources, "OIV-MA-AS2-02 Table II, 10 to 30 °Brix (Oeno 21/2004, by the French arrêté of 14 "+
		"September 2011)",
		"NBS C440 Table 114 for what a spindle shows; WeinV Anlage 8, 40 to 150 °Oe; modulus 145")
	return a, nil
}

// add puts a figure among the results, or among those that are missing: names by
// the reason.
func (a *Answer) add(key Key, name string, f must.Figure, places int, unit string, missing map[string][]string) {
	if !f.Known {
		missing[f.Basis] = append(missing[f.Basis], name)
		return
	}
	text := strings.TrimSpace(digits(f.Value, places) + " " + unit)
	if f.Extrapolated {
		text += "  extrapolated, outside the table"
	}
	if x := (Figure{name, f.Value, unit, text}); key != "" {
		a.put(key, x)
	} else {
		a.Results = append(a.Results, x)
	}
}

// capital makes a sentence of a reason.
func capital(s string) string {
	s = strings.ToUpper(s[:1]) + s[1:]
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}

// to20 brings the reading to 20 °C by the correction of its instrument. A density
// scale goes through the °Brix of a spindle.
func (r *asked) to20(a *Answer, reading must.Reading, temp, with string) (must.Reading, error) {
	if temp == "" && with == "" {
		return reading, nil
	}
	if temp == "" || with == "" {
		return reading, missing("A correction takes both temp and with.")
	}
	t := r.celsius("temp", temp)
	instrument, light := must.Hydrometer, false
	switch strings.ToLower(with) {
	case "refractometer":
		instrument, light = must.Refractometer, true
	case "hydrometer", "spindle":
	default:
		return reading, missing("with takes refractometer or hydrometer, not %q.", with)
	}
	byGravity := reading.Scale != must.Brix
	if r.fault != nil || light && byGravity {
		return reading, errors.New("A refractometer is read in °Brix here: type such as 21.5 brix, or read it with " +
			"a hydrometer.")
	}
	b := quantity.Brix(reading.Value)
	if byGravity {
		s, err := must.Convert(reading)
		if err != nil {
			return reading, err
		}
		if !s.Spindle.Known || reading.Scale == must.Sugar || reading.Scale == must.SugarPer {
			return reading, errors.New("Only a reading of an instrument is corrected: type °Brix, °Oe, °Bé, °KMW, " +
				"SG or a density from SG 1 on.")
		}
		b = quantity.Brix(s.Spindle.Value)
	}
	c, err := must.To20(instrument, b, t)
	if err != nil {
		return reading, err
	}
	a.Given = append(a.Given, r.ofCelsius("temperature", t))
	a.Working = append(a.Working, fmt.Sprintf("at 20 °C: %s %+.2f = %s °Brix, by %s", digits(float64(b), 2), c.Add,
		digits(float64(c.Brix), 2), c.Basis))
	a.Sources = append(a.Sources, c.Basis)
	if c.Recalled {
		a.Notes = append(a.Notes, "These rows of the correction come from memory and checked by a "+
			"second way.")
	}
	if c.Extrapolated {
		a.Notes = append(a.Notes, "The correction is extrapolated: the table ends nearer.")
	}
	if light {
		a.Notes = append(a.Notes, "A refractometer is true only in must that does not ferment.")
	}
	return backToScale(reading, c, instrument)
}

// backToScale makes a reading at 20 °C on a scale of must out of a correction. A
// spindle's °Brix is that of sucrose, so it goes on as an SG.
func backToScale(reading must.Reading, c must.Correction, i must.Instrument) (must.Reading, error) {
	if i == must.Refractometer {
		return must.Reading{Value: float64(c.Brix), Scale: must.Brix}, nil
	}
	sg, err := must.SucroseSG(c.Brix)
	return must.Reading{Value: sg, Scale: must.SG}, err
}
