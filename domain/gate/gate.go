package gate

import "strings"

// Code names a rule: H01… for hard stops, W01… for warnings.
type Code string

// Right says who may answer a finding.
type Right string

// The rights. Anybody at the keys may take a warning; a stop wants a named
// person; Nobody stands for a stop that no word lifts.
const (
	Anyone    Right = "anyone"
	Lead      Right = "lead"
	Winemaker Right = "winemaker"
	Releaser  Right = "releaser"
	Nobody    Right = "nobody"
)

// Finding is one rule that speaks against what is about to be written, with the
// values it spoke on.
type Finding struct {
	Rule    Code
	Field   string // the field of the form it belongs to
	Message string // one sentence for a cellar hand, with the values
	Right   Right  // who may answer
	Person  string // the person when Right is Releaser
	Second  bool   // a second person must be named
	Reason  bool   // a reason must be given
	// Like is the sequence number of an earlier entry that may be this very one,
	// written by somebody else; 0 when there is none.
	Like uint64
	// Asked says that whoever writes is asked also when it has happened already.
	Asked bool
}

// Stop tells whether the finding is a hard stop rather than a warning.
func (f Finding) Stop() bool { return f.Right != Anyone }

// Answer is what a person said to a finding.
type Answer struct {
	Rule   Code   `json:"rule"`
	By     string `json:"by,omitempty"`     // initials of who decides; empty = who writes
	Second string `json:"second,omitempty"` // initials of the second person
	Reason string `json:"reason,omitempty"`
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

// Settle holds answers against findings. may tells whether a person has a
// right; writer stands in where an answer names nobody. Open are the findings
// still in the way, each with its message grown by what the answer lacked.
func Settle(found []Finding, answers []Answer, writer string, may func(who string, r Right) bool) (done []Settled, open []Finding) {
	for _, f := range found {
		a, given := answerFor(f.Rule, answers)
		if !given {
			open = append(open, f)
			continue
		}
		if a.By == "" {
			a.By = writer
		}
		if lack := lacking(f, a, may); lack != "" {
			f.Message += " " + lack
			open = append(open, f)
			continue
		}
		done = append(done, Settled{Finding: f, Answer: a})
	}
	return done, open
}

func answerFor(c Code, answers []Answer) (Answer, bool) {
	for _, a := range answers {
		if a.Rule == c {
			return a, true
		}
	}
	return Answer{}, false
}

// lacking says what an answer still needs, or "".
func lacking(f Finding, a Answer, may func(string, Right) bool) string {
	switch {
	case f.Right == Nobody:
		return "No word lifts this one."
	case f.Right == Releaser && a.By != f.Person:
		return "Only " + f.Person + " may release it."
	case f.Right != Anyone && f.Right != Releaser && !may(a.By, f.Right):
		return a.By + " may not answer this; the " + string(f.Right) + " may."
	case f.Second && (a.Second == "" || a.Second == a.By):
		return "A second person must be named."
	case f.Reason && strings.TrimSpace(a.Reason) == "":
		return "Say why."
	}
	return ""
}
