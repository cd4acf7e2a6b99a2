package cellar

import (
	"maps"
	"reflect"
	"slices"
)

// Fact is something that is so, in the past tense. A fact carries all it needs:
// applying it never fails and never asks.
type Fact interface {
	apply(s *State, r Record)
}

// FactVersion is the schema version that this program writes for each kind.
// A record with a higher one was written by a newer program.
const FactVersion = 1

var factNames = registry[Fact]{}

// fact lists a fact under the name by which the journal keeps it, which never changes.
func fact[T any, P interface {
	*T
	Fact
}](kind string) bool {
	return factNames.list(kind, func() Fact { return P(new(T)) })
}

// Kind is the name under which the journal keeps a fact.
func Kind(f Fact) string { return factNames.name(f) }

// NewFact returns an empty fact of a kind, as a pointer to decode into; ok is
// false when this program does not know the kind.
func NewFact(kind string) (f Fact, ok bool) { return factNames.make(kind) }

// Kinds lists the kinds of fact this program knows, sorted.
func Kinds() []string { return slices.Sorted(maps.Keys(factNames.of)) }

// registry keeps the types of commands or of facts under their names.
type registry[T any] struct {
	of    map[string]func() T
	names map[reflect.Type]string
	order []string
}

func (r *registry[T]) list(name string, make func() T) bool {
	if r.of == nil {
		r.of, r.names = map[string]func() T{}, map[reflect.Type]string{}
	}
	if _, double := r.of[name]; double {
		panic("cellar: two things are called " + name)
	}
	r.of[name], r.names[reflect.TypeOf(make())] = make, name
	r.order = append(r.order, name)
	return true
}

func (r *registry[T]) name(x T) string { return r.names[reflect.TypeOf(x)] }

func (r *registry[T]) make(name string) (x T, ok bool) {
	if make, known := r.of[name]; known {
		return make(), true
	}
	return x, false
}
