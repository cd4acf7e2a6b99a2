package cellar

import "sort"

// Fact is something that is so, in the past tense. A fact carries all it needs:
// applying it never fails and never asks.
type Fact interface {
	// Kind is the name under which the journal keeps it. It never changes.
	Kind() string
	apply(s *State, r Record)
}

// FactVersion is the schema version that this program writes for each kind.
// A record with a higher one was written by a newer program.
const FactVersion = 1

var factKinds = map[string]func() Fact{}

// register lists a fact under its kind. make returns a pointer to decode into.
func register(make func() Fact) bool {
	kind := make().Kind()
	if _, double := factKinds[kind]; double {
		panic("cellar: two facts are called " + kind)
	}
	factKinds[kind] = make
	return true
}

// NewFact returns an empty fact of a kind, as a pointer to decode into; ok is
// false when this program does not know the kind.
func NewFact(kind string) (f Fact, ok bool) {
	make, ok := factKinds[kind]
	if !ok {
		return nil, false
	}
	return make(), true
}

// Kinds lists the kinds of fact this program knows, sorted.
func Kinds() []string {
	out := make([]string, 0, len(factKinds))
	for k := range factKinds {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}
