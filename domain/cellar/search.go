package cellar

import (
	"iter"
	"slices"
	"strings"
	"time"
	"unicode"

	"cellar.example/mustwatch/domain/subject"
)

// SearchedBack is how many entries a search looks back through, more than a season has:
// what a cursor waits for must end.
const SearchedBack = 200_000

// Search is words that somebody looks for in what was saved: each of them stands in it, or
// names its day, person, tank, load or product. Numbers and initials are found as they stand,
// not in something longer.
type Search struct {
	s     *State
	words []sought
}

// sought is one word, with what else it may be called.
type sought struct {
	names []string
	whole bool // it is no part of another word
}

// SearchFor takes words as they were typed.
func (s *State) SearchFor(typed string) Search {
	x := Search{s: s}
	for _, w := range strings.Fields(strings.ToLower(typed)) {
		_, person := s.House.Person(Initials(strings.ToUpper(w)))
		names, whole := []string{w}, person || !strings.ContainsFunc(w, unicode.IsLetter)
		for _, id := range s.productOrder { // a card has a name that entries do not tell
			if p := s.products[id]; strings.Contains(strings.ToLower(p.Name), w) {
				names = append(names, strings.ToLower(string(id)))
			}
		}
		for _, p := range s.House.People {
			if strings.Contains(strings.ToLower(p.Name), w) {
				names = append(names, strings.ToLower(string(p.Initials)))
			}
		}
		x.words = append(x.words, sought{names, whole})
	}
	return x
}

// in reports whether all the words stand in what was said, or in when and by whom.
func (x Search) in(at time.Time, by Initials, of subject.Ref, said ...string) bool {
	at = at.In(x.s.Zone())
	text := strings.ToLower(strings.Join(append(said, string(by), of.Full(), x.s.NameOf(of),
		at.Format("Monday 2 January 2006 15:04 2006-01-02")), " "))
	tokens := strings.FieldsFunc(text, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("-./", r)
	})
	return !slices.ContainsFunc(x.words, func(w sought) bool {
		return (w.whole || !strings.Contains(text, w.names[0])) &&
			!slices.ContainsFunc(w.names, func(name string) bool { return slices.Contains(tokens, name) })
	})
}

// Events goes over what was saved and is looked for, newest first.
func (x Search) Events(yield func(Event) bool) {
	n := 0
	for e := range x.s.LatestEvents {
		if n++; n > SearchedBack || x.in(e.At, e.By, e.Subject, e.Text) && !yield(e) {
			return
		}
	}
}

// Correctables goes over the values that can be corrected and are looked for, newest first.
func (x Search) Correctables() iter.Seq[Correctable] {
	return func(yield func(Correctable) bool) {
		n := 0
		for c := range x.s.Correctables("") {
			if n++; n > SearchedBack {
				return
			}
			places := []string{c.Place, string(c.Load), string(c.Vessel), string(c.From), string(c.Press)}
			if x.in(c.At, c.By, c.Subject, append(places, c.Says, c.Field, c.Value)...) && !yield(c) {
				return
			}
		}
	}
}
