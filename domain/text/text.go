// Package text holds what the program says: a template in words with named values. Whoever
// decides passes the text and its values on; a sentence is made of them only where somebody
// sees it.
//
// A text that facts keep is declared once, with a code that never changes:
//
//	var overfull = text.New("overfull", "{tank} would hold {volume}, {share:%.0f} % of it.")
//
// and said with its values in the order of their names: overfull.Say(v.Number, after, share). What is
// only shown and never kept stands where it is said: text.Of("{load} is empty.", l.ID).
package text

import (
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/subject"
)

// Text is a declared text: a code for the journal and a template for people.
type Text struct {
	code   string
	seen   string // what there is to be seen
	advice string // what to do about it, or what is asked
	names  []string
}

var declared = map[string]*Text{}

// New declares a text that facts may keep: what there is to be seen and, apart from it, what to
// do about it. Where there is room for one sentence only, Seen leaves the advice out. A code that
// is declared twice, and a template that cannot be read, end the program: both are mistakes of
// whoever declares it.
func New(code, template string, advice ...string) *Text {
	if _, double := declared[code]; double {
		panic("text: two texts have the code " + code)
	}
	t := &Text{code: code, seen: template, advice: strings.Join(advice, " ")}
	t.names = Names(t.template())
	declared[code] = t
	return t
}

func (t *Text) template() string {
	if t.advice == "" {
		return t.seen
	}
	return t.seen + " " + t.advice
}

// Declared lists the texts that facts may keep as code and template, by code.
func Declared() [][2]string {
	out := make([][2]string, 0, len(declared))
	for code, t := range declared {
		out = append(out, [2]string{code, t.template()})
	}
	slices.SortFunc(out, func(a, b [2]string) int { return strings.Compare(a[0], b[0]) })
	return out
}

// Say fills the text in; values come in the order in which the template names them first.
func (t *Text) Say(values ...any) Say { return Say{Code: t.code, With: named(t.names, values)} }

// Is reports whether something said is this text.
func (t *Text) Is(s Say) bool { return s.Code == t.code }

// Say is something to be said: a declared text by its code or, without one, a template; and what
// its names stand for.
type Say struct {
	Code     string
	template string
	With     []Value
	brief    bool // only what there is to be seen, without the advice
}

// Seen is what there is to be seen, without what to do about it; of several things, the first.
func (s Say) Seen() Say {
	if s.Code == "" && len(s.With) == 1 && s.With[0].Kind == several {
		return s.With[0].Says[0].Seen()
	}
	s.brief = true
	return s
}

// Of says what no fact keeps: a template and its values, in the order of its names.
func Of(template string, values ...any) Say {
	return Say{template: template, With: named(Names(template), values)}
}

// Words says what somebody typed, as they typed it.
func Words(typed string) Say {
	if typed == "" {
		return Say{}
	}
	return Say{template: "{words}", With: []Value{{Name: "words", Raw: typed}}}
}

// Join says one thing after another, with sep between them; what is empty is left out.
func Join(sep string, all ...Say) Say {
	all = slices.DeleteFunc(slices.Clone(all), Say.IsZero)
	switch len(all) {
	case 0:
		return Say{}
	case 1:
		return all[0]
	}
	return Say{template: "{all}", With: []Value{{Name: "all", Kind: several, Raw: sep, Says: all}}}
}

// IsZero reports whether nothing is said.
func (s Say) IsZero() bool { return s.Code == "" && s.template == "" }

// Same reports whether two say the same with the same values.
func (s Say) Same(o Say) bool {
	return s.Code == o.Code && s.template == o.template && slices.EqualFunc(s.With, o.With, func(a, b Value) bool {
		return a.Name == b.Name && a.Kind == b.Kind && a.Raw == b.Raw && slices.EqualFunc(a.Says, b.Says, Say.Same)
	})
}

// Value is what a name in a template stands for: its kind, and how it is written exactly, so that
// whoever shows it can choose the unit and the zone. A Raw of no kind is words as somebody typed them.
type Value struct {
	Name, Kind, Raw string
	Says            []Say
}

