package widget

import (
	"strings"
	"unicode"
)

// A picker is typed at in two ways: by the sign before a choice, or by its name or
// number. One sign may be either, so it picks and waits, and the rest of a word never
// lands in the next field. Only what can be no word here is a key and what was typed
// after it.

// named reports whether the name of a choice, or a word in it, begins with a sign.
func (e *entry) named(r rune) bool {
	for _, c := range e.Choices {
		if begins(c.Name, string(unicode.ToLower(r))) {
			return true
		}
	}
	return false
}

// hasNames reports whether choices go by names.
func (e *entry) hasNames() bool {
	for _, c := range e.Choices {
		if c.Name != "" {
			return true
		}
	}
	return false
}

// rest ends what was typed at a picker, once it has picked.
func (e *entry) rest() {
	if e.choice >= 0 {
		e.sought = ""
	}
}

// waits is true after one sign that may be a key or the first of a name.
func (e *entry) waits() bool {
	r := []rune(e.sought)
	return len(r) == 1 && e.choice >= 0 && e.choice == e.byKey(r[0])
}

// keyed is the choice picked by the first sign of what was typed, where the whole is
// the beginning of no name: a key, and after it what belongs to the next field. Once
// two signs have fitted a name, only a decimal point says so, for a number mistyped
// further on is still a number.
func (e *entry) keyed(typed string) (n int, rest string, ok bool) {
	r := []rune(typed)
	if len(r) < 2 {
		return 0, "", false
	}
	n = e.byKey(r[0])
	point := r[len(r)-1] == '.' || r[len(r)-1] == ','
	if n < 0 || len(r) > 2 && !(point && e.named(r[0])) || e.fits(typed) {
		return 0, "", false
	}
	return n, string(r[1:]), true
}

// halfNumber is the same for a number that is left half typed: "19" before Tab is a
// key and a nine rather than half of 1987.
func (e *entry) halfNumber() (n int, rest string, ok bool) {
	r := []rune(e.sought)
	if len(r) < 2 || strings.ContainsFunc(e.sought, unicode.IsLetter) || e.choice < 0 || e.byKey(r[0]) < 0 ||
		whole(e.Choices[e.choice].Name, e.sought) {
		return 0, "", false
	}
	return e.byKey(r[0]), string(r[1:]), true
}

// fits reports whether a choice goes by what was typed, from its first sign on.
func (e *entry) fits(typed string) bool {
	typed = strings.ToLower(typed)
	for _, c := range e.Choices {
		if match(c, typed) <= startOfName || strings.ContainsFunc(typed, unicode.IsLetter) &&
			strings.HasPrefix(strings.ToLower(c.Label), typed) {
			return true
		}
	}
	return false
}

// seek puts the picker on the choice that goes by what was typed: by its name, or by
// a word of its label that begins so, or by a label that contains it.
func (e *entry) seek(typed string) {
	best, at := -1, noMatch
	for i, c := range e.Choices {
		if n := match(c, strings.ToLower(typed)); n < at {
			best, at = i, n
		}
	}
	if r := []rune(typed); len(r) == 1 && e.byKey(r[0]) >= 0 {
		best = e.byKey(r[0])
	}
	if best >= 0 {
		e.choose(best)
	} else {
		e.choice, e.fault = -1, "nothing here is called \""+typed+"\""
	}
	e.sought = typed
}

// How well a choice goes by what was typed, best first.
const (
	wholeName = iota
	startOfName
	wordOfLabel
	inLabel
	noMatch
)

func match(c Choice, want string) int {
	label := strings.ToLower(c.Label)
	number := c.Name != "" && !strings.ContainsFunc(want, unicode.IsLetter)
	switch {
	case whole(c.Name, want):
		return wholeName
	case begins(c.Name, want):
		return startOfName
	case number: // what is left in a tub is no number of it
		return noMatch
	case strings.HasPrefix(label, want) || strings.Contains(label, " "+want):
		return wordOfLabel
	case strings.Contains(label, want):
		return inLabel
	}
	return noMatch
}

// begins reports whether a name, or a word in it, begins with small letters.
func begins(name, want string) bool {
	name = strings.ToLower(name)
	return name != "" && (strings.HasPrefix(name, want) || anyWord(name,
		func(w string) bool { return strings.HasPrefix(w, want) }))
}

// whole reports whether small letters are a name, or a word in it.
func whole(name, want string) bool {
	name = strings.ToLower(name)
	return name != "" && (name == want || anyWord(name, func(w string) bool { return w == want }))
}

func anyWord(name string, fits func(string) bool) bool {
	for _, w := range strings.FieldsFunc(name, func(r rune) bool {
		return !unicode.IsLetter(r) &&
			!unicode.IsDigit(r)
	}) {
		if fits(w) {
			return true
		}
	}
	return false
}
