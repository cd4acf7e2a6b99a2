package calc

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/quantity"
)

// Answer is a figure with its working: what went in, how, what came out, and
// what stands behind it.
type Answer struct {
	Title    string   `json:"calculated"`
	Cautions []string `json:"cautions,omitempty"`
	Given    []Figure `json:"given"`
	Working  []string `json:"working"`
	Results  []Figure `json:"results"`
	Notes    []string `json:"notes,omitempty"`
	Sources  []string `json:"sources"`

	dangers []caution.Code // of these values, beside those of the kind
	keyed   map[Key]Figure // those of the results that forms take
}

// Figure is one number with its name. Value and Unit are for machines, Text for
// people; a figure without a unit is a text or a plain number.
type Figure struct {
	Name  string  `json:"name"` // what stands before it, for people
	Value float64 `json:"value"`
	Unit  string  `json:"unit,omitempty"`
	Text  string  `json:"text"`
}

// Key tells which result a figure is, whatever it is called.
type Key string

// The results that forms take.
const (
	Volume       Key = "volume"
	Brix         Key = "brix"
	Density      Key = "density"
	AtPower      Key = "at-power"      // hours to a temperature at constant power
	ByJacket     Key = "by-jacket"     // and by the jacket
	SinceReading Key = "since-reading" // hours from the last reading to the target
	Due          Key = "due"           // hours from the start to the pectin test
)

// put adds a result that a form takes.
func (a *Answer) put(k Key, f Figure) {
	if a.keyed == nil {
		a.keyed = map[Key]Figure{}
	}
	a.keyed[k] = f
	a.Results = append(a.Results, f)
}

// Result finds a result by its key.
func (a Answer) Result(k Key) (Figure, bool) {
	f, ok := a.keyed[k]
	return f, ok
}

// Values are what was typed, by the name of the field. A field that may be given
// more than once has several.
type Values map[string][]string

// Joined puts words that were typed apart together again: one that does not begin
// with a digit belongs to the one before it, as the units do in "79 hL@21.5 brix".
func Joined(words []string) []string {
	var out []string
	for _, w := range words {
		last := len(out) - 1
		if last >= 0 && (!strings.ContainsAny(w[:min(1, len(w))], "0123456789.") || strings.HasSuffix(out[last], "@") ||
			strings.HasSuffix(out[last], "=")) {
			out[last] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

// Field is one thing that may be typed for a calculation.
type Field struct {
	Name    string
	Say     string // what it is; what is typed stands between backquotes
	Default string
	Many    bool // may be given more than once
}

// Kind is one calculation: what it takes.
type Kind struct {
	Name, Short, Long, Example string
	Words                      string // the field that bare words belong to, "" for none
	Fields                     []Field
	Cautions                   []string // of whatever it works out
}

// Slip is a value that cannot be read or cannot be so.
type Slip struct {
	Field   string // "" when no single field is at fault
	Typed   string // the one of several that is meant, else ""
	Message string
}

func (s *Slip) Error() string { return s.Message }

// Missing says what a calculation takes, when too little or too much was given.
type Missing struct{ Message string }

func (m *Missing) Error() string { return m.Message }

// kind is a calculation with the places its values go to. Each call has its own.
type kind struct {
	name, short, long, example string
	words                      string
	fields                     []field
	cautions                   []caution.Code
	work                       func(r *asked) (Answer, error)
}

type field struct {
	to        *string
	all       *[]string
	name, say string
}

func one(to *string, name, say string) field     { return field{to: to, name: name, say: say} }
func many(all *[]string, name, say string) field { return field{all: all, name: name, say: say} }

var kinds = []func() kind{doseKind, makeupKind, so2Kind, sugarKind, strengthKind, dipKind, heatKind, contactKind,
	blendKind, yieldKind, settleKind, cutKind}

// Kinds lists the calculations.
func Kinds() []Kind {
	var out []Kind
	for _, open := range kinds {
		k := open()
		shown := Kind{Name: k.name, Short: k.short, Long: k.long, Example: k.example, Words: k.words,
			Cautions: caution.Texts(k.cautions...)}
		for _, f := range k.fields {
			x := Field{Name: f.name, Say: f.say, Many: f.all != nil}
			if f.to != nil {
				x.Default = *f.to
			}
			shown.Fields = append(shown.Fields, x)
		}
		out = append(out, shown)
	}
	return out
}

// Work works a calculation out. Names that the kind does not have are passed over;
// an empty value counts as not given. The error is a *Slip or a *Missing. NaN and
// infinity never leave it.
func Work(name string, v Values, h quantity.Habit) (Answer, error) {
	for _, open := range kinds {
		k := open()
		if k.name != name {
			continue
		}
		for _, f := range k.fields {
			f.fill(v[f.name])
		}
		r := &asked{habit: h, sys: h.Units}
		a, err := k.work(r)
		if r.fault != nil {
			err = r.fault
		}
		if err == nil {
			err = a.finite()
		}
		if err != nil {
			return Answer{}, slip("", "", err)
		}
		a.Cautions = caution.Texts(append(slices.Clone(k.cautions), a.dangers...)...)
		return a, nil
	}
	return Answer{}, missing("There is no calculation of %q.", name)
}

func (f field) fill(typed []string) {
	for _, s := range typed {
		switch {
		case s == "":
		case f.all != nil:
			*f.all = append(*f.all, s)
		default:
			*f.to = s
		}
	}
}

func (a Answer) finite() error {
	for _, f := range append(append([]Figure{}, a.Given...), a.Results...) {
		if math.IsNaN(f.Value) || math.IsInf(f.Value, 0) {
			return fmt.Errorf("The %s came to no number: type the values again.", f.Name)
		}
	}
	return nil
}

// slip says which field an error of the small packages is about.
func slip(field, typed string, err error) error {
	var known *Slip
	var short *Missing
	if errors.As(err, &known) || errors.As(err, &short) {
		return err
	}
	return &Slip{Field: field, Typed: typed, Message: err.Error()}
}

func missing(format string, args ...any) error {
	return &Missing{fmt.Sprintf(format, args...)}
}