// The kinds that are none of the domain's own types.
const (
	Time    = "time"   // an instant
	Length  = "length" // a length of time
	Number  = "number"
	said    = "say"
	several = "several"
)

func named(names []string, values []any) []Value {
	var out []Value
	for i, v := range values {
		name := "more" + strconv.Itoa(i)
		if i < len(names) {
			name = names[i]
		}
		x := valueOf(v)
		x.Name = name
		out = append(out, x)
	}
	return out
}

// valueOf takes a value apart. A type of the domain is kept by the name of its type and the text
// that it marshals to.
func valueOf(v any) Value {
	switch v := v.(type) {
	case nil:
		return Value{}
	case Say:
		return valueOfSay(v)
	case string:
		return Value{Raw: v}
	case subject.Ref:
		return Value{Kind: "ref", Raw: v.Full()}
	case error:
		return Value{Raw: v.Error()}
	case time.Time:
		return Value{Kind: Time, Raw: v.UTC().Format(time.RFC3339)}
	case time.Duration:
		return Value{Kind: Length, Raw: v.String()}
	}
	of := reflect.TypeOf(v)
	kind := strings.ToLower(of.Name())
	if m, ok := v.(encoding.TextMarshaler); ok {
		if b, err := m.MarshalText(); err == nil {
			return Value{Kind: kind, Raw: string(b)}
		}
	}
	if of.PkgPath() != "" {
		if s, ok := v.(fmt.Stringer); ok {
			return Value{Kind: kind, Raw: s.String()}
		}
	}
	switch r := reflect.ValueOf(v); {
	case r.CanInt(), r.CanUint(), r.CanFloat():
		return Value{Kind: Number, Raw: fmt.Sprint(v)}
	case r.Kind() == reflect.String:
		return Value{Kind: kind, Raw: r.String()}
	}
	return Value{Raw: fmt.Sprint(v)}
}

// valueOfSay is something said within something else, as it is read back from a journal.
func valueOfSay(v Say) Value {
	if v.Code == "" && (v.IsZero() || len(v.With) == 1 && (v.template == "{words}" || v.template == "{all}")) {
		x := Value{}
		if !v.IsZero() {
			x = v.With[0]
		}
		return x
	}
	return Value{Kind: said, Says: []Say{v}}
}

// Voice puts values into words: in the units and the zone of a house, by the names of its things.
type Voice interface {
	Word(kind, raw string) string
}

// Plain is the voice that says every value as it is written.
type Plain struct{}

// Word is the value as it is written.
func (Plain) Word(_, raw string) string { return raw }

// In makes the sentence. A code that this program does not know is said as it is, with its values.
func (s Say) In(v Voice) string {
	template := s.template
	if s.Code != "" {
		t, known := declared[s.Code]
		if !known {
			return s.unknown(v)
		}
		if template = t.template(); s.brief {
			template = t.seen
		}
	}
	var b strings.Builder
	for piece := range pieces(template) {
		if piece.name == "" {
			b.WriteString(piece.words)
			continue
		}
		i := slices.IndexFunc(s.With, func(x Value) bool { return x.Name == piece.name })
		if i < 0 {
			b.WriteString("{" + piece.name + "}")
			continue
		}
		b.WriteString(s.With[i].in(v, piece.verb))
	}
	return b.String()
}

func (s Say) unknown(v Voice) string {
	out := []string{s.Code}
	for _, x := range s.With {
		out = append(out, x.Name+"="+x.in(v, ""))
	}
	return strings.Join(out, " ")
}

func (x Value) in(v Voice, verb string) string {
	switch {
	case x.Kind == said || x.Kind == several:
		all := make([]string, len(x.Says))
		for i, s := range x.Says {
			all[i] = s.In(v)
		}
		return strings.Join(all, x.Raw)
	case verb == "":
		return v.Word(x.Kind, x.Raw)
	case x.Kind != Number:
		return fmt.Sprintf(verb, v.Word(x.Kind, x.Raw))
	}
	var n float64
	if json.Unmarshal([]byte(x.Raw), &n) != nil {
		return x.Raw
	}
	return fmt.Sprintf(verb, n)
}
