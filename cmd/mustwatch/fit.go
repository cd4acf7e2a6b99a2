package main

import (
	"encoding"
	"fmt"
	"reflect"
	"strings"
	"time"
	"unicode"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
)

// fault is one thing wrong with a house file: where it stands, and a sentence.
type fault struct {
	line  int
	path  string // of the field in the file
	where string // the entry and the field, for a person
	says  string
}

func (f fault) String() string {
	if f.where == "" {
		return fmt.Sprintf("line %d: %s", f.line, f.says)
	}
	return fmt.Sprintf("line %d: %s: %s", f.line, f.where, f.says)
}

// fitter puts the tree of a TOML document into the commands of the cellar, by
// the names their fields have in the line format. Everything that does not fit
// becomes a fault; nothing is left out in silence and nothing is guessed.
type fitter struct {
	lines  lineMap
	zone   *time.Location
	at     time.Time      // what a time without a day is next to
	habit  quantity.Habit // of the house
	faults []fault
	unread map[int]bool // lines that are no TOML
}

func (f *fitter) fault(path, where, template string, values ...any) {
	if line := f.lines.at(path); !f.unread[line] { // what stands there could not be read at all
		f.faults = append(f.faults, fault{line, path, where, sentence(template, values...)})
	}
}

var (
	timeType = reflect.TypeFor[time.Time]()
	headType = reflect.TypeFor[cellar.Head]()
	textType = reflect.TypeFor[encoding.TextUnmarshaler]()
	// unitTypes are the quantities that mean nothing without a unit.
	unitTypes = map[reflect.Type]string{
		reflect.TypeFor[quantity.Volume]():  "250 hL",
		reflect.TypeFor[quantity.Mass]():    "12 t",
		reflect.TypeFor[quantity.Amount]():  "500 g",
		reflect.TypeFor[quantity.Celsius](): "12.5 °C",
		reflect.TypeFor[quantity.Rate]():    "3 g/hL",
		reflect.TypeFor[contact.Wait]():     "3h",
		reflect.TypeFor[dose.Strength]():    "150 g/L",
	}
)

// fit puts one value of the tree into v.
func (f *fitter) fit(v reflect.Value, x any, path, where string) {
	switch {
	case v.Kind() == reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		f.fit(v.Elem(), x, path, where)
	case v.Type() == timeType:
		f.fitTime(v, x, path, where)
	case v.Addr().Type().Implements(textType):
		f.fitText(v, x, path, where)
	case v.Kind() == reflect.Struct:
		f.fitTable(v, x, path, where)
	case v.Kind() == reflect.Slice:
		f.fitList(v, x, path, where)
	default:
		f.fitPlain(v, x, path, where)
	}
}

// fitTable puts a table into a struct. where is the table's name for a person.
func (f *fitter) fitTable(v reflect.Value, x any, path, where string) {
	table, ok := x.(map[string]any)
	if !ok {
		f.fault(path, where, "type a table of names and values here, such as {{ name = \"soft\" }.")
		return
	}
	fields, names := fieldsOf(v)
	for _, name := range inOrder(table, f.lines, path) {
		at := under(path, name)
		if to, known := fields[name]; known {
			f.fit(to, table[name], at, join(where, name))
			continue
		}
		f.fault(at, where, "there is no {typed:%q} here; type one of {names}.", name, strings.Join(names, ", "))
	}
}

func (f *fitter) fitList(v reflect.Value, x any, path, where string) {
	list, ok := x.([]any)
	if !ok {
		f.fault(path, where, "type a list here, in square brackets.")
		return
	}
	out := reflect.MakeSlice(v.Type(), len(list), len(list))
	for i, item := range list {
		f.fit(out.Index(i), item, nth(path, i), entry(where, item, i))
	}
	v.Set(out)
}

// fitText hands a text to the type that reads it.
func (f *fitter) fitText(v reflect.Value, x any, path, where string) {
	like, wantsUnit := unitTypes[v.Type()]
	text, ok := x.(string)
	switch {
	case !ok && wantsUnit:
		f.fault(path, where, "type it in quotes with its unit, such as {like:%q}.", like)
	case !ok:
		f.fault(path, where, "type it in quotes.")
	case wantsUnit && !strings.ContainsFunc(text, isUnit):
		f.fault(path, where, "{typed:%q} has no unit; type it like {like:%q}.", text, like)
	default:
		if err := f.readText(v, text); err != nil {
			f.fault(path, where, "{typed:%q} cannot be read. {wrong}", text, err)
		}
	}
}

// readText reads a text, a quantity as the house writes it.
func (f *fitter) readText(v reflect.Value, text string) error {
	to := v.Addr().Interface()
	if typed, ok := to.(quantity.Typed); ok {
		return typed.ReadTyped(text, f.habit)
	}
	return to.(encoding.TextUnmarshaler).UnmarshalText([]byte(text))
}

func isUnit(r rune) bool { return unicode.IsLetter(r) || r == '°' || r == 'º' }

func (f *fitter) fitPlain(v reflect.Value, x any, path, where string) {
	switch got := x.(type) {
	case string:
		if r := strings.IndexFunc(got, unseen); r >= 0 {
			f.fault(path, where, "{code} is a character that cannot be shown; leave it out.",
				fmt.Sprintf("%U", []rune(got[r:])[0]))
			return
		}
		if v.Kind() == reflect.String {
			v.SetString(got)
			return
		}
	case bool:
		if v.Kind() == reflect.Bool {
			v.SetBool(got)
			return
		}
	case int64:
		if v.CanInt() && !v.OverflowInt(got) {
			v.SetInt(got)
			return
		}
		if v.CanFloat() {
			v.SetFloat(float64(got))
			return
		}
	case float64:
		if v.CanFloat() {
			v.SetFloat(got)
			return
		}
	}
	f.fault(path, where, "type {kind} here, not {typed}.", wanted(v.Kind()), fmt.Sprint(x))
}

func wanted(k reflect.Kind) string {
	switch k {
	case reflect.String:
		return "a text in quotes"
	case reflect.Bool:
		return "true or false"
	case reflect.Float64:
		return "a number"
	}
	return "a whole number"
}

// fieldsOf lists the fields of a struct by their names in the line format, with
// those of embedded structs, in order. What a command says of itself (who, when)
// is said once for the whole file, and what a record works out is not typed.
func fieldsOf(v reflect.Value) (fields map[string]reflect.Value, names []string) {
	fields = map[string]reflect.Value{}
	for i := range v.NumField() {
		t := v.Type().Field(i)
		name, _, _ := strings.Cut(t.Tag.Get("json"), ",")
		switch {
		case t.Type == headType || name == "-" || t.Tag.Get("toml") == "-":
		case t.Anonymous && name == "":
			inner, more := fieldsOf(v.Field(i))
			for _, n := range more {
				fields[n] = inner[n]
			}
			names = append(names, more...)
		case t.IsExported():
			if name == "" {
				name = t.Name
			}
			fields[name] = v.Field(i)
			names = append(names, name)
		}
	}
	return fields, names
}

// naming are the fields by which a person knows an entry, the most telling first.
var naming = []string{"vessel", "press", "product", "load", "initials", "subject", "id", "name"}

// entry names one entry of a list: by what is written on it, else by its place.
func entry(where string, item any, i int) string {
	if table, ok := item.(map[string]any); ok {
		for _, n := range naming {
			if s, ok := table[n].(string); ok && s != "" {
				return fmt.Sprintf("%s %q", where, s)
			}
		}
	}
	return fmt.Sprintf("%s %d", where, i+1)
}

func join(where, name string) string {
	if where == "" {
		return name
	}
	return where + ", " + name
}
