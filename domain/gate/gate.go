package gate

import (
	"strings"

	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Code names a rule: H01… for hard stops, W01… for warnings.
type Code string

// Right says who may answer a finding.
type Right string

// The rights. Anybody at the keys may take a warning; a stop wants a named
// person; Nobody stands for a stop that no word lifts. What is done over a hold wants its
// releaser; it is ended by them, by the winemaker, or by a lead with a second person, for its
// releaser may have left.
const (
	Anyone    Right = "anyone"
	Lead      Right = "lead"
	Winemaker Right = "winemaker"
	Releaser  Right = "releaser"
	Ends      Right = "ends the hold"
	Nobody    Right = "nobody"
)

// Finding is one rule that speaks against what is about to be written, with the
// values it spoke on. What tells it from the others is its rule, what it is about and
// its field.
type Finding struct {
	Rule   Code
	Of     subject.Ref // what it is about: of two destinations, which
	Field  string      // the field of the form it belongs to
	Say    text.Say    // one sentence for a cellar hand, with the values
	Lacks  text.Say    // what the answer that was given to it lacks
	Right  Right       // who may answer
	Person string      // the person when Right is Releaser or Ends
	Second bool        // a second person must be named
	Reason bool        // a reason must be given
	// Like is the sequence number of an earlier entry that may be this very one,
	// written by somebody else; 0 when there is none.
	Like uint64
	// Asked says that whoever writes is asked also when it has happened already.
	Asked bool
}

// Whole is what the rule says, and what an answer to it lacked.
func (f Finding) Whole() text.Say { return text.Join(" ", f.Say, f.Lacks) }

// WhoMay is whose word counts on a hold.
func (f Finding) WhoMay() string {
	if f.Right == Ends {
		return f.Person + ", the winemaker, or a lead with a second person"
	}
	return f.Person
}

// ByPerson reports whether a finding is about the word of one person.
func (f Finding) ByPerson() bool { return f.Right == Releaser || f.Right == Ends }

// Stop reports whether the finding is a hard stop rather than a warning.
func (f Finding) Stop() bool { return f.Right != Anyone }

// Same reports whether two findings are one: of the same rule, about the same thing, at
// the same field.
func (f Finding) Same(o Finding) bool { return f.Rule == o.Rule && f.Of == o.Of && f.Field == o.Field }

// Answer is what a person said to one finding. It need not say to which where its rule
// has found one thing only.
type Answer struct {
	Rule   Code        `json:"rule"`
	Of     subject.Ref `json:"of,omitzero"`
	Field  string      `json:"field,omitempty"`
	By     string      `json:"by,omitempty"`     // initials of who decides; empty = who writes
	Second string      `json:"second,omitempty"` // initials of the second person
	Reason string      `json:"reason,omitempty"`
}

// Rule is one row of a table of rules over T, the thing being tried, in the
// circumstances C.
type Rule[T, C any] struct {
	Code Code
	Find func(T, C) []Finding
}

// Table is a list of rules, asked in order.
type Table[T, C any] []Rule[T, C]

// Ask returns what the rules find, each finding stamped with its rule's code.
func (t Table[T, C]) Ask(x T, in C) []Finding {
	var out []Finding
	for _, r := range t {
		for _, f := range r.Find(x, in) {
			f.Rule = r.Code
			out = append(out, f)
		}
	}
	return out
}

// Settled is a finding with its answer.
type Settled struct {
	Finding Finding
	Answer  Answer
}

// Settle holds answers against findings. may reports whether a person has a
// right; writer stands in where an answer names nobody. Open are the findings
// still in the way, each with what the answer to it lacked.
func Settle(found []Finding, answers []Answer, writer string, may func(who string, r Right) bool) (done []Settled,
	open []Finding) {
	for _, f := range found {
		a, given := AnswerTo(f, found, answers)
		if !given {
			if vague(f, found, answers) {
				f.Lacks = text.Of("{rule} applies more than once here: say which one you answer.", f.Rule)
			}
			open = append(open, f)
			continue
		}
		if a.By == "" {
			a.By = writer
		}
		if f.Lacks = lacking(f, a, may); !f.Lacks.IsZero() {
			open = append(open, f)
			continue
		}
		done = append(done, Settled{Finding: f, Answer: a})
	}
	return done, open
}

// AnswerTo is the answer that was given to a finding, and to no other of those found.
func AnswerTo(f Finding, found []Finding, answers []Answer) (Answer, bool) {
	for _, a := range answers {
		if a.may(f) && !a.several(found) {
			return a, true
		}
	}
	return Answer{}, false
}

// vague reports whether an answer may have been meant for a finding, or for another one.
func vague(f Finding, found []Finding, answers []Answer) bool {
	for _, a := range answers {
		if a.may(f) && a.several(found) {
			return true
		}
	}
	return false
}

// may reports whether an answer can be to a finding, by what it says.
func (a Answer) may(f Finding) bool {
	return a.Rule == f.Rule && (a.Of.IsZero() || a.Of.Meets(f.Of)) && (a.Field == "" || a.Field == f.Field)
}

// several reports whether an answer can be to findings that are not the same.
func (a Answer) several(found []Finding) bool {
	var first *Finding
	for i := range found {
		if !a.may(found[i]) {
			continue
		}
		if first != nil && !first.Same(found[i]) {
			return true
		}
		first = &found[i]
	}
	return false
}

// lacking says what an answer still needs, or "".
func lacking(f Finding, a Answer, may func(string, Right) bool) text.Say {
	switch {
	case f.Right == Nobody:
		return text.Of("This cannot be overridden.")
	case f.Right == Releaser && a.By != f.Person:
		return text.Of("Only {who} can release it.", f.Person)
	case f.Right == Ends && a.By != f.Person && !may(a.By, Winemaker) && !may(a.By, Lead):
		return text.Of("Only {who}, the winemaker, or a lead with a second person can release it.", f.Person)
	case f.Right == Ends && a.By != f.Person && !may(a.By, Winemaker) && (a.Second == "" || a.Second == a.By):
		return text.Of("Name a second person.")
	case f.Right != Anyone && f.Right != Releaser && f.Right != Ends && !may(a.By, f.Right):
		return text.Of("{who} cannot answer this; the {right} can.", a.By, f.Right)
	case f.Second && (a.Second == "" || a.Second == a.By):
		return text.Of("Name a second person.")
	case f.Reason && strings.TrimSpace(a.Reason) == "":
		return text.Of("Say why.")
	}
	return text.Say{}
}
