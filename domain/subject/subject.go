// Package subject says what something is about: a name, and what it is the name of.
// A vessel 74, a load 74 and a person 74 are three subjects.
package subject

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// Kind is what a name is the name of.
type Kind string

// The kinds of subject. Words are what nobody has a list of.
const (
	Vessel  Kind = "vessel"
	Press   Kind = "press"
	Load    Kind = "load"
	Person  Kind = "person"
	Product Kind = "product"
	Place   Kind = "place"
	Shift   Kind = "shift"
	House   Kind = "house" // the cellar as a whole, its crew, its laboratory
	Words   Kind = "words"
)

// Kinds are the kinds of subject, as they are written.
var Kinds = []Kind{Vessel, Press, Load, Person, Product, Place, Shift, House, Words}

// Ref is one subject. Without a kind it is a name as somebody typed it, which is still
// to be told what it is of.
type Ref struct {
	Kind Kind   `json:"kind"`
	Name string `json:"name"`
}

// Of is the subject of a kind and a name.
func Of[S ~string](k Kind, name S) Ref { return Ref{k, string(name)} }

// Bare is a name of which nobody has said what it is of.
func Bare[S ~string](name S) Ref { return Ref{Name: string(name)} }

// IsZero reports whether nothing is named.
func (r Ref) IsZero() bool { return r.Name == "" }

// String is the name alone, as people say it where it cannot be mistaken.
func (r Ref) String() string { return r.Name }

// Full is the name with its kind: "load 74". Parse reads it again.
func (r Ref) Full() string {
	if r.Kind == "" || r.Kind == Words {
		return r.Name
	}
	return string(r.Kind) + " " + r.Name
}

// Meets reports whether a typed reference can mean a subject: it is of the same name,
// and of the same kind where it says one.
func (r Ref) Meets(o Ref) bool { return r.Name == o.Name && (r.Kind == "" || r.Kind == o.Kind) }

// Parse reads "load 74"; where the first word is no kind, all of it is a name.
func Parse(text string) Ref {
	text = strings.TrimSpace(text)
	kind, name, cut := strings.Cut(text, " ")
	k, name := Kind(strings.ToLower(kind)), strings.TrimSpace(name)
	if !cut || name == "" || !slices.Contains(Kinds, k) {
		return Ref{Name: text}
	}
	return Ref{k, name}
}

// MarshalJSON writes {"kind":"load","name":"74"}, and a bare name as it was typed.
func (r Ref) MarshalJSON() ([]byte, error) {
	if r.Kind == "" {
		return json.Marshal(r.Name)
	}
	type plain Ref
	return json.Marshal(plain(r))
}

// UnmarshalJSON takes {"kind":"load","name":"74"}, "load 74", or a bare name.
func (r *Ref) UnmarshalJSON(data []byte) error {
	var name string
	if json.Unmarshal(data, &name) == nil {
		return r.UnmarshalText([]byte(name))
	}
	var full struct {
		Kind Kind   `json:"kind"`
		Name string `json:"name"`
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&full); err != nil {
		return fmt.Errorf(`%s is no subject; type a name, or {"kind":"load","name":"74"}`, data)
	}
	if full.Kind != "" && !slices.Contains(Kinds, full.Kind) {
		return fmt.Errorf("%q is no kind of subject; %v are", full.Kind, Kinds)
	}
	*r = Ref(full)
	return nil
}

// UnmarshalText takes "load 74" or a bare name.
func (r *Ref) UnmarshalText(text []byte) error {
	*r = Parse(string(text))
	return nil
}
