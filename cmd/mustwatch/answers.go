package main

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
)

// howTo says what to add to a line that rules stand in the way of. What a person
// has to fill in is left empty, for an empty answer is never taken.
func howTo(s *cellar.State, n *cellar.Needs) []string {
	var out []string
	if n.Final() {
		out = append(out, `Nobody can override this. If it was done already,`+
			` add "happened":true and it is saved with the rule it broke.`)
	} else {
		var answers []string
		for _, f := range n.Findings {
			answers = append(answers, answerTo(f, n.Findings))
			out = append(out, which(f, n.Findings)+" can be overridden by "+whoMay(s, f)+".")
		}
		out = append(out, `To override, add "answers":[`+strings.Join(answers, ",")+`] and fill in the blanks.`)
	}
	if slices.ContainsFunc(n.Findings, func(f gate.Finding) bool { return f.Like != 0 }) {
		out = append(out, `If it is the entry that is saved already,`+
			` add "same":true: the two are linked and nothing counts twice.`)
	}
	return append(out, `If it was not done, add "not_done":true: that a rule stopped it is saved.`)
}

// twins counts the other findings of a rule, and those of them about the same thing.
func twins(f gate.Finding, all []gate.Finding) (others, same int) {
	for _, o := range all {
		if o.Rule == f.Rule && !o.Same(f) {
			others++
			if o.Of.Name == f.Of.Name {
				same++
			}
		}
	}
	return others, same
}

// which names a finding: by its rule, and where that has others by what it is about.
func which(f gate.Finding, all []gate.Finding) string {
	out := string(f.Rule)
	others, same := twins(f, all)
	if others > 0 {
		out += " on " + f.Of.Full()
	}
	if same > 0 {
		out += " (" + f.Field + ")"
	}
	return out
}

// answerTo is the answer to one of the findings as it is written in a line.
func answerTo(f gate.Finding, all []gate.Finding) string {
	var b strings.Builder
	fmt.Fprintf(&b, `{"rule":%s`, quoted(string(f.Rule)))
	others, same := twins(f, all)
	if others > 0 {
		fmt.Fprintf(&b, `,"of":%s`, quoted(f.Of.Full()))
	}
	if same > 0 {
		fmt.Fprintf(&b, `,"field":%s`, quoted(f.Field))
	}
	switch {
	case f.ByPerson():
		fmt.Fprintf(&b, `,"by":%s`, quoted(f.Person))
	case f.Stop():
		b.WriteString(`,"by":""`)
	}
	if f.Second {
		b.WriteString(`,"second":""`)
	}
	if f.Reason {
		b.WriteString(`,"reason":""`)
	}
	return b.String() + "}"
}

// whoMay says whose word counts on a finding, and what it takes beside it.
func whoMay(s *cellar.State, f gate.Finding) string {
	who := "whoever saves it"
	switch f.Right {
	case gate.Releaser, gate.Ends:
		who = f.WhoMay()
	case gate.Lead:
		who = named(s, "the lead", cellar.RoleLead, cellar.RoleWinemaker)
	case gate.Winemaker:
		who = named(s, "the winemaker", cellar.RoleWinemaker)
	}
	var with []string
	if f.Second {
		with = append(with, "a second person")
	}
	if f.Reason {
		with = append(with, "a reason")
	}
	if len(with) > 0 {
		who += ", with " + strings.Join(with, " and ")
	}
	return who
}

// named adds to a title the initials of those who hold one of its roles.
func named(s *cellar.State, title string, roles ...cellar.Role) string {
	var who []string
	for _, p := range s.House.People {
		for _, r := range roles {
			if p.Has(r) {
				who = append(who, string(p.Initials))
				break
			}
		}
	}
	if len(who) == 0 {
		return title
	}
	return title + " (" + strings.Join(who, " or ") + ")"
}

func quoted(s string) string {
	b, err := json.Marshal(s)
	if err != nil { // a string always marshals
		return `""`
	}
	return string(b)
}
